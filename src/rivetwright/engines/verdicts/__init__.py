"""The checks themselves, by subject; importing this registers them all."""

from rivetwright.engines.verdicts import flush, length, place, reach, stack, text

__all__ = ["flush", "length", "place", "reach", "stack", "text"]
