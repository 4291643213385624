"""What is sent here: marks, photos, names and notes that mean no good."""

from __future__ import annotations

import csv
import io
import json
import zlib
from collections.abc import AsyncIterator
from pathlib import Path

import httpx
import pytest
from PIL import Image

from rivetwright.bench.exports import exported
from rivetwright.record.devices import MARKS
from rivetwright.record.export import safe_cell
from rivetwright.web.guard import BODY_MAX, PHOTO_BODY_MAX
from tests.unit.web.site import MARK, PHONE, Site


def test_script_in_a_name_or_note_stays_text(site: Site) -> None:
    """In the name of a device, and in a mark that is refused."""
    evil = "<script>alert(1)</script>"
    site.doors.add(evil, "builder", MARKS)
    page = site.ask("GET", "/devices").text
    assert evil not in page
    assert "&lt;script&gt;" in page
    refused = site.ask("POST", "/carry", data={"text": evil})
    assert evil not in refused.text


def test_script_in_a_recorded_note_stays_text(site: Site) -> None:
    """On every page that shows notes, reasons and questions; news carry none."""
    evil = "<img src=x onerror=alert(1)>"
    notes = [
        {"kind": "note-written", "body": {"text": evil}},
        {"kind": "question-asked", "body": {"question": "Q-9", "text": evil}},
        {"kind": "hold-put", "body": {"hold": "H-9", "reason": evil}},
    ]
    holes = site.mark()["body"]["holes"]  # type: ignore[index]
    marks = []
    for number, note in enumerate(notes, start=1):
        body = note["body"] | {"holes": holes}  # type: ignore[operator]
        marks.append(site.mark(number) | note | {"body": body})
    assert len(site.send(*marks, token=site.phone()).json()["kept"]) == len(notes)
    shown = 0
    for address in ("/record", "/assembly/aileron/hole/A17:1", "/bench/aileron"):
        page = site.ask("GET", address)
        assert page.is_success
        assert evil not in page.text
        shown += "&lt;img src=x" in page.text
    assert shown >= 2


def test_formula_in_a_note_is_text_in_the_sheet(site: Site) -> None:
    """In the table that is written out, where the note stands."""
    body = {"text": "=HYPERLINK(1)", "holes": []}
    mark = site.mark() | {"kind": "note-written", "body": body}
    assert site.send(mark, token=site.phone()).json()["kept"]
    table = "".join(exported(site.workshop.folder, as_csv=True))
    cells = [cell for line in csv.reader(io.StringIO(table)) for cell in line]
    assert [cell for cell in cells if cell[:1] in ("=", "+", "-", "@")] == []
    assert [cell for cell in cells if cell.endswith("=HYPERLINK(1)")]


def test_huge_upload_is_refused(site: Site) -> None:
    """By its announced length, and where that is not told while it comes."""
    token = site.phone()
    huge = b"0" * (BODY_MAX + 1)
    answer = site.ask(
        "POST", "/api/marks", by=PHONE, token=token, content=huge, headers=MARK
    )
    assert answer.status_code == 413

    async def pieces() -> AsyncIterator[bytes]:
        for _ in range(40):
            yield b"0" * (BODY_MAX // 20)

    answer = site.ask(
        "POST", "/api/marks", by=PHONE, token=token, content=pieces(), headers=MARK
    )
    assert answer.status_code == 413


def test_huge_photo_is_refused_while_it_comes(site: Site) -> None:
    """Also inside a form, whose length is not told; nothing stays on the disk."""
    head = (
        b'--x\r\nContent-Disposition: form-data; name="mark"\r\n\r\n{}\r\n--x\r\n'
        b'Content-Disposition: form-data; name="file"; filename="a.jpg"\r\n\r\n'
    )

    async def pieces() -> AsyncIterator[bytes]:
        yield head
        for _ in range(PHOTO_BODY_MAX // 1_000_000 + 2):
            yield b"0" * 1_000_000

    answer = site.ask(
        "POST",
        "/api/photo",
        by=PHONE,
        token=site.phone(),
        content=pieces(),
        headers={"Content-Type": "multipart/form-data; boundary=x"},
    )
    assert answer.status_code == 413
    assert "26 MB" in answer.text
    assert not site.workshop.photo_folder.exists()


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
    """The copy carries no tags, and the file as it came does not leave the laptop."""
    out = io.BytesIO()
    tagged = Image.Exif()
    tagged[0x010E] = "my garage"
    Image.new("RGB", (64, 48)).save(out, "JPEG", exif=tagged)
    assert photo(out.getvalue(), site).json()["kept"]
    digest = site.workshop.state().assemblies["aileron"].photos[0].digest
    copy = site.ask("GET", f"/photo/{digest}")
    assert copy.headers["content-type"] == "image/jpeg"
    assert not Image.open(io.BytesIO(copy.content)).getexif()
    whole = f"/photo/{digest}?whole=1"
    away = site.ask("GET", whole, by=PHONE, token=site.link())
    assert away.content == copy.content
    assert site.ask("GET", whole).content == out.getvalue()


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


@pytest.mark.parametrize("part", [";", ",", "|"])
def test_formula_after_a_sign_that_parts_cells_is_text(part: str) -> None:
    """A spreadsheet set up for another sign than the comma begins a cell there."""
    assert safe_cell(f"a{part}=1+1") == f"a{part}'=1+1"
    assert safe_cell("grip 0.064; AD3-3") == "grip 0.064; AD3-3"


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
    told = {"id", "asked", "found", "allowed", "do", "takes_reason"}
    assert set(answer.json()) == told


def test_refusal_says_whether_a_reason_helps(site: Site) -> None:
    """Another rivet is taken with one; a mark that cannot be read is not."""
    other = site.mark(1)
    other["body"]["callout"] = "MS20426AD3-3.5"  # type: ignore[index]
    unread = site.mark(2) | {"kind": "rivets-polished"}
    refused = site.send(other, unread, token=site.phone()).json()["refused"]
    assert [one["takes_reason"] for one in refused] == [True, False]
