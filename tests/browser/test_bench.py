"""An evening at the bench on a phone: by touch, by key, and with scripting off.

Step aileron-8 of the demo sets row A12: 37 holes, of which the drawing leaves 18-20
and 37 open, so 33 are set, from the tin BD4-2 (scenario of the demo, tables of rows and
of steps). Sheet holders sit in every second hole: those between are set, then the
holders come out and the others are left. Which those are, the worked-out order says.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from rivetwright.record.kinds import GateTicked, HoldPut, RivetsSet
from tests.browser import at_bench
from tests.browser.at_bench import Bench, press, send, shown, wait_for
from tests.browser.conftest import words_of
from tests.browser.test_pages import violations

SET_IN_A12 = [*range(1, 18), *range(21, 37)]
KEYS = (" ", "Enter", "PageDown")
GATE = [
    *("drilled", "deburred", "film_off", "primer_dry"),
    *("chips_out", "sheets_shut", "head_side", "proof_head"),
]


@pytest.fixture
def phone(browser: Browser, bench: Bench) -> Iterator[BrowserContext]:
    """A phone on whose pages nothing is complained of; shut before the server is."""
    context = at_bench.phone(browser)
    said: list[str] = []
    context.on("console", lambda message: said.append(message.text))
    context.on("weberror", lambda problem: said.append(str(problem.error)))
    yield context
    context.close()
    assert said == []


def wait_for_state(page: Page, name: str, state: str) -> None:
    """Until the map holds a hole in a state; one that steps back has no own sign."""
    sign = f".hole.state-{state}[data-hole='{name}']"
    page.wait_for_selector(sign, state="attached")


def test_whole_evening_by_touch(phone: BrowserContext, bench: Bench) -> None:
    """Begin, mark what stays open, last chance, list, tray, two runs, stop, finish."""
    page = at_bench.open_step(phone, bench)
    at_bench.go_to_tray(page)
    press(page, "In the tray")
    assert shown(page) == "run"
    run = bench.next_run()
    press(page, at_bench.done_words(run))
    expect(page.locator(".stop-next")).to_have_text("A12:18 stays open")
    at_bench.shut_stop(page)
    at_bench.wait_until_kept(page)
    assert bench.set_holes("aileron", "A12") == at_bench.numbers(run)
    press(page, "In the tray")
    press(page, f"Done: {33 - run.count} set")
    expect(page.locator(".stop-next")).to_have_text("A12:18 stays open")
    at_bench.shut_stop(page)
    wait_for(page, "finish")
    press(page, "Step aileron-8 is done")
    at_bench.wait_until_kept(page)
    assert bench.set_holes("aileron", "A12") == SET_IN_A12
    first, second = bench.runs()
    assert (first.tray_count, first.left_over) == (run.count, 0)
    assert first.callout == "BD4-2"
    assert (second.tray_count, second.left_over) == (33 - run.count, 0)
    ticks = [e.fact.body for e in bench.fresh() if isinstance(e.fact.body, GateTicked)]
    lines = [t.line for t in ticks if t.gate == "ready:aileron-8"]
    assert [line.partition(" ")[0] for line in lines] == GATE
    assert bench.kinds()[:3] == ["step-begun", "left-open", "left-open"]
    assert bench.kinds()[-1] == "step-finished"


def test_whole_evening_by_key_alone(phone: BrowserContext, bench: Bench) -> None:
    """Space, Enter and Page down in turn, as a hand button sends one of them."""
    page = at_bench.open_step(phone, bench)
    pressed = itertools.cycle(KEYS)
    while shown(page) != "finish":
        if page.locator(".stop-all").is_visible():
            page.keyboard.press("PageDown")
            continue
        at_bench.wait_until_heard(page)
        before = page.evaluate(PROGRESS)
        page.keyboard.press(next(pressed))
        page.wait_for_function(f"before => ({PROGRESS}) !== before", arg=before)
    at_bench.wait_until_kept(page)
    assert bench.set_holes("aileron", "A12") == SET_IN_A12


# What a press changes: the screen, its open lines, or the stop over all of it.
PROGRESS = """[
  document.querySelector('[data-stage]:not([hidden])').dataset.stage,
  document.querySelectorAll('[data-stage]:not([hidden]) [data-done=no]').length,
  document.querySelector('.stop-all').hidden].join()"""


def test_whole_evening_with_scripting_off(browser: Browser, bench: Bench) -> None:
    """Every form does by itself what the script does: the record is the same."""
    context = at_bench.phone(browser, java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{bench.address}/bench/aileron?step=aileron-8")
    stage = page.locator("[data-stage]:not([hidden])")
    send(page, stage.get_by_role("button", name="Begin aileron-8"))
    while shown(page) in ("open", "close", "gate"):
        send(page, stage.locator("[data-done=no] .tick").first)
    run = bench.next_run()
    send(page, stage.get_by_role("button", name="In the tray"))
    stage.locator(".except summary").tap()
    stage.get_by_role("checkbox", name="4", exact=True).check()
    stage.get_by_role("radio", name="1", exact=True).check()
    send(page, stage.locator(".done-all"))
    left = [hole for hole in at_bench.numbers(run) if hole != 4]
    assert bench.set_holes("aileron", "A12") == left
    assert (bench.runs()[0].tray_count, bench.runs()[0].left_over) == (run.count, 1)
    send(page, page.get_by_role("button", name="Take back the rivets A12:"))
    assert bench.set_holes("aileron", "A12") == []
    context.close()


def test_other_rivet_without_a_script_asks_for_the_reason(
    browser: Browser, bench: Bench
) -> None:
    """Refused with what was found and what is allowed; with a reason it is taken."""
    context = at_bench.phone(browser, java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{bench.address}/bench/aileron?step=aileron-8&at=finish")
    page.locator("#one-hole > summary").tap()
    form = page.locator("#one-hole form").first
    form.locator("[name=names]").fill("A12:5")
    form.locator("[name='text.callout']").fill("BD4-3")
    send(page, form.locator("[type=submit]"))
    refused = words_of(page.locator(".refusal").inner_text())
    assert "BD4-3 in A12:5" in refused
    assert bench.runs() == []
    page.get_by_label("Reason").fill("the tin of BD4-2 is empty; supplier agreed")
    send(page, page.get_by_role("button", name="Send it with this reason"))
    assert bench.runs()[0].callout == "BD4-3"
    assert "supplier agreed" in bench.runs()[0].reason
    context.close()


def test_done_except_leaves_the_named_holes(
    phone: BrowserContext, bench: Bench
) -> None:
    """One rivet left over finds the missed hole; it comes again as a run of its own."""
    page = at_bench.open_step(phone, bench)
    at_bench.go_to_tray(page)
    press(page, "In the tray")
    run = bench.next_run()
    stage = page.locator("[data-kind=run]:not([hidden])")
    at_bench.wait_until_heard(page)
    stage.get_by_role("radio", name="1", exact=True).tap()
    press(page, at_bench.done_words(run))
    assert bench.runs() == []
    expect(stage.locator(".left-hint")).to_be_visible()
    stage.get_by_role("checkbox", name="8", exact=True).tap()
    press(page, f"Done: {run.count - 1} set")
    at_bench.wait_until_kept(page)
    assert bench.runs()[0].left_over == 1
    assert len(bench.set_holes("aileron", "A12")) == run.count - 1
    expect(page.locator("[data-kind=run]:not([hidden]) .where")).to_have_text(
        "The 8th. Leave the 18th to the 20th and the 37th open."
    )


def test_one_by_one_by_key_and_by_touch_on_the_map(
    phone: BrowserContext, bench: Bench
) -> None:
    """Each press is one rivet of its own, in order; the map takes the hole touched."""
    page = at_bench.open_step(phone, bench)
    at_bench.go_to_tray(page)
    press(page, "In the tray")
    names = bench.next_run().names
    press(page, "One by one")
    for name in names[:3]:
        expect(page.locator(".single-name:visible")).to_have_text(name)
        at_bench.wait_until_heard(page)
        page.keyboard.press("PageDown")
    expect(page.locator(".single-name:visible")).to_have_text(names[3])
    at_bench.wait_until_heard(page)
    hole = page.locator(".map-frame .hole[data-hole='A12:8']").bounding_box()
    assert hole is not None
    page.touchscreen.tap(hole["x"] + hole["width"] / 2, hole["y"] + hole["height"] / 2)
    at_bench.wait_until_kept(page)
    wait_for_state(page, "A12:8", "set")
    assert page.locator(".still-holes .filled").get_attribute("d").count("M") == 4
    assert bench.set_holes("aileron", "A12") == sorted(
        [8, *(int(name.partition(":")[2]) for name in names[:3])]
    )
    assert {run.run_s for run in bench.runs()} == {None}


def test_last_mark_is_taken_back_with_one_touch(
    phone: BrowserContext, bench: Bench
) -> None:
    """The run comes again, the map shows its holes drilled, the record both facts."""
    page = at_bench.open_step(phone, bench)
    at_bench.go_to_tray(page)
    press(page, "In the tray")
    run = bench.next_run()
    press(page, at_bench.done_words(run))
    at_bench.shut_stop(page)
    wait_for_state(page, run.names[0], "set")
    page.get_by_role("button", name="Take back the rivets A12:").tap()
    wait_for_state(page, run.names[0], "drilled")
    at_bench.wait_until_kept(page)
    assert bench.set_holes("aileron", "A12") == []
    assert bench.kinds()[-2:] == ["rivets-set", "undone"]
    again = page.locator(f"[data-run='{run.key}'][data-kind=run]")
    expect(again).to_have_attribute("data-done", "no")


def test_other_rivet_is_asked_for_its_reason_first(
    phone: BrowserContext, bench: Bench
) -> None:
    """A code other than the plan's goes nowhere without a reason."""
    page = at_bench.open_step(phone, bench)
    at_bench.go_to_tray(page)
    press(page, "Do not count")
    at_bench.wait_until_heard(page)
    stage = page.locator("[data-kind=run]:not([hidden])")
    stage.locator(".other-rivet summary").tap()
    stage.locator("[name='text.callout']").fill("BD4-3")
    press(page, at_bench.done_words(bench.next_run()))
    expect(stage.locator(".run-form [name='text.reason']")).to_be_focused()
    assert "rivets-set" not in bench.kinds()
    reason = stage.locator(".run-form [name='text.reason']")
    reason.fill("grip measured, asked the supplier")
    press(page, at_bench.done_words(bench.next_run()))
    page.locator(".stop-all").wait_for()
    at_bench.wait_until_kept(page)
    run = bench.runs()[0]
    assert (run.callout, run.tray_count) == ("BD4-3", None)
    assert run.reason == "grip measured, asked the supplier"


def test_set_in_an_open_hole_waits_for_its_reason(
    phone: BrowserContext, bench: Bench
) -> None:
    """The laptop refuses it; the page keeps the mark and asks; then it is taken."""
    page = at_bench.open_step(phone, bench)
    page.locator("#one-hole > summary").tap()
    form = page.locator("#one-hole form").first
    form.locator("[name=names]").fill("A12:18")
    form.locator("[name='text.callout']").fill("BD4-2")
    form.locator("[type=submit]").tap()
    asked = page.locator(".asked-back .refusal")
    asked.wait_for()
    assert "A12:18 to be left open" in words_of(asked.inner_text())
    assert "1 mark needs an answer" in page.locator(".state-line").inner_text()
    assert bench.runs() == []
    asked.get_by_label("Reason").fill("set by mistake; must come out")
    asked.get_by_role("button", name="Send it with this reason").tap()
    at_bench.wait_until_kept(page)
    assert bench.set_holes("aileron", "A12") == [18]
    assert bench.runs()[0].reason == "set by mistake; must come out"


def test_hold_note_question_and_hours_are_kept(
    phone: BrowserContext, bench: Bench
) -> None:
    """What is not setting: each form leaves its fact, and says so."""
    page = at_bench.open_step(phone, bench, "aileron-3")

    def fill(part: str, fields: dict[str, str]) -> None:
        place = page.locator(f"#{part}")
        if place.get_attribute("open") is None:
            place.locator("summary").first.tap()
        for name, words in fields.items():
            place.locator(f"[name='{name}']").first.fill(words)
        place.locator("[type=submit]").first.tap()
        expect(page.locator(".toast")).to_contain_text("Kept:")
        at_bench.wait_until_kept(page)

    fill("hold", {"names": "A2:2", "text.reason": "burr found"})
    fill("note", {"text.text": "<b>doubler</b> sits proud", "names": "A1:1-2"})
    fill("question", {"text.text": "Length of A1?", "names": "A1:1-3"})
    fill("holders", {"names": "A1:1"})
    fill(
        "opened-up", {"names": "A1:2", "text.drill": "No. 21", "text.reason": "slipped"}
    )
    page.locator("#hours summary").tap()
    page.get_by_role("button", name="drilling", exact=True).tap()
    page.wait_for_selector("#hours [aria-pressed=true]")
    page.get_by_role("button", name="Stop the timer").tap()
    at_bench.wait_until_kept(page)
    assert bench.kinds() == [
        *("hold-put", "note-written", "question-asked"),
        *("holder-moved", "hole-opened-up"),
        *("hours-begun", "hours-ended"),
    ]
    hold = bench.fresh()[0].fact.body
    assert isinstance(hold, HoldPut)
    assert hold.reason == "burr found"


def test_operations_row_by_row(phone: BrowserContext, bench: Bench) -> None:
    """Deburring of one sheet of a row of the flap is kept with row and part."""
    page = at_bench.open_step(phone, bench, "flap-3", "flap")
    page.locator("#operations > summary").tap()
    page.locator("#operations li[data-done=no] button").nth(1).tap()
    at_bench.wait_until_kept(page)
    (kind,) = bench.kinds()
    assert kind == "hole-worked"


def test_stop_shakes_and_speaks(phone: BrowserContext, bench: Bench) -> None:
    """Before an open hole the phone shakes, and says it aloud if that was wished."""
    phone.add_init_script(
        "window.shaken = []; navigator.vibrate = (how) => shaken.push(how);"
        "window.spoken = []; speechSynthesis.speak = (one) => spoken.push(one.text);"
    )
    page = at_bench.open_step(phone, bench)
    page.get_by_role("button", name="Speak", exact=True).tap()
    at_bench.go_to_tray(page)
    press(page, "In the tray")
    press(page, at_bench.done_words(bench.next_run()))
    page.locator(".stop-all").wait_for()
    assert len(page.evaluate("shaken")) == 1
    said = "STOP. The 18th stays open for wing-22: push-rod bracket"
    assert any(one.startswith(said) for one in page.evaluate("spoken"))
    box = page.locator(".stop-all").bounding_box()
    assert box == {"x": 0, "y": 0, "width": 390, "height": 844}


SCREENS = ("begin", "open", "close", "gate", "tray", "run", "finish")


def test_every_screen_can_be_read_by_everybody(
    phone: BrowserContext, bench: Bench
) -> None:
    """axe finds nothing, light or dark; 7 to 1; nothing sticks out at 390 pixels."""
    page = at_bench.open_step(phone, bench)
    page.evaluate("document.querySelectorAll('details').forEach(d => (d.open = true))")
    found = []
    for kind in SCREENS:
        page.evaluate(SHOW, kind)
        for scheme in ("light", "dark"):
            page.emulate_media(color_scheme=scheme)
            found += [(kind, scheme, one) for one in violations(page)]
        assert page.evaluate("document.documentElement.scrollWidth") <= 390, kind
    assert found == []


SHOW = """kind => {
  for (const one of document.querySelectorAll('[data-stage]')) {
    one.hidden = one !== document.querySelector(`[data-stage][data-kind=${kind}]`);
  }
}"""


TIN_PX = f"""kind => {{
  ({SHOW})(kind);
  const one = [...document.querySelectorAll('.code .tin')].find((a) => a.offsetParent);
  return parseFloat(getComputedStyle(one).fontSize);
}}"""


def test_targets_are_as_large_as_a_thumb(phone: BrowserContext, bench: Bench) -> None:
    """What is pressed is 56 pixels high, the callout 40; keys have a visible place."""
    page = at_bench.open_step(phone, bench)
    page.evaluate("document.querySelectorAll('details').forEach(d => (d.open = true))")
    small = []
    for kind in SCREENS:
        page.evaluate(SHOW, kind)
        small += [(kind, one) for one in page.evaluate(SMALL)]
    assert small == []
    # In one go: a panel that comes anew meanwhile would bring its own screen.
    assert page.evaluate(TIN_PX, "run") >= 40


SMALL = """() => [...document.querySelectorAll(
    '.work button, .work .button, .work summary, .chips label, .choice label')]
  .filter((one) => one.checkVisibility() && one.getBoundingClientRect().height < 56)
  .map((one) => one.textContent.trim())"""


def test_sign_of_a_painted_hole_is_the_drawn_one(
    phone: BrowserContext, bench: Bench
) -> None:
    """A hole painted by the script has the shapes that the drawing gives that state."""
    page = at_bench.open_step(phone, bench)
    at_bench.go_to_tray(page)
    press(page, "In the tray")
    press(page, at_bench.done_words(bench.next_run()))
    wait_for_state(page, "A12:4", "set")
    shapes = "one => [...one.children].map(c => c.getAttribute('class')).join()"
    painted = page.locator(".hole[data-hole='A12:4']").evaluate(shapes)
    at_bench.wait_until_kept(page)
    page.reload()
    page.wait_for_selector("html[data-ready]")
    drawn = page.locator(".hole[data-hole='A12:4']").evaluate(shapes)
    assert painted == drawn


def test_bodies_of_the_two_ways_are_the_same(
    browser: Browser, phone: BrowserContext, bench: Bench
) -> None:
    """The script and the bare form make the same rivets-set of the same run."""
    page = at_bench.open_step(phone, bench, "aileron-4")
    while shown(page) in ("open", "close", "gate"):
        page.locator("[data-stage]:not([hidden]) [data-done=no] .tick").first.tap()
    press(page, "In the tray")
    press(page, at_bench.done_words(bench.next_run(step="aileron-4")))
    at_bench.wait_until_kept(page)
    bare = at_bench.phone(browser, java_script_enabled=False)
    other = bare.new_page()
    other.goto(f"{bench.address}/bench/aileron?step=aileron-4")
    send(other, other.locator("[data-stage]:not([hidden]) .to-run .primary"))
    send(other, other.locator("[data-stage]:not([hidden]) .done-all"))
    bare.close()
    first, second = bench.runs()
    assert isinstance(first, RivetsSet)
    assert (first.callout, first.setup, first.people, first.tray_count) == (
        *(second.callout, second.setup, second.people, second.tray_count),
    )
