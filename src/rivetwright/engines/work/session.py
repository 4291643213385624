"""What one evening has: hours, noise, a second person, rivets, dry primer."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, time, timedelta

from rivetwright.engines.work.pieces import REPLACE, SET, Piece
from rivetwright.engines.work.waits import DRYING, QUIET, SECOND, STOCK, Wait

_MINUTE = timedelta(minutes=1)


@dataclass(frozen=True)
class Session:
    """One time at the bench.

    Args:
        begins: when it begins, by the wall clock of the shop.
        minutes: how long it is [min].
        quiet_after: from when nothing noisy is done; None: no such time.
        has_second: whether a second person is there.
        stock: rivets on hand by code; what was never counted is not in it.
        on_bench: key of the assembly that lies on the bench; empty for none.
        left_out: tools that are broken or lent, by id.
        avoided: keys of steps that leave an assembly in no state to be put away.
    """

    begins: datetime
    minutes: float
    quiet_after: time | None = None
    has_second: bool = False
    stock: Mapping[str, int] = field(default_factory=dict)
    on_bench: str = ""
    left_out: frozenset[str] = frozenset()
    avoided: frozenset[str] = frozenset()

    @property
    def noisy_minutes(self) -> float:
        """Minutes from the beginning during which noise may be made [min]."""
        if self.quiet_after is None:
            return self.minutes
        ends = datetime.combine(self.begins.date(), self.quiet_after)
        return max(0.0, min(self.minutes, (ends - self.begins) / _MINUTE))

    def lacks(self, piece: Piece) -> Wait | None:
        """What this evening lacks for a piece; None where it has everything."""
        if piece.people > 1 and not self.has_second:
            return Wait(SECOND, "")
        if piece.operation in (SET, REPLACE):
            wait = self._wet(piece) or self._short(piece)
            if wait is not None:
                return wait
        tools = set(piece.needs.tools)
        if tools and tools <= self.left_out:
            return Wait("tool", piece.needs.tools[0], state="left out")
        if piece.is_noisy and not piece.quiet_way and self.noisy_minutes <= 0.0:
            return Wait(QUIET, "")
        return None

    def _wet(self, piece: Piece) -> Wait | None:
        """Primer that dries beyond the beginning."""
        dry = piece.needs.dry_at
        if dry is None or dry <= self.begins:
            return None
        return Wait(DRYING, ", ".join(piece.needs.parts), until=dry.date())

    def _short(self, piece: Piece) -> Wait | None:
        for code, count in piece.needs.stock:
            there = self.stock.get(code)
            if there is not None and there < count:
                return Wait(STOCK, code, state=str(there))
        return None
