"""A photo's file is on the disk before a fact speaks of it."""

from __future__ import annotations

from io import BytesIO
from typing import Any

import pytest
from PIL import Image

from rivetwright.bench import photos
from rivetwright.bench.photos import keep_photo_of, photo_file
from rivetwright.bench.workshop import Workshop
from rivetwright.errors import FactRefused, NotAllowed, NotFound, StoreRefused
from rivetwright.record.devices import READS
from tests.unit.bench.conftest import Phone


def picture(width: int = 40, height: int = 30) -> bytes:
    """A grey JPEG."""
    written = BytesIO()
    Image.new("RGB", (width, height), "grey").save(written, "JPEG")
    return written.getvalue()


def test_photo_stands_at_its_hole(workshop: Workshop, phone: Phone) -> None:
    """Two sizes of it are there, and the record says what it shows."""
    content = picture(2000, 1500)
    mark = phone.mark("photo-taken", "A15:5", step="aileron-4", caption="proud head")
    (taken,) = keep_photo_of(workshop, phone.sender, mark, content).taken
    assert taken.flags == ()
    (photo,) = workshop.state().assembly("aileron").photos
    assert (photo.caption, photo.step, photo.media) == (
        "proud head",
        "aileron-4",
        "image/jpeg",
    )
    assert workshop.hole_ids("aileron").names(photo.holes) == ("A15:5",)
    whole, media = photo_file(workshop, photo.digest, whole=True)
    assert (whole.read_bytes(), media) == (content, "image/jpeg")
    small, _ = photo_file(workshop, photo.digest)
    with Image.open(small) as copy:
        assert max(copy.size) == 1400


def test_mark_cannot_speak_for_the_file(workshop: Workshop, phone: Phone) -> None:
    """Another digest, kind and size in the mark count for nothing."""
    mark = phone.mark("note-written", text="x") | {
        "body": {"digest": "f" * 64, "media": "text/html", "byte_count": 1}
    }
    content = picture()
    assert not keep_photo_of(workshop, phone.sender, mark, content).refused
    (photo,) = workshop.state().assembly("aileron").photos
    assert (photo.digest == "f" * 64, photo.media) == (False, "image/jpeg")


@pytest.mark.parametrize("content", [b"", b"<script>", picture()[:40]])
def test_what_is_no_picture_leaves_no_fact(
    workshop: Workshop, phone: Phone, content: bytes
) -> None:
    """Refused, and the record stays as long as it was."""
    before = workshop.position()
    with pytest.raises(FactRefused):
        keep_photo_of(workshop, phone.sender, phone.mark("photo-taken"), content)
    assert workshop.position() == before


def test_file_that_cannot_be_written_leaves_no_fact(
    workshop: Workshop, phone: Phone, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The disk is full: no fact speaks of a photo that is not there."""

    def full(*said: Any) -> None:
        raise StoreRefused(
            asked="keep a photo", found="no room", allowed="room", do="make room"
        )

    monkeypatch.setattr(photos, "keep_photo", full)
    before = workshop.position()
    with pytest.raises(StoreRefused):
        keep_photo_of(workshop, phone.sender, phone.mark("photo-taken"), picture())
    assert workshop.position() == before


def test_link_that_reads_keeps_no_photo(workshop: Workshop) -> None:
    """Nothing of it is written to the disk either."""
    inspector = Phone(workshop, "link-1", "inspector", READS)
    with pytest.raises(NotAllowed):
        keep_photo_of(
            workshop, inspector.sender, inspector.mark("photo-taken"), picture()
        )
    assert not list(workshop.photo_folder.rglob("*"))


def test_photo_that_nothing_speaks_of_is_not_shown(
    workshop: Workshop, phone: Phone
) -> None:
    """Not by an unknown digest, nor by one that is a path."""
    for digest in ("0" * 64, "../../shop.yaml"):
        with pytest.raises(NotFound):
            photo_file(workshop, digest)


def test_same_photo_twice_is_one_file(workshop: Workshop, phone: Phone) -> None:
    """Of two holes: two facts, one file and its smaller copy."""
    content = picture()
    for hole in ("A15:5", "A15:6"):
        mark = phone.mark("photo-taken", hole)
        assert not keep_photo_of(workshop, phone.sender, mark, content).refused
    assert len(workshop.state().assembly("aileron").photos) == 2
    files = [path for path in workshop.photo_folder.rglob("*") if path.is_file()]
    assert len(files) == 2
