"""How strongly a finding speaks."""

from enum import StrEnum


class Severity(StrEnum):
    """Stop: do not set it. Check: ask or measure first. Note: know it."""

    STOP = "stop"
    CHECK = "check"
    NOTE = "note"
