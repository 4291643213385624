"""Photos: kept as they came, named by their digest, with a smaller copy for paper.

The type is taken from the content, never from a name that was sent. What a picture
says of its size is looked at before it is unpacked. The copy carries no place, no
time and no camera.
"""

from __future__ import annotations

import hashlib
import io
import warnings
from dataclasses import dataclass
from pathlib import Path

from PIL import Image, ImageOps, UnidentifiedImageError

from rivetwright.errors import FactRefused
from rivetwright.record.files import FileLayer, sync_names, write_for_good

BYTES_MAX = 25 * 1024 * 1024
PIXELS_MAX = 60_000_000
PRINT_SIDE_PX, PRINT_BYTES_MAX = 1400, 130 * 1024
KINDS = {
    "JPEG": ("image/jpeg", "jpg"),
    "PNG": ("image/png", "png"),
    "WEBP": ("image/webp", "webp"),
}
_DIGEST_LENGTH = 64


@dataclass(frozen=True)
class StoredPhoto:
    """A photo on the disk."""

    digest: str
    media: str
    byte_count: int
    path: Path
    print_path: Path


def keep_photo(folder: Path, content: bytes, files: FileLayer) -> StoredPhoto:
    """Put a photo on the disk; there for good when this returns.

    Args:
        folder: where the photos of a record lie.
        content: the file as it was sent.
        files: the disk.

    Raises:
        FactRefused: too large, no picture, or of a kind that is not taken.
    """
    if len(content) > BYTES_MAX:
        raise _refused(f"{len(content) / 1e6:.0f} MB")
    kind, copy = _print_copy(content)
    media, _ = KINDS[kind]
    digest = hashlib.sha256(content).hexdigest()
    path = photo_path(folder, digest, media)
    print_path = print_copy_path(folder, digest)
    for name, what in ((print_path, copy), (path, content)):
        if name.is_file():
            sync_names(name, files)
        else:
            write_for_good(name, what, files)
    return StoredPhoto(digest, media, len(content), path, print_path)


def photo_path(folder: Path, digest: str, media: str) -> Path:
    """Where a photo lies.

    Raises:
        FactRefused: the digest is none, so that no name can lead elsewhere.
    """
    _check_digest(digest)
    endings = dict(KINDS.values())
    return folder / digest[:2] / f"{digest}.{endings.get(media, 'jpg')}"


def print_copy_path(folder: Path, digest: str) -> Path:
    """Where the smaller copy lies.

    Raises:
        FactRefused: the digest is none.
    """
    _check_digest(digest)
    return folder / digest[:2] / f"print-{digest}.jpg"


def _check_digest(digest: str) -> None:
    is_hex = all(letter in "0123456789abcdef" for letter in digest)
    if len(digest) != _DIGEST_LENGTH or not is_hex:
        raise FactRefused(
            asked="find a photo",
            found=repr(digest)[:80],
            allowed="64 hexadecimal digits",
            do="open it from the page that shows it",
        )


def _print_copy(content: bytes) -> tuple[str, bytes]:
    """The kind of a picture, and its copy for paper."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            picture = Image.open(io.BytesIO(content), formats=tuple(KINDS))
            kind = str(picture.format)
            if picture.width * picture.height > PIXELS_MAX:
                raise _refused(f"{picture.width} x {picture.height} pixels")
            picture.draft("RGB", (PRINT_SIDE_PX * 2, PRINT_SIDE_PX * 2))
            turned = ImageOps.exif_transpose(picture).convert("RGB")
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError) as problem:
        raise _refused("a file that is no picture, or a broken one") from problem
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as problem:
        raise _refused("a picture that unpacks to too much") from problem
    turned.thumbnail((PRINT_SIDE_PX, PRINT_SIDE_PX))
    turned.info.clear()  # a comment in the photo would be written along
    return kind, _small(turned)


def _small(picture: Image.Image) -> bytes:
    """A picture as JPEG within the bytes allowed: lower quality, then smaller."""
    while True:
        for quality in (82, 72, 60, 48):
            out = io.BytesIO()
            picture.save(out, "JPEG", quality=quality, optimize=True)
            if out.tell() <= PRINT_BYTES_MAX:
                return out.getvalue()
        picture = picture.resize((picture.width * 3 // 4, picture.height * 3 // 4))


def _refused(found: str) -> FactRefused:
    return FactRefused(
        asked="keep a photo",
        found=found,
        allowed=f"JPEG, PNG or WebP, at most {BYTES_MAX // 1024 // 1024} MB and "
        f"{PIXELS_MAX // 1_000_000} million pixels",
        do="take it again smaller, or save it as JPEG",
    )
