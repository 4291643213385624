"""What must not get in: a test for each threat of docs/security.md."""

from __future__ import annotations

import asyncio
import io
import json
import shutil
import zlib
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest
from fastapi import FastAPI
from PIL import Image

from rivetwright.bench.workshop import Workshop
from rivetwright.model.plan import HoleRange
from rivetwright.record.devices import MARKS, READS, Doors
from rivetwright.record.export import safe_cell
from rivetwright.web.app import create_app
from rivetwright.web.doors import FAILURES_MAX, Network
from rivetwright.web.guard import BODY_MAX
from rivetwright.web.senders import DEVICE_COOKIE

LAPTOP, PHONE = "127.0.0.1", "192.168.7.20"
NETWORK = "192.168.7.2"
MARK = {"X-Rivetwright": "mark"}


class Site:
    """The pages of a copy of the demo, asked for from the laptop or from elsewhere."""

    def __init__(self, app: FastAPI, workshop: Workshop) -> None:
        self.app = app
        self.workshop = workshop
        app.state.gate.network = Network((NETWORK,), (), 8766)
        assert workshop.store is not None
        self.doors = Doors(workshop.store)

    def ask(
        self,
        method: str,
        address: str,
        *,
        by: str = LAPTOP,
        host: str = "",
        token: str = "",
        **more: object,
    ) -> httpx.Response:
        """One request; from the network's address unless the laptop asks."""
        named = host or (LAPTOP if by == LAPTOP else NETWORK)
        cookies = {DEVICE_COOKIE: token} if token else {}

        async def once() -> httpx.Response:
            transport = httpx.ASGITransport(
                self.app, raise_app_exceptions=False, client=(by, 5000)
            )
            async with httpx.AsyncClient(
                transport=transport, base_url=f"http://{named}", cookies=cookies
            ) as client:
                return await client.request(method, address, **more)  # type: ignore[arg-type]

        return asyncio.run(once())

    def phone(self, role: str = MARKS) -> str:
        """The token of a paired device."""
        return self.doors.add("phone", "builder", role)[1]

    def mark(self, number: int = 1, **body: object) -> dict[str, object]:
        """A mark: rivets set in A17, or what is given."""
        ids = self.workshop.hole_ids("aileron")
        holes = list(ids.ranges(ids.holes.indices(HoleRange("A17", 1, 6))))
        said = {"holes": holes, "callout": "MS20426AD3-3"} | body
        return {
            "fact": 1,
            "id": f"{number:032x}",
            "kind": "rivets-set",
            "version": 1,
            "assembly": "aileron",
            "device_seq": number,
            "happened": "2026-11-25T12:00:00.000Z",
            "revision": 1,
            "saw": 158,
            "body": said,
        }

    def send(
        self, *marks: object, by: str = PHONE, token: str = "", **headers: str
    ) -> httpx.Response:
        """Marks as the page's script sends them."""
        own = {name.replace("_", "-"): value for name, value in headers.items()}
        text = json.dumps({"marks": marks})
        return self.ask(
            "POST", "/api/marks", by=by, token=token, content=text, headers=MARK | own
        )


@pytest.fixture
def site(demo_folder: Path, tmp_path: Path) -> Iterator[Site]:
    """The pages of a copy of the demo whose record was begun."""
    folder = tmp_path / "ostrel"
    shutil.copytree(demo_folder, folder)
    workshop = Workshop(folder)
    workshop.begin()
    yield Site(create_app(workshop), workshop)
    workshop.close()


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


def test_pages_cannot_be_framed(site: Site) -> None:
    """By the policy, and by the older header."""
    answer = site.ask("GET", "/")
    assert "frame-ancestors 'none'" in answer.headers["content-security-policy"]
    assert answer.headers["x-frame-options"] == "DENY"


def test_script_in_a_name_or_note_stays_text(site: Site) -> None:
    """In the name of a device, and in a mark that is refused."""
    evil = "<script>alert(1)</script>"
    site.doors.add(evil, "builder", MARKS)
    page = site.ask("GET", "/devices").text
    assert evil not in page
    assert "&lt;script&gt;" in page
    refused = site.ask("POST", "/carry", data={"text": evil})
    assert evil not in refused.text


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


def test_huge_upload_is_refused(site: Site) -> None:
    """By its announced length, and where that is not told while it comes."""
    token = site.phone()
    huge = b"0" * (BODY_MAX + 1)
    answer = site.ask(
        "POST", "/api/marks", by=PHONE, token=token, content=huge, headers=MARK
    )
    assert answer.status_code == 413

    async def pieces():  # type: ignore[no-untyped-def]
        for _ in range(40):
            yield b"0" * (BODY_MAX // 20)

    answer = site.ask(
        "POST", "/api/marks", by=PHONE, token=token, content=pieces(), headers=MARK
    )
    assert answer.status_code == 413


def photo(content: bytes, site: Site, name: str = "a.jpg") -> httpx.Response:
    """A photo sent by a paired phone."""
    mark = json.dumps(site.mark(caption="the inside"))
    files = {"file": (name, content, "image/jpeg")}
    return site.ask(
        "POST",
        "/api/photo",
        by=PHONE,
        token=site.phone(),
        files=files,
        data={"mark": mark},
    )


def jpeg(size: tuple[int, int] = (64, 48)) -> bytes:
    """A small grey picture."""
    out = io.BytesIO()
    Image.new("RGB", size, "grey").save(out, "JPEG")
    return out.getvalue()


def test_path_in_an_upload_leads_nowhere(site: Site, tmp_path: Path) -> None:
    """The name that was sent is not used; no digest leads out of the folder."""
    answer = photo(jpeg(), site, "../../../escaped.jpg")
    assert answer.json()["kept"], answer.text
    assert not list(tmp_path.rglob("escaped*"))
    for digest in ("..%2f..%2fshop.yaml", "0" * 64, "../record.sqlite"):
        assert site.ask("GET", f"/photo/{digest}").status_code in (404, 422)


def test_photo_comes_back_without_where_it_was_taken(site: Site) -> None:
    """The copy that pages and paper show carries no tags."""
    out = io.BytesIO()
    tagged = Image.Exif()
    tagged[0x010E] = "my garage"
    Image.new("RGB", (64, 48)).save(out, "JPEG", exif=tagged)
    assert photo(out.getvalue(), site).json()["kept"]
    digest = site.workshop.state().assemblies["aileron"].photos[0].digest
    copy = site.ask("GET", f"/photo/{digest}")
    assert copy.headers["content-type"] == "image/jpeg"
    assert not Image.open(io.BytesIO(copy.content)).getexif()


def png_of(wide: int, high: int) -> bytes:
    """A picture that says it is huge in a few bytes."""
    head = wide.to_bytes(4, "big") + high.to_bytes(4, "big") + b"\x08\x02\0\0\0"
    chunks = b""
    for name, content in ((b"IHDR", head), (b"IDAT", zlib.compress(b"\0" * 999))):
        check = zlib.crc32(name + content).to_bytes(4, "big")
        chunks += len(content).to_bytes(4, "big") + name + content + check
    return b"\x89PNG\r\n\x1a\n" + chunks


@pytest.mark.parametrize(
    "content",
    [
        png_of(60000, 60000),
        png_of(20000, 9000),
        b"",
        b"<svg xmlns='http://www.w3.org/2000/svg'/>",
        b"GIF89a" + b"\0" * 50,
        jpeg()[:100],
        b"%PDF-1.7",
    ],
    ids=["bomb", "too many pixels", "empty", "svg", "gif", "cut off", "pdf"],
)
def test_picture_bomb_is_refused(site: Site, content: bytes) -> None:
    """Before it is unpacked; nothing is left on the disk and no fact speaks of it."""
    before = site.workshop.position()
    answer = photo(content, site)
    assert answer.status_code == 422
    assert "picture" in answer.json()["found"] or "pixels" in answer.json()["found"]
    assert site.workshop.position() == before
    assert not list(site.workshop.photo_folder.rglob("*.jpg"))


@pytest.mark.parametrize("sign", ["=", "+", "-", "@", "\t", "\r"])
def test_formula_in_a_sheet_is_text(sign: str) -> None:
    """A note that a spreadsheet would run gets an apostrophe before it."""
    assert safe_cell(f"{sign}cmd|' /C calc'!A0").startswith(f"'{sign}")
    assert safe_cell("A12:18") == "A12:18"


@pytest.mark.parametrize(
    "text",
    ["", "{", "[]", '{"marks": 5}', '{"marks": [5]}', "[" * 100_000, '{"marks": {}}'],
)
def test_malformed_marks_are_refused_in_words(site: Site, text: str) -> None:
    """Each is told what was found and what is allowed; nothing falls over."""
    answer = site.ask(
        "POST",
        "/api/marks",
        by=PHONE,
        token=site.phone(),
        content=text,
        headers=MARK,
    )
    assert answer.status_code == 422
    assert set(answer.json()) == {"id", "asked", "found", "allowed", "do"}
