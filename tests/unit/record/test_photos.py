"""Photos are taken by what they are, not by what they are called."""

from __future__ import annotations

import hashlib
import io
import struct
import zlib
from pathlib import Path

import pytest
from PIL import Image

from rivetwright.errors import FactRefused
from rivetwright.record.files import RealFiles
from rivetwright.record.photos import BYTES_MAX, PRINT_BYTES_MAX, keep_photo


def drawn(kind: str, mode: str = "RGB") -> bytes:
    """A small picture of one kind."""
    out = io.BytesIO()
    Image.new(mode, (40, 20)).save(out, kind)
    return out.getvalue()


def chunk(name: bytes, content: bytes) -> bytes:
    """A part of a PNG file: length, name, content, checksum."""
    checksum = struct.pack(">I", zlib.crc32(name + content))
    return struct.pack(">I", len(content)) + name + content + checksum


def claimed_png(width: int, height: int) -> bytes:
    """A PNG of a few bytes whose head claims a size, with no picture in it."""
    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    parts = chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"0"))
    return b"\x89PNG\r\n\x1a\n" + parts + chunk(b"IEND", b"")


@pytest.mark.parametrize(
    ("kind", "media", "ending"),
    [
        ("JPEG", "image/jpeg", ".jpg"),
        ("PNG", "image/png", ".png"),
        ("WEBP", "image/webp", ".webp"),
    ],
)
def test_photo_is_kept_as_it_came_under_its_digest(
    tmp_path: Path, kind: str, media: str, ending: str
) -> None:
    """The name is the SHA-256 of the bytes, in a folder of its first two digits."""
    content = drawn(kind)
    stored = keep_photo(tmp_path, content, RealFiles())
    digest = hashlib.sha256(content).hexdigest()
    assert (stored.digest, stored.media) == (digest, media)
    assert stored.path == tmp_path / digest[:2] / (digest + ending)
    assert stored.path.read_bytes() == content
    assert stored.byte_count == len(content)


@pytest.mark.parametrize("mode", ["RGBA", "P", "L", "1", "LA", "I;16"])
def test_every_way_of_colouring_has_a_print_copy(tmp_path: Path, mode: str) -> None:
    """See-through, palette, grey, black and white, 16 bit: all become JPEG."""
    stored = keep_photo(tmp_path, drawn("PNG", mode), RealFiles())
    with Image.open(stored.print_path) as copy:
        assert (copy.format, copy.mode) == ("JPEG", "RGB")


@pytest.mark.parametrize(
    "content",
    [
        pytest.param(b"", id="nothing"),
        pytest.param(b"MZ" + bytes(200), id="program"),
        pytest.param(b"<svg onload='x()'/>", id="drawing with a script"),
        pytest.param(drawn("GIF"), id="gif"),
        pytest.param(drawn("TIFF"), id="tiff"),
        pytest.param(drawn("JPEG")[:200], id="cut off"),
        pytest.param(drawn("PNG")[:60], id="png cut off"),
        pytest.param(claimed_png(60, 60), id="head without a picture"),
        pytest.param(claimed_png(10_000, 6_001), id="over 60 million pixels"),
        pytest.param(claimed_png(60_000, 60_000), id="picture bomb"),
        pytest.param(bytes(BYTES_MAX + 1), id="over 25 MB"),
    ],
)
def test_what_is_no_photo_is_refused_and_leaves_nothing(
    tmp_path: Path, content: bytes
) -> None:
    """The type is read from the content; sizes are looked at before unpacking."""
    with pytest.raises(FactRefused) as refused:
        keep_photo(tmp_path, content, RealFiles())
    assert "25 MB" in refused.value.allowed
    assert list(tmp_path.iterdir()) == []


def test_copy_tells_no_place_and_no_camera(tmp_path: Path) -> None:
    """EXIF with a maker, a date and a place: none of it is in the copy."""
    tags = Image.Exif()
    tags[0x010F], tags[0x0132] = "CameraWorks", "2026:11:25 19:00:00"
    tags.get_ifd(0x8825)[1] = "N"
    out = io.BytesIO()
    Image.new("RGB", (60, 40)).save(out, "JPEG", exif=tags, comment=b"at home")
    stored = keep_photo(tmp_path, out.getvalue(), RealFiles())
    said = stored.print_path.read_bytes()
    assert not any(word in said for word in (b"CameraWorks", b"2026:", b"at home"))
    with Image.open(stored.print_path) as copy:
        assert len(copy.getexif()) == 0


def test_noise_is_brought_under_the_limit(tmp_path: Path) -> None:
    """Coloured noise hardly shrinks; the copy still stays under 130 KB."""
    noise = [Image.effect_noise((1600, 1200), 120) for _ in range(3)]
    out = io.BytesIO()
    Image.merge("RGB", noise).save(out, "JPEG", quality=90)
    stored = keep_photo(tmp_path, out.getvalue(), RealFiles())
    assert stored.print_path.stat().st_size <= PRINT_BYTES_MAX
