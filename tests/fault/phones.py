"""Two phones that were off the network for a day, and a network that loses things."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from rivetwright.record.fact import Fact

Send = Callable[[Sequence[Fact]], set[str]]


@dataclass
class Phone:
    """A phone with marks that wait; it forgets one only when told that it is kept."""

    waiting: list[Fact]
    sent_before: list[list[Fact]] = field(default_factory=list)

    def send(self, send: Send, chance: random.Random) -> None:
        """Send the first so many; the network decides what becomes of them."""
        batch = self.waiting[: chance.randint(1, 60)]
        fate = chance.choice(("arrives", "answer lost", "lost", "twice", "late"))
        if fate == "lost":
            return
        if fate == "late":  # an old batch comes out of the network only now
            if self.sent_before:
                send(chance.choice(self.sent_before))
            return
        self.sent_before.append(batch)
        kept = send(batch)
        if fate == "twice":
            kept = send(batch[::-1])
        if fate != "answer lost":
            self.waiting = [one for one in self.waiting if one.id not in kept]


def empty_all(phones: Sequence[Phone], send: Send, chance: random.Random) -> int:
    """Let the phones send in any order until nothing waits; return the tries."""
    tries = 0
    while any(phone.waiting for phone in phones):
        chance.choice([one for one in phones if one.waiting]).send(send, chance)
        tries += 1
    return tries
