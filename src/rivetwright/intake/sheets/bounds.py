"""What a spreadsheet may hold at most, looked at before anything is unpacked."""

from __future__ import annotations

import io
import re
import zipfile

from rivetwright.intake.sheets.cell_faults import CellFaults

BYTES_MOST = 20_000_000
UNPACKED_MOST = 80_000_000
FILES_MOST = 500
LINES_MOST = 200_000
COLUMNS_MOST = 200

# Sheets have no use for either; what they hide unfolds to any size or reads files.
_DECLARES = re.compile(rb"<!(?:DOCTYPE|ENTITY)|<\x00!\x00(?:D|E)|\x00<\x00!\x00(?:D|E)")


def opened_zip(raw: bytes, faults: CellFaults) -> zipfile.ZipFile | None:
    """Open a packed file whose whole size is within bounds, or note why not.

    A packed file tells the size of its parts; no more than that is ever unpacked, so
    the sum can be held to a limit before reading.
    """
    if len(raw) > BYTES_MOST:
        found = f"{len(raw):,} bytes"
        _too_much(faults, found, f"at most {BYTES_MOST:,} bytes")
        return None
    try:
        packed = zipfile.ZipFile(io.BytesIO(raw))
    except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError):
        do = "Save it as an XLSX workbook, or as CSV"
        faults.add((), "a file that is no XLSX workbook", "an XLSX workbook", do)
        return None
    parts = packed.infolist()
    size = sum(part.file_size for part in parts)
    if len(parts) > FILES_MOST or size > UNPACKED_MOST:
        found = f"{len(parts):,} parts that unpack to {size:,} bytes"
        _too_much(faults, found, f"{FILES_MOST} parts, {UNPACKED_MOST:,} bytes")
        return None
    if any(part.flag_bits & 1 for part in parts):
        do = "Save it again without a password"
        faults.add((), "a file locked by a password", "an open file", do)
        return None
    return packed


def declares_nothing(packed: zipfile.ZipFile, faults: CellFaults) -> bool:
    """Whether no part of a workbook declares texts of its own; notes it where one does.

    Raises:
        BadZipFile: a part is torn.
    """
    for part in packed.infolist():
        is_text = part.filename.endswith((".xml", ".rels", ".vml"))
        if is_text and _DECLARES.search(packed.read(part)):
            found = f"declarations in {part.filename}"
            do = "Save it again with a spreadsheet program"
            faults.add((), found, "a workbook without declarations", do)
            return False
    return True


def _too_much(faults: CellFaults, found: str, allowed: str) -> None:
    """Note a file that is too large."""
    faults.add((), found, allowed, "Split it: one assembly a file")
