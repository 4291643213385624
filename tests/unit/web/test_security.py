"""Who may come in, and from where: a test for each threat of docs/security.md."""

from __future__ import annotations

import json
import shutil
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from rivetwright.bench.workshop import Workshop
from rivetwright.record.devices import MARKS, READS
from rivetwright.web.app import create_app
from rivetwright.web.doors import FAILURES_MAX, FORGOTTEN_S, Network
from rivetwright.web.network import settings_of
from tests.unit.web.site import LAPTOP, MARK, PHONE, Site


@pytest.mark.parametrize(
    "address",
    ["/", "/bench", "/assembly/aileron", "/devices", "/api/now", "/api/live", "/carry"],
)
def test_unpaired_device_sees_nothing(site: Site, address: str) -> None:
    """No name of an assembly, no figure: only what to do."""
    answer = site.ask("GET", address, by=PHONE)
    assert answer.status_code == 401
    assert "not paired" in answer.text
    assert "ileron" not in answer.text


def test_unpaired_device_records_nothing(site: Site) -> None:
    """A mark without a token, and one with a made-up token."""
    before = site.workshop.position()
    for token in ("", "made-up"):
        assert site.send(site.mark(), token=token).status_code == 401
    assert site.workshop.position() == before


def test_paired_device_marks_under_its_own_name(site: Site) -> None:
    """Whatever the mark says of person, device and project."""
    said = site.mark() | {"person": "inspector", "device": "laptop", "project": "x"}
    answer = site.send(said, token=site.phone()).json()
    assert [one["id"] for one in answer["kept"]] == [said["id"]]
    *_, last = site.workshop.entries()
    device = site.doors.devices()[0]
    assert (last.fact.person, last.fact.device) == ("builder", device.id)
    assert last.fact.project == site.workshop.project_id


def test_replayed_mark_is_one_fact(site: Site) -> None:
    """The same request ten times over."""
    token = site.phone()
    before = site.workshop.position()
    places = {
        site.send(site.mark(), token=token).json()["kept"][0]["seq"] for _ in range(10)
    }
    assert places == {before + 1}
    assert site.workshop.position() == before + 1


def test_shut_out_device_is_out_at_once(site: Site) -> None:
    """Its token opens nothing any more."""
    token = site.phone()
    assert site.ask("GET", "/", by=PHONE, token=token).status_code == 200
    assert site.doors.shut_out(site.doors.devices()[0].id)
    assert site.ask("GET", "/", by=PHONE, token=token).status_code == 401


def test_link_to_read_changes_nothing(site: Site) -> None:
    """It shows every page and takes no mark, no form, no photo."""
    token = site.phone(READS)
    assert site.ask("GET", "/assembly/aileron", by=PHONE, token=token).is_success
    before = site.workshop.position()
    for address in ("/api/marks", "/record/begin", "/carry", "/api/photo", "/me"):
        assert site.ask("POST", address, by=PHONE, token=token).status_code == 403
    assert site.workshop.position() == before


@pytest.mark.parametrize("address", ["/devices", "/devices/code", "/devices/link"])
def test_only_the_laptop_opens_doors(site: Site, address: str) -> None:
    """A paired phone cannot let others in."""
    method = "GET" if address == "/devices" else "POST"
    answer = site.ask(method, address, by=PHONE, token=site.phone())
    assert answer.status_code == 403


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": "http://evil.example"},
        {"Origin": "null"},
        {"Origin": "http://127.0.0.1:9999"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
    ],
)
def test_cross_site_request_is_refused(site: Site, headers: dict[str, str]) -> None:
    """A page of another site sends a form or a mark with the laptop's rights."""
    before = site.workshop.position()
    for address in ("/record/begin", "/devices/network", "/api/marks"):
        answer = site.ask("POST", address, headers=MARK | headers, content="{}")
        assert answer.status_code == 403
    assert site.workshop.position() == before


def test_mark_needs_the_pages_own_header(site: Site) -> None:
    """A form of another site cannot set it, even where it sends no origin."""
    answer = site.ask("POST", "/api/marks", content='{"marks": []}')
    assert answer.status_code == 422


def test_other_origin_reads_nothing(site: Site) -> None:
    """No answer lets another origin's script read it."""
    for address in ("/", "/api/now", "/static/map.js"):
        answer = site.ask("GET", address, headers={"Origin": "http://evil.example"})
        assert "access-control-allow-origin" not in answer.headers
        assert answer.headers["cross-origin-resource-policy"] == "same-origin"


def test_rebound_name_is_refused(site: Site) -> None:
    """A name of somebody else's that was pointed at this machine."""
    for by in (LAPTOP, PHONE):
        answer = site.ask("GET", "/", by=by, host="rebound.example", token=site.phone())
        assert answer.status_code == 421


def test_network_name_gives_no_laptop_rights(site: Site) -> None:
    """The laptop's rights need the laptop's own address, not only its name."""
    answer = site.ask("GET", "/devices", by=PHONE, host="127.0.0.1")
    assert answer.status_code == 401


def test_network_is_shut_unless_opened(site: Site) -> None:
    """Its addresses are no name to ask for before."""
    site.app.state.gate.network = Network()
    assert site.ask("GET", "/", by=PHONE, token=site.phone()).status_code == 421


@pytest.mark.parametrize(
    "address",
    [
        *("/static/../assembly/aileron", "/static/%2e%2e/assembly/aileron"),
        *("/pair/../assembly/aileron", "/pair/x/../../record", "//assembly/aileron"),
        *("/look/..%2fassembly%2faileron", "/static/..%2f..%2fapp.py"),
    ],
)
def test_no_way_round_the_door(site: Site, address: str) -> None:
    """Addresses that begin like those at the door lead nowhere else."""
    answer = site.ask("GET", address, by=PHONE)
    assert answer.status_code in (401, 403, 404)
    assert "ileron" not in answer.text.replace(address, "").replace(
        "assembly/aileron", ""
    )


def test_proxy_headers_are_not_believed(site: Site) -> None:
    """Who asks is whose connection it is."""
    assert settings_of(site.app).proxy_headers is False
    headers = {"X-Forwarded-For": LAPTOP, "Forwarded": f"for={LAPTOP}"}
    answer = site.ask("GET", "/", by=PHONE, host=LAPTOP, headers=headers)
    assert answer.status_code == 401


@pytest.mark.parametrize(
    "away", ["https://evil.example/", "//evil.example", "/\\evil.example", "evil"]
)
def test_forms_lead_back_to_our_pages_alone(site: Site, away: str) -> None:
    """A form that names another site to go back to goes to the first page."""
    done = site.ask("POST", "/me", data={"person": "friend", "back": away})
    assert done.status_code == 303
    assert done.headers["location"] == "/"


def test_laptop_says_who_stands_there(site: Site) -> None:
    """Its marks are by who was chosen; a name that the shop does not have is not."""
    for asked, taken in (("friend", "friend"), ("stranger", "builder")):
        done = site.ask("POST", "/me", data={"person": asked, "back": "/devices"})
        assert done.headers["location"] == "/devices"
        cookie = done.headers["set-cookie"].partition(";")[0]
        assert cookie == f"rivetwright_person={taken}"
        page = site.ask("GET", "/devices", headers={"Cookie": cookie}).text
        chosen = page.partition('id="me"')[2].partition("</form>")[0]
        assert f'value="{taken}" selected' in chosen


def test_carried_marks_are_those_of_who_brings_them(site: Site) -> None:
    """A paired phone that names another device in the text is not believed."""
    site.doors.add("other", "inspector", MARKS)
    other = site.doors.devices()[0].id
    said = {"rivetwright": "marks 1", "device": other, "marks": [site.mark()]}
    token = site.phone()
    form = {"text": json.dumps(said)}
    assert site.ask("POST", "/carry", by=PHONE, token=token, data=form).is_success
    *_, last = site.workshop.entries()
    assert last.fact.device not in ("", other)
    assert last.fact.person == "builder"


def test_pages_cannot_be_framed(site: Site) -> None:
    """By the policy, and by the older header."""
    answer = site.ask("GET", "/")
    assert "frame-ancestors 'none'" in answer.headers["content-security-policy"]
    assert answer.headers["x-frame-options"] == "DENY"


def test_pairing_code_works_once(site: Site) -> None:
    """A look does not use it up, the button does; no script reads the cookie."""
    code = site.doors.make_code(MARKS, "builder")
    assert site.ask("GET", f"/pair/{code}", by=PHONE).status_code == 200
    done = site.ask("POST", f"/pair/{code}", by=PHONE, data={"name": "phone"})
    assert done.status_code == 303
    cookie = done.headers["set-cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=Lax" in cookie
    assert site.ask("POST", f"/pair/{code}", by=PHONE).status_code == 403


def test_guessing_codes_is_slowed_and_told_apart_by_nothing(site: Site) -> None:
    """After some wrong codes even a right one is refused from there, in one wording."""
    wrong = {
        site.ask("GET", f"/pair/guess-{k}", by=PHONE).text.replace(f"guess-{k}", "")
        for k in range(FAILURES_MAX)
    }
    assert len(wrong) == 1
    code = site.doors.make_code(MARKS, "builder")
    assert site.ask("GET", f"/pair/{code}", by=PHONE).status_code == 403
    assert site.ask("GET", f"/pair/{code}", by="192.168.7.21").status_code == 200


def test_guessing_links_is_slowed(site: Site) -> None:
    """The same count holds for links; ten minutes later one is heard again."""
    now = [0.0]
    site.app.state.gate.clock = lambda: now[0]
    token = site.phone(READS)
    for k in range(FAILURES_MAX):
        assert site.ask("GET", f"/look/guess-{k}", by=PHONE).status_code == 403
    assert site.ask("GET", f"/look/{token}", by=PHONE).status_code == 403
    now[0] += FORGOTTEN_S + 1
    assert site.ask("GET", f"/look/{token}", by=PHONE).status_code == 303


def test_token_to_mark_is_no_link(site: Site) -> None:
    """The long token of a paired device never works in an address."""
    token = site.phone()
    assert site.ask("GET", f"/look/{token}", by=PHONE).status_code == 403


def test_codes_and_links_run_out(demo_folder: Path, tmp_path: Path) -> None:
    """A code after ten minutes, a link after thirty days."""
    now = [datetime(2026, 11, 25, 19, tzinfo=UTC)]
    shutil.copytree(demo_folder, tmp_path / "ostrel")
    workshop = Workshop(tmp_path / "ostrel", clock=lambda: now[0])
    workshop.begin()
    site = Site(create_app(workshop), workshop)
    code, token = site.doors.make_code(MARKS, "builder"), site.link()
    now[0] += timedelta(minutes=9)
    assert site.ask("GET", f"/pair/{code}", by=PHONE).status_code == 200
    assert site.ask("GET", "/", by=PHONE, token=token).status_code == 200
    now[0] += timedelta(minutes=2)
    assert site.ask("GET", f"/pair/{code}", by=PHONE).status_code == 403
    assert site.ask("POST", f"/pair/{code}", by=PHONE).status_code == 403
    now[0] += timedelta(days=30)
    assert site.ask("GET", "/", by=PHONE, token=token).status_code == 401
    workshop.close()
