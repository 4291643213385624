"""Templates filled in: what every page may call, and how figures are written."""

from __future__ import annotations

from datetime import datetime
from pathlib import PurePath
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined

from rivetwright.bench.open import Assembly
from rivetwright.engines.checks import Finding
from rivetwright.texts.say import FindingWords, say_finding, say_title, say_witness
from rivetwright.web import addresses
from rivetwright.web.figures import system_of
from rivetwright.web.sayings import sayings


class Renderer:
    """Fills the templates of the pages in one language."""

    def __init__(self, language: str = "en") -> None:
        self.say = sayings(language)
        self.environment = Environment(
            loader=PackageLoader("rivetwright.web"),
            autoescape=True,
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
        )
        self.environment.globals |= {
            "say": self.say,
            "addresses": addresses,
            "say_finding": finding_words,
            "say_title": say_title,
            "say_witness": say_witness,
        }
        self.environment.filters |= {"moment": moment, "filename": filename}

    def fill(self, template: str, **values: Any) -> str:
        """A template filled in."""
        return self.environment.get_template(template).render(**values)


def finding_words(finding: Finding, assembly: Assembly) -> FindingWords:
    """The sentences of a finding in the assembly's unit."""
    return say_finding(finding, system_of(assembly.worked_plan))


def moment(when: datetime) -> str:
    """A time as a person reads it, on the clock of this machine."""
    return f"{when:%Y-%m-%d %H:%M:%S}"


def filename(path: str) -> str:
    """The last part of a path: the folder stands on the page once."""
    return PurePath(path).name
