"""The order of a step as a page: what is chosen, what breaks tonight, what is held.

Step flap-4 sets C8 to C12 (scenario of the demo): 70 rivets of 3/32, of which C9 and
C10 take gun and bar and a second person.
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from html import unescape
from pathlib import Path
from urllib.parse import parse_qsl

import pytest

from rivetwright.bench.workshop import Workshop
from rivetwright.web.app import create_app
from rivetwright.web.wishes import WISHES
from tests.unit.web.site import Site

STEP, BENCH = "/assembly/flap/order/flap-4", "/bench/flap?step=flap-4"
FORM = re.compile(r"<form class=\"mark.*?</form>", re.DOTALL)
HIDDEN = re.compile(r'type="hidden" name="([^"]*)" value="([^"]*)"')


@pytest.fixture
def site(demo_folder: Path, tmp_path: Path) -> Iterator[Site]:
    """A copy of the demo whose record was begun."""
    folder = tmp_path / "ostrel"
    shutil.copytree(demo_folder, folder)
    opened = Workshop(folder)
    opened.begin()
    yield Site(create_app(opened), opened)
    opened.close()


def words_of(text: str) -> str:
    """Text as it is read: one blank between words."""
    return " ".join(text.split())


def words(html: str) -> str:
    """The words of a page, without its pictures and folded tables."""
    bare = re.sub(r"<svg.*?</svg>", "", html[html.index("<main") :], flags=re.DOTALL)
    return words_of(unescape(re.sub(r"<[^>]+>", " ", bare)))


def look(site: Site, address: str = STEP, **more: object) -> str:
    """The words of a page that is there."""
    answer = site.ask("GET", address, **more)
    assert answer.status_code == 200
    return words(answer.text)


def send(site: Site, address: str, button: str, **typed: str) -> str:
    """Press a button of a page's form; gives the address it leads to."""
    page = site.ask("GET", address).text
    form = next(one for one in FORM.findall(page) if button in words_of(unescape(one)))
    fields = {name: unescape(value) for name, value in HIDDEN.findall(form)} | typed
    action = re.search(r'action="([^"]*)"', form)
    assert action is not None
    answer = site.ask("POST", unescape(action[1]), data=fields)
    assert answer.status_code == 303
    return str(answer.headers["location"])


def test_minutes_stand_beside_the_kits_for_every_step(site: Site) -> None:
    """The table of steps has the kit's 150 min for flap-4, the planned on asking."""
    plain = look(site, "/assembly/flap/order")
    assert "150 min" in plain
    assert "Planned, from here" not in plain
    asked = look(site, "/assembly/flap/order?minutes=yes")
    assert "Planned, from here" in asked


def test_tool_that_breaks_is_left_out_from_here(site: Site) -> None:
    """The pneumatic squeezer breaks: the hand squeezer does it; it comes back."""
    assert "hand squeezer, yoke" not in look(site).partition("Set-ups and runs")[2]
    assert send(site, STEP, "pneumatic squeezer broke") == STEP
    without = look(site)
    assert "pneumatic squeezer : broken." in without
    assert "hand squeezer, yoke" in without.partition("Set-ups and runs")[2]
    at_bench = look(site, BENCH)
    assert "pneumatic squeezer : broken." in at_bench
    send(site, STEP, "pneumatic squeezer is back")
    assert "hand squeezer, yoke" not in look(site).partition("Set-ups and runs")[2]


def test_hole_suddenly_held_is_left_open_from_here(site: Site) -> None:
    """C12:5 must wait: every run along C12 says to leave the 5th open."""
    held = {"names": "C12:5", "text.reason": "burr found"}
    assert send(site, STEP, "Hold them", **held) == STEP
    now = look(site)
    assert "Left open : C12:5." in now or "Left open: C12:5." in now
    assert "Leave the 5th open." in now


def test_what_if_a_hole_had_to_wait_changes_nothing(site: Site) -> None:
    """Asked with a hole that must wait it stays open; asked without, it is set."""
    assert "Leave the 5th open." in look(site, f"{STEP}?held=C12:5")
    assert "Leave the 5th open." not in look(site)
    assert site.ask("GET", f"{STEP}?held=C99:1").status_code == 404


def test_what_is_chosen_holds_at_the_bench_too(site: Site) -> None:
    """Alone: nothing for two people on the page, kept for the evening, at the bench."""
    answer = site.ask("GET", f"{STEP}?chosen=yes&alone=yes")
    kept = answer.cookies[WISHES]
    assert dict(parse_qsl(kept.strip('"'))) == {"alone": "yes"}
    cookie = {"headers": {"cookie": f"{WISHES}={kept}"}}
    for address in (STEP, BENCH):
        shown = look(site, address, **cookie)
        assert "As you chose : alone" in shown.replace("chose:", "chose :")
    assert "two people" not in look(site, STEP, **cookie).partition("Set-ups")[2]
    assert "As you chose" not in look(site, BENCH)


def test_holders_in_the_other_assembly_are_missing_here(site: Site) -> None:
    """Twenty of 3/32 in the flap's row C12: 60 of 80 are free for aileron-5."""
    holes = {"names": "C12:1-20", "yes.is_in": "yes"}
    page = site.ask("GET", BENCH).text
    form = next(
        one for one in FORM.findall(page) if 'name="names"' in one and "is_in" in one
    )
    fields = {name: unescape(value) for name, value in HIDDEN.findall(form)} | holes
    assert site.ask("POST", "/bench/flap/mark", data=fields).status_code == 303
    for address in ("/assembly/aileron/order/aileron-5", "/assembly/aileron/holders"):
        assert "20 of 3/32 are in Flap." in look(site, address)
    assert "60 free" in look(site, "/assembly/aileron/order/aileron-5")


def test_holder_plans_are_a_page(site: Site) -> None:
    """Scenario: 37 of 3/32 for aileron-5 and aileron-6, 19 of 1/8 for aileron-8."""
    shown = look(site, "/assembly/aileron/holders?step=aileron-5")
    assert "Steps aileron-5 to aileron-6 3/32 37" in shown
    assert "1/8 19" in shown
    assert "A11: every second from the 1st to the 37th." in shown
    assert site.ask("GET", "/assembly/aileron/holders?step=x").status_code == 404


def test_every_figure_of_the_minutes_is_shown(site: Site) -> None:
    """The table's 180 s for another yoke, COMMON PRACTICE, by its name."""
    assert "yoke another yoke 180 s COMMON PRACTICE" in look(site)
