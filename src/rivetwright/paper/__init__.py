"""The paper face: hole maps, hole table and findings of an assembly as PDF."""

from rivetwright.paper.pack import write_pack

__all__ = ["write_pack"]
