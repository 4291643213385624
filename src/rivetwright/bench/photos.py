"""Photos from the bench: the file is on the disk before a fact speaks of it."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from rivetwright.bench.keep import Answer, Sender, keep
from rivetwright.bench.workshop import Workshop
from rivetwright.errors import NotAllowed, NotFound
from rivetwright.record.devices import READS
from rivetwright.record.files import RealFiles
from rivetwright.record.kinds import PhotoTaken
from rivetwright.record.photos import keep_photo, photo_path, print_copy_path

WORDS = ("holes", "step", "caption")


def keep_photo_of(
    workshop: Workshop, sender: Sender, mark: Mapping[str, Any], content: bytes
) -> Answer:
    """Keep a photo and the fact that speaks of it.

    What the fact says of the file is taken from the file, never from the mark.

    Raises:
        NotAllowed: the sender may only read.
        FactRefused: it is no picture, or too large.
        StoreRefused: the disk or the record cannot be written.
    """
    if sender.role == READS:
        raise NotAllowed(
            asked="keep a photo",
            found="a link that only reads",
            allowed="a device paired for marking",
            do="ask the builder to take it",
        )
    stored = keep_photo(workshop.photo_folder, content, RealFiles())
    said = mark.get("body")
    words = said if isinstance(said, Mapping) else {}
    body = {name: words[name] for name in WORDS if name in words} | {
        "digest": stored.digest,
        "media": stored.media,
        "byte_count": stored.byte_count,
    }
    kind = {"kind": PhotoTaken.name, "version": PhotoTaken.version, "body": body}
    return keep(workshop, sender, [{**mark, **kind}])


def photo_file(
    workshop: Workshop, digest: str, *, whole: bool = False
) -> tuple[Path, str]:
    """The file of a photo that the record speaks of, and its media type.

    Raises:
        NotFound: the record speaks of no such photo.
    """
    with workshop.lock:
        for assembly in workshop.state().assemblies.values():
            for photo in assembly.photos:
                if photo.digest == digest:
                    folder = workshop.photo_folder
                    if whole:
                        return photo_path(folder, digest, photo.media), photo.media
                    return print_copy_path(folder, digest), "image/jpeg"
    raise NotFound(
        asked="show a photo",
        found="none of that digest in the record",
        allowed="a photo that the record speaks of",
        do="open it from the page that shows it",
    )
