"""Heads checked by a plain form: asked about, kept, decided, taken out."""

from __future__ import annotations

import re

import pytest

from rivetwright.bench.heads import Heads, JudgedHead
from rivetwright.record.kinds import HeadChecked, HeadDecided, Kind, RivetRemoved
from tests.unit.web.site import PHONE, Site

HEAD = "/bench/aileron/head/A5:3"
IN = 25.4


def post(site: Site, page: str = "", **fields: object) -> tuple[int, str, str]:
    """Send a form; gives status, where it leads, and the page as it is read."""
    answer = site.ask("POST", f"{HEAD}{page}", data=fields)
    said = " ".join(re.sub(r"<[^>]+>", " ", answer.text).split())
    return answer.status_code, answer.headers.get("location", ""), said


def last(site: Site) -> Kind:
    """The last fact of the record."""
    *_, entry = site.workshop.entries()
    return entry.fact.body


def head(site: Site) -> JudgedHead:
    """The last look at A5:3."""
    heads = Heads(
        site.workshop.now().assembly("aileron").worked_plan, site.workshop.state()
    )
    return heads.of_hole(heads.ids.holes.index("A5:3"))[-1]


@pytest.mark.parametrize(
    ("width", "height", "slip", "meant"),
    [
        (".205", ".63", "the point one place too far right", ".0630 in"),
        ("5.2 in", ".062", "millimetres written for inches", ".2047 in"),
        (".062", ".205", "width and height the other way round", ".2050 in"),
    ],
    ids=["point", "mm", "swapped"],
)
def test_doubtful_size_is_asked_about_and_not_kept(
    site: Site, width: str, height: str, slip: str, meant: str
) -> None:
    """.63 for .063, millimetres for inches, width for height: nothing is recorded."""
    before = site.workshop.position()
    status, _, said = post(site, width=width, height=height)
    assert status == 409
    assert "Is this what you measured?" in said
    assert slip in said
    assert meant in said
    assert site.workshop.position() == before


def test_size_that_was_asked_about_may_stand(site: Site) -> None:
    """Measured again and confirmed: kept with the word that a person stands by it."""
    status, _, said = post(site, width=".400", height=".062")
    assert status == 409
    assert "It stands: measured again" in said
    status, leads, _ = post(site, width=".400", height=".062", is_confirmed="yes")
    assert status == 303
    assert leads.startswith(f"{HEAD}/answer?check=")
    body = last(site)
    assert isinstance(body, HeadChecked)
    assert (body.is_confirmed, round((body.width_mm or 0) / IN, 4)) == (True, 0.4)


def test_size_not_understood_is_told_beside_its_field(site: Site) -> None:
    """Other sizes stay as they were typed."""
    before = site.workshop.position()
    status, _, said = post(site, width="wide", height=".062")
    assert status == 409
    assert "wide was not understood" in said
    assert site.workshop.position() == before
    answer = site.ask("POST", HEAD, data={"width": "wide", "height": ".062"})
    assert 'value=".062"' in answer.text


def test_form_sent_twice_is_one_fact(site: Site) -> None:
    """The page's own id makes it one."""
    before = site.workshop.position()
    for _ in range(2):
        status, leads, _ = post(site, width=".205", height=".062", id="a" * 32)
        assert (status, leads) == (303, f"{HEAD}/answer?check={'a' * 32}")
    assert site.workshop.position() == before + 1


def test_everything_entered_is_in_the_fact(site: Site) -> None:
    """Gauge sides with the sizes of their set, looks, offset, tool, tin and note."""
    fields = {
        "gauge_set": "MIL-R-47196A",
        "side least width": "yes",
        "side most height": "no",
        "looks": ["off centre", "tool mark, shallow to the eye"],
        "offset": "1/64",
        "gap": ".003",
        "share": "0.25",
        "with": "Y1 pneumatic squeezer",
        "pressure": "85",
        "tin": "T-4",
        "note": "third of the evening",
    }
    answer = site.ask("POST", HEAD, data=fields)
    assert answer.status_code == 303
    body = last(site)
    assert isinstance(body, HeadChecked)
    assert [one[:2] for one in body.gauge] == [
        ("least width", True),
        ("most height", False),
    ]
    limits = [0.163 * IN, 0.070 * IN]
    assert [one[2] for one in body.gauge] == pytest.approx(limits)
    assert body.looks == ("tool mark, shallow to the eye", "off centre")
    assert body.offset_mm == pytest.approx(IN / 64)
    assert (body.gap_share, body.yoke, body.squeezer) == (
        *(0.25, "Y1", "pneumatic squeezer"),
    )
    assert body.pressure_kpa == pytest.approx(85 * 6.894757, rel=1e-6)
    assert body.die_gap_mm is not None
    assert (body.tin, body.note) == ("T-4", "third of the evening")


def test_head_seen_right_leads_to_the_next(site: Site) -> None:
    """One press, nothing typed: kept, and the list of due heads says so."""
    status, leads, _ = post(site)
    assert (status, leads) == (303, "/bench/aileron/heads?seen=A5:3")
    assert last(site) == HeadChecked((head(site).hole_id,))


def test_decision_as_advised_needs_no_words_of_its_own(site: Site) -> None:
    """A high head squeezed again: the advice's reasons, sources and shim are kept."""
    check = "b" * 32
    post(site, width=".205", height=".074", id=check)
    status, leads, _ = post(
        site, "/decide", check=check, decision="squeeze again", id="c" * 32
    )
    assert (status, leads) == (303, f"{HEAD}/answer?check={check}")
    body = last(site)
    assert isinstance(body, HeadDecided)
    assert (body.decision, body.advised) == ("squeeze again", "squeeze again")
    assert "the metal for a legal head is there" in body.reason
    assert body.causes[0] == "not set far enough"
    assert any("MIL-R-47196A" in one for one in body.sources)
    assert body.shim_more_mm == pytest.approx(0.014 * IN, abs=0.0005 * IN)
    _, _, said = post(site, "/decide", check=check, decision="nonsense")
    assert "one of" in said or "leave" in said


def test_decision_against_the_advice_asks_for_the_reason(site: Site) -> None:
    """Left although it is high: first asked why, then kept with the reason."""
    check = "d" * 32
    post(site, width=".205", height=".074", id=check)
    before = site.workshop.position()
    status, _, said = post(site, "/decide", check=check, decision="leave")
    assert status == 409
    assert "Write your reason" in said
    assert site.workshop.position() == before
    said_so = {"reason": "supplier wrote yes", "by": "supplier"}
    status, _, _ = post(site, "/decide", check=check, decision="leave", **said_so)
    assert status == 303
    settled = head(site).settled
    assert settled is not None
    assert (settled.body.reason, settled.body.by) == ("supplier wrote yes", "supplier")


def test_removal_goes_step_by_step_to_the_empty_hole(site: Site) -> None:
    """Too low: decided, its card with cautions, out, and what the hole takes."""
    check = "e" * 32
    post(site, width=".251", height=".045", id=check)
    decided = post(site, "/decide", check=check, decision="remove and replace")
    assert decided[:2] == (303, f"{HEAD}/removal")
    card = site.ask("GET", f"{HEAD}/removal").text
    assert "Never deeper than the head" in card
    assert "Eye and ear protection" in card
    assert "too low: metal does not come back" in card
    status, leads, _ = post(site, "/out", reason="too low")
    assert (status, leads) == (303, f"{HEAD}/hole")
    assert isinstance(last(site), RivetRemoved)
    in_size = site.ask("GET", f"{HEAD}/hole?size=.130").text
    assert "the hole is still in size" in in_size
    large = site.ask("GET", f"{HEAD}/hole?size=.140").text
    assert "the hole is too large for the same rivet" in large
    status, leads, _ = post(
        site, "/decide", size=".140", decision="ask the supplier", reason="oval"
    )
    assert (status, leads) == (303, f"{HEAD}/hole?kept=yes")
    body = last(site)
    assert isinstance(body, HeadDecided)
    assert body.hole_mm == pytest.approx(0.140 * IN)


def test_hole_off_square_is_worked_out(site: Site) -> None:
    """A tip .100 off over 1.000 of drill leans atan(.1) = 5.7 degrees."""
    page = site.ask("GET", f"{HEAD}/square?tip=.100&out=1.000").text
    assert "It leans 5.7°" in page
    assert "feeler" in page
    assert "was not understood" in site.ask("GET", f"{HEAD}/square?shift=x").text


def test_notes_and_names_stay_text(site: Site) -> None:
    """Markup in a note, a tin, a reason and a size is shown, never taken over."""
    evil = '"><script>alert(1)</script><b>x'
    check = "f" * 32
    post(site, width=".205", height=".074", note=evil, tin=evil, id=check)
    said = {"decision": "leave", "reason": evil, "by": evil}
    post(site, "/decide", check=check, **said)
    for address in (
        "/answer",
        "",
        "/removal",
        f"/hole?size={evil}",
        f"/square?tip={evil}",
    ):
        page = site.ask("GET", f"{HEAD}{address}").text
        assert "<script>alert" not in page
        assert "<b>x" not in page
    for fields in ({"width": evil}, {"height": ".63", "note": evil}):
        answer = site.ask("POST", HEAD, data=fields)
        assert answer.status_code == 409
        assert "<script>alert" not in answer.text
    assert "<script>alert" not in site.ask("GET", "/record").text


def test_only_marking_devices_may_check_and_decide(site: Site) -> None:
    """A link to read sees the pages without their forms and sends nothing."""
    token = site.link()
    page = site.ask("GET", HEAD, by=PHONE, token=token)
    assert page.status_code == 200
    assert '<form method="post"' not in page.text
    before = site.workshop.position()
    for address in (HEAD, f"{HEAD}/decide", f"{HEAD}/out"):
        assert site.ask("POST", address, by=PHONE, token=token).status_code == 403
    assert site.workshop.position() == before


def test_hole_that_is_none_is_told(site: Site) -> None:
    """By its address, and typed into the list of due heads."""
    assert site.ask("GET", "/bench/aileron/head/A99:1").status_code == 404
    assert site.ask("GET", "/bench/aileron/heads?hole=A99:1").status_code == 404
    answer = site.ask("GET", "/bench/aileron/heads?hole=A5:3")
    assert (answer.status_code, answer.headers["location"]) == (303, HEAD)


def test_answer_says_what_the_next_size_needs(site: Site) -> None:
    """Each need of the next size with whether it holds, before a rivet comes out."""
    post(site, width=".251", height=".045")
    said = re.sub(r"<[^>]+>", " ", site.ask("GET", f"{HEAD}/answer").text)
    part = said.partition("If the hole is spoilt: the next size")[2][:900]
    for word in ("edge distance", "pitch", "on hand", "oversize with this one"):
        assert word in part


def test_blind_rivet_has_its_own_looks_and_no_made_up_card(site: Site) -> None:
    """C15:1 of the flap: the looks are a blind rivet's; removal names the manual."""
    head_of_blind = "/bench/flap/head/C15:1"
    page = site.ask("GET", head_of_blind).text
    assert "stem moves when pressed" in page
    assert '<p class="callout">BF4-1</p>' in page
    assert "Width of the shop head" not in page
    answer = site.ask("POST", head_of_blind, data={"looks": ["stem moves"]})
    assert answer.status_code == 303
    page = site.ask("GET", answer.headers["location"]).text
    assert "Take it out and set another." in page
    card = site.ask("GET", f"{head_of_blind}/removal").text
    assert "follow the kit" in card


def test_gap_is_asked_for_where_the_card_has_moved(site: Site) -> None:
    """The last head was set with .265 in, the card says less: nobody guesses.

    Untold it teaches nothing; told, it is .265 in x 25.4 = 6.731 mm, or the card's.
    """
    page = site.ask("GET", HEAD).text
    key = next(iter(re.findall(r'<option value="(Y2 [^"]+)"', page)))
    tool = {"with": key, "width": ".205", "height": ".062"}
    post(site, **tool, die_gap=".265")
    assert gap_of(last(site)) == pytest.approx(6.731)
    assert "Which gap was in the tool?" in site.ask("GET", HEAD).text
    post(site, **tool)
    assert gap_of(last(site)) is None
    post(site, **tool, gap_of="before")
    assert gap_of(last(site)) == pytest.approx(6.731)
    post(site, **tool, gap_of="card")
    of_card = gap_of(last(site))
    assert of_card is not None
    assert of_card != pytest.approx(6.731)
    assert "Which gap was in the tool?" not in site.ask("GET", HEAD).text


def gap_of(body: Kind) -> float | None:
    """The closed gap that a look at a head tells [mm]."""
    assert isinstance(body, HeadChecked)
    return body.die_gap_mm
