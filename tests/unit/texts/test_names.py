"""Short names and sentences of quantities keep to their form."""

from __future__ import annotations

from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.say import say_about, say_title

TITLE_LETTERS_MOST = 40
NAMES = sorted(catalogue().section("quantity"))


def test_short_names_are_short_and_told_apart() -> None:
    """A name fits a label, and no two quantities share one."""
    titles = [say_title(name) for name in NAMES]
    assert [title for title in titles if len(title) > TITLE_LETTERS_MOST] == []
    assert len(set(titles)) == len(titles)


def test_a_quantity_is_told_in_one_sentence() -> None:
    """From a capital letter to the one full stop."""
    for name in NAMES:
        about = say_about(name)
        assert about[0].isupper(), name
        assert about.endswith("."), name
        assert ". " not in about, name
