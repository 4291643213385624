"""The paper face: hole maps, hole table and findings of an assembly as PDF."""

from rivetwright.paper.pack import typeset, write_pack

__all__ = ["typeset", "write_pack"]
