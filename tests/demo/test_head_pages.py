"""Each head of the scenario's log on its own page: verdict, cause, what to do.

Sizes and remarks are those of the scenario's section 10, the limits MIL-R-47196A: 1/8
at least .163 wide and .050 to .070 high, 3/32 at least .122 wide and .038 to .050
high. The metal is worked by hand in `test_heads`.
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from rivetwright.bench.heads import Heads
from rivetwright.bench.heads_due import due_heads
from rivetwright.bench.workshop import Workshop
from rivetwright.web.app import create_app
from tests.unit.web.conftest import Ask, ask_of

NOW = datetime(2026, 11, 25, 19, 0, tzinfo=UTC)


@pytest.fixture(scope="module")
def workshop(
    root: Path, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Workshop]:
    """A copy of the demo with its record begun."""
    folder = tmp_path_factory.mktemp("heads") / "ostrel"
    shutil.copytree(root / "examples" / "ostrel", folder)
    opened = Workshop(folder, clock=lambda: NOW)
    opened.begin()
    yield opened
    opened.close()


@pytest.fixture(scope="module")
def ask(workshop: Workshop) -> Ask:
    """Ask its pages."""
    return ask_of(create_app(workshop))


def words_of(page: str) -> str:
    """A page as it is read, without its marks."""
    return " ".join(re.sub(r"<[^>]+>", " ", page).split())


# Hole; verdict and its reason; likeliest cause, empty where nothing is to be explained;
# what to do.
HEADS = [
    ("aileron", "A3:1", "Stays: inside MIL-R-47196A", "", "Leave it."),
    ("aileron", "A5:1", "Stays: inside MIL-R-47196A", "", "Leave it."),
    (
        *("aileron", "A5:2", "Not as it should be: leans; tail bent over"),
        *("Tool not held square", "Take it out and set another."),
    ),
    (
        *("aileron", "A6:2", "Not as it should be: .073 in high, at most .070 in"),
        *("Not set far enough", "Squeeze it again."),
    ),
    (
        *("aileron", "A9:2", "Ask before it stays: cracked"),
        *("Rivet long for the stack", "Ask the kit supplier."),
    ),
    (
        *("aileron", "A14:3", "Not as it should be: .115 in wide, at least .122 in"),
        *("Another length in the hole", "Take it out and set another."),
    ),
    (
        *("aileron", "A15:5", "Stays: inside MIL-R-47196A"),
        *("Dimple or countersink too shallow", "Leave it."),
    ),
    (
        *("root-rib", "B1:5", "Not as it should be: .045 in high, at least .050 in"),
        *("Set too far", "Take it out and set another."),
    ),
    (
        *("root-rib", "B6:2", "Stays: inside MIL-R-47196A; off centre"),
        *("Tool not held square", "Leave it."),
    ),
    (
        *("root-rib", "B13:4", "Stays: inside MIL-R-47196A; shallow tool mark"),
        *("The set slipped or bounced", "Leave it."),
    ),
]


@pytest.mark.parametrize(
    ("key", "name", "verdict", "cause", "action"), HEADS, ids=[one[1] for one in HEADS]
)
def test_page_of_a_head_says_what_the_log_found(
    ask: Ask, key: str, name: str, verdict: str, cause: str, action: str
) -> None:
    """Verdict in one line, first cause, advice; what came out since says so."""
    answer = ask(f"/bench/{key}/head/{name}/answer")
    assert answer.status_code == 200
    said = words_of(answer.text)
    assert verdict in said
    assert f"Advised: {action}" in said
    after = said.partition("Likely causes ")[2]
    assert after.startswith(cause or "Nothing to explain")
    assert ("was taken out since" in said) == (name in ("A5:2", "A14:3", "B1:5"))


def test_page_shows_the_working_of_the_metal(ask: Ask) -> None:
    """A6:2: .196^2 x .073 / .125^3 = 1.436, called for 1.409; .060 by .013 more."""
    said = words_of(ask("/bench/aileron/head/A6:2/answer").text)
    assert "(.196 in)² × .073 in / (1/8 in)³ 1.436 D³" in said
    assert "1.409 D³" in said
    assert ".013 in more shim" in said
    assert "down to .060 in high; it comes out about .216 in wide" in said


def test_page_shows_all_other_limits(ask: Ask) -> None:
    """A6:2 is high for one set and passes those without so low a greatest height."""
    said = words_of(ask("/bench/aileron/head/A6:2/answer").text)
    assert "fails MIL-R-47196A: .073 in high, at most .070 in" in said
    assert "passes MIL-HDBK-5H" in said
    assert "passes pocket handbook" in said


def test_wrong_drawer_is_named_with_its_length(ask: Ask) -> None:
    """A14:3 holds .835 D^3: a -2.5 leaves .859, the -3 called for 1.192."""
    said = words_of(ask("/bench/aileron/head/A14:3/answer").text)
    assert "a rivet -2.5 leaves 0.859, the one called for 1.192" in said


def test_first_heads_of_each_set_up_are_due(workshop: Workshop) -> None:
    """A5:1 was measured, A5:2 is new; of A5, A6 with -5.5 two more of the first three.

    A6:2 was off: after it the count begins again with A6:3. A9:2 likewise: A9:3.
    """
    heads = Heads(workshop.now().assembly("aileron").worked_plan, workshop.state())
    due = {one.name: one.why for one in due_heads(heads)}
    assert due["A5:3"] == due["A6:1"] == "first of a set-up"
    assert due["A6:3"] == due["A9:3"] == "after a head that was off"
    assert not {"A3:1", "A5:1", "A6:2", "A9:2"} & set(due)


def test_list_of_due_heads_names_them_and_what_is_wanting(ask: Ask) -> None:
    """A6:2 too high and A9:2 cracked still sit there; those taken out do not count."""
    said = words_of(ask("/bench/aileron/heads").text)
    wanting = said.partition("Found wanting")[2]
    assert "A6:2 too high" in wanting
    assert "A9:2 cracked" in wanting
    assert "A14:3" not in wanting
