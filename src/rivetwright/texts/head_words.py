"""Heads in words: why, what to do, how to take one out, in the project's unit."""

from __future__ import annotations

from collections.abc import Mapping

from rivetwright.engines.heads.again import NotAgain
from rivetwright.engines.heads.decide import Reason
from rivetwright.engines.heads.entry import Question
from rivetwright.engines.heads.next_gates import Gated
from rivetwright.engines.heads.removal import RemovalStep
from rivetwright.engines.heads.suspect import Evidence
from rivetwright.engines.heads.verdict import Against, Broken
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.say import System, say_value
from rivetwright.units.wording import show_number


def _filled(
    section: str, key: str, figures: Mapping[str, float | str], system: System
) -> str:
    """A sentence of the catalogue with its figures put in."""
    said = {name: _said(name, value, system) for name, value in figures.items()}
    return catalogue().word(section, key).format(**said)


def _said(name: str, value: float | str, system: System) -> str:
    """A figure by the end of its name; a length code with its dash."""
    if name == "look" and isinstance(value, str):
        return catalogue().word("blind_look", value)
    dash = "-" if name.endswith("_16ths") else ""
    return f"{dash}{say_value(name, value, system)}"


def look_words(look: str) -> str:
    """What was seen on a head, or is wrong with it, in words."""
    words = catalogue()
    sections = ("head_look", "head_off", "head_by_eye", "blind_look")
    found = next((one for one in sections if look in words.section(one)), "head_look")
    return words.word(found, look)


def say_evidence(evidence: Evidence, system: System = "in") -> str:
    """What speaks for or against a cause, in one sentence."""
    return _filled("head_evidence", evidence.key, evidence.figures, system)


def say_removal_step(step: RemovalStep, system: System = "in") -> str:
    """One step of the removal card."""
    return _filled("removal_step", step.key, step.figures, system)


def say_broken(broken: Broken, system: System = "in") -> str:
    """A limit that a head breaks, with both figures."""
    figures = {"found_mm": broken.found_mm, "limit_mm": broken.limit_mm}
    return _filled("head_breach", broken.breach, figures, system)


def say_against(against: Against, system: System = "in") -> str:
    """How a head stands against a set of limits, and why."""
    figures = {"limit_set": against.limit_set}
    said = _filled("head_standing", against.standing, figures, system)
    why = "; ".join(say_broken(one, system) for one in against.broken)
    return f"{said}: {why}" if why else said


def say_not_again(not_again: NotAgain, system: System = "in") -> str:
    """Why a head is not squeezed again."""
    sizes = {"found_mm": not_again.found_mm, "limit_mm": not_again.limit_mm}
    known = {name: mm for name, mm in sizes.items() if mm is not None}
    return _filled("not_again", not_again.key, known, system)


def say_reason(
    reason: Reason, not_again: NotAgain | None = None, system: System = "in"
) -> str:
    """One reason of a decision; its source stands beside it.

    Args:
        reason: the reason.
        not_again: of the same decision, for the reason that speaks of it.
        system: the project's unit, in or mm.
    """
    if reason.key == "not again" and not_again is not None:
        about = say_not_again(not_again, system)
    elif reason.about:
        about = look_words(reason.about)
    else:
        about = ""
    return catalogue().word("head_reason", reason.key).format(about=about)


def say_gate(gate: Gated) -> str:
    """What the next size needs, and what was found."""
    figures = {
        name: value
        if isinstance(value, str)
        else show_number(value, digits=2, trim=True)
        for name, value in (
            ("found", "-" if gate.found == "" else gate.found),
            ("needed", gate.needed),
        )
    }
    return catalogue().word("head_gate", gate.gate).format(**figures)


def say_question(question: Question, system: System = "in") -> str:
    """A size that is hard to believe, and what such a rivet has."""
    unit = "_mm" if question.field.endswith("_mm") else ""
    figures = {
        name: str(say_value(f"{name}{unit}", value, system))
        for name, value in (
            ("found", question.found),
            ("least", question.least),
            ("most", question.most),
        )
    }
    return catalogue().word("head_field", question.field).format(**figures)
