"""What can be done, what waits and for what, as JSON: minutes, days, holes by name."""

from __future__ import annotations

from typing import Any

from rivetwright.bench.tonight import Tonight
from rivetwright.engines.work.chain import Chain
from rivetwright.engines.work.now import Held, Turn
from rivetwright.engines.work.pieces import Minutes, Piece
from rivetwright.engines.work.unlocks import Unlock
from rivetwright.engines.work.waits import Wait

FORMAT = "rivetwright tonight 1"


def tonight_result(told: Tonight, chain: Chain | None = None) -> dict[str, Any]:
    """Everything of an evening, and the chain in the way of a step where one is asked.

    Args:
        told: what can be done at one time at the bench.
        chain: what stands in the way of a step.
    """
    session = told.session
    made: dict[str, Any] = {
        "format": FORMAT,
        "begins": session.begins.isoformat(timespec="minutes"),
        "free_min": session.minutes,
        "has_helper": session.has_second,
        "is_in_calendar": told.is_in_calendar,
        "can": [_turn(turn) for turn in told.now.turns],
        "later": [_piece(piece) for piece in told.now.later],
        "waits": [_held(held) for held in told.now.held],
        "unlocks": [_unlock(one) for one in told.unlocks],
    }
    if chain is not None:
        made["closing"] = _chain(chain)
    return made


def _minutes(minutes: Minutes) -> dict[str, Any]:
    return {
        "low_min": round(minutes.low, 1),
        "likely_min": round(minutes.likely, 1),
        "high_min": round(minutes.high, 1),
        "rests_on": minutes.basis,
        "status": str(minutes.status),
    }


def _piece(piece: Piece) -> dict[str, Any]:
    return {
        "assembly": piece.assembly,
        "step": piece.step,
        "operation": piece.rate_name,
        "holes": list(piece.names),
        "part": piece.part,
        "count": piece.count,
        "counted": piece.counted,
        "people": piece.people,
        "is_noisy": piece.is_noisy,
        **_minutes(piece.minutes),
    }


def _turn(turn: Turn) -> dict[str, Any]:
    return {
        "begins_min": round(turn.begins, 1),
        "operation": turn.way or turn.first.rate_name,
        "is_set_up": turn.is_set_up,
        "is_moved": turn.is_moved,
        "count": turn.count,
        "whole_count": turn.whole_count,
        **_minutes(turn.minutes),
        "pieces": [_piece(piece) for piece in turn.pieces],
    }


def _wait(wait: Wait) -> dict[str, Any]:
    return {
        "kind": wait.kind,
        "name": wait.name,
        "reason": wait.reason,
        "until": wait.until.isoformat() if wait.until else None,
        "state": wait.state,
    }


def _held(held: Held) -> dict[str, Any]:
    return {
        "assembly": held.pieces[0].assembly,
        "step": held.pieces[0].step,
        "waits_for": _wait(held.wait),
        "at_the_bottom": _wait(held.root) if held.root else None,
        "may_leave": held.may_leave,
        "likely_min": round(held.minutes, 1),
        "pieces": [_piece(piece) for piece in held.pieces],
    }


def _unlock(one: Unlock) -> dict[str, Any]:
    return {
        "way": one.way,
        "waits_for": _wait(one.wait),
        "frees_min": round(one.freed_minutes, 1),
        "behind_min": round(one.behind_minutes, 1),
        "steps": list(one.steps),
    }


def _chain(chain: Chain) -> dict[str, Any]:
    return {
        "step": chain.goal,
        "by": chain.day.isoformat() if chain.day else None,
        "earliest": chain.earliest.isoformat() if chain.earliest else None,
        "is_possible": chain.is_possible,
        "no_day_known": [_wait(wait) for wait in chain.unknown],
        "steps": [
            {
                "step": link.step,
                "likely_min": round(link.minutes, 1),
                "from": link.ready.isoformat(),
                "done": link.ends.isoformat(),
                "decides": _wait(link.decides) if link.decides else None,
                "on_chain": link.is_chain,
            }
            for link in chain.links
        ],
    }
