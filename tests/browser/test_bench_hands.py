"""Dirty hands at the bench: bounces, held keys, empty fields, words of what is kept.

Row A12 of step aileron-8: 37 holes, set in the worked-out order.
"""

from __future__ import annotations

import json
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from rivetwright.record.photos import BYTES_MAX
from tests.browser import at_bench
from tests.browser.at_bench import Bench, press, shown, wait_for

AT_ONCE = """() => {
  const next = () => document.querySelector("[data-stage]:not([hidden]) .primary");
  next().click();
  next().click();
}"""


@pytest.fixture
def phone(browser: Browser, bench: Bench) -> Iterator[BrowserContext]:
    """A phone; shut before the server is."""
    context = at_bench.phone(browser)
    yield context
    context.close()


def at_run(phone: BrowserContext, bench: Bench) -> Page:
    """The first run of row A12, its rivets in the tray."""
    page = at_bench.open_step(phone, bench)
    at_bench.go_to_tray(page)
    press(page, "In the tray")
    at_bench.wait_until_heard(page)
    return page


def test_second_press_on_a_new_screen_is_not_heard(
    phone: BrowserContext, bench: Bench
) -> None:
    """Two clicks at once on the tray's button: the run is there, and nothing is set."""
    page = at_bench.open_step(phone, bench)
    at_bench.go_to_tray(page)
    at_bench.wait_until_heard(page)
    page.evaluate(AT_ONCE)
    assert shown(page) == "run"
    at_bench.wait_until_kept(page)
    assert bench.runs() == []
    press(page, at_bench.done_words(bench.next_run()))
    at_bench.wait_until_kept(page)
    assert len(bench.runs()) == 1


def test_key_that_chatters_sets_one_rivet(phone: BrowserContext, bench: Bench) -> None:
    """One by one: the key comes twice at once and then is held; one hole is set."""
    page = at_run(phone, bench)
    press(page, "One by one")
    page.evaluate(AT_ONCE)
    page.keyboard.down("PageDown")
    page.keyboard.down("PageDown")
    at_bench.wait_until_kept(page)
    assert bench.set_holes("aileron", "A12") == [22]
    expect(page.locator(".single-name:visible")).to_have_text("A12:26")


def test_held_key_ticks_a_line_once(phone: BrowserContext, bench: Bench) -> None:
    """Enter held on a line of the list: ticked, and not taken back again."""
    page = at_bench.open_step(phone, bench, "aileron-3")
    page.locator(".gate-line .tick").first.focus()
    for _ in range(4):
        page.keyboard.down("Enter")
    page.keyboard.up("Enter")
    at_bench.wait_until_kept(page)
    assert bench.kinds() == ["gate-ticked"]


def test_kept_is_said_only_of_what_the_laptop_kept(
    phone: BrowserContext, bench: Bench
) -> None:
    """Without the link it waits here; with it, it is kept; refused, nothing is said."""
    page = at_bench.open_step(phone, bench, "aileron-3")
    page.locator("#note > summary").tap()
    note = page.locator("#note [name='text.text']")
    phone.set_offline(True)
    note.fill("doubler sits proud")
    page.locator("#note [type=submit]").tap()
    expect(page.locator(".toast")).to_have_text(
        "On this device, not yet on the laptop: Note"
    )
    phone.set_offline(False)
    at_bench.wait_until_kept(page)
    note.fill("doubler filed")
    page.locator("#note [type=submit]").tap()
    expect(page.locator(".toast")).to_have_text("Kept: Note")
    page.evaluate("document.querySelector('.toast').textContent = ''")
    page.locator("#one-hole > summary").tap()
    form = page.locator("#one-hole form").first
    form.locator("[name=names]").fill("A12:18")
    form.locator("[name='text.callout']").fill("BD4-2")
    form.locator("[type=submit]").tap()
    page.locator(".asked-back .refusal").wait_for()
    expect(page.locator(".toast")).to_have_text("")


def test_toast_of_hours_tells_what_holds_now(
    phone: BrowserContext, bench: Bench
) -> None:
    """After the press on drilling it runs; before it no timer did."""
    page = at_bench.open_step(phone, bench, "aileron-3")
    page.locator("#hours > summary").tap()
    page.get_by_role("button", name="drilling", exact=True).tap()
    expect(page.locator(".toast")).to_contain_text("Kept: Hours: drilling since ")
    page.get_by_role("button", name="Stop the timer").tap()
    expect(page.locator(".toast")).to_have_text("Kept: Hours: No timer runs")


def test_refused_photo_tells_what_was_asked_and_wants_no_reason(
    phone: BrowserContext, bench: Bench
) -> None:
    """A reason would not make a picture of it; it may go again or be dropped."""
    page = at_bench.open_step(phone, bench, "aileron-3")
    page.locator("#photo > summary").tap()
    page.locator("#photo [name=file]").set_input_files(
        {"name": "a.jpg", "mimeType": "image/jpeg", "buffer": b"no picture"}
    )
    page.get_by_role("button", name="Keep the photo").tap()
    card = page.locator(".asked-back .refusal")
    card.wait_for()
    assert card.locator("[data-of=asked]").inner_text() != ""
    expect(card.get_by_label("Reason")).to_be_hidden()
    expect(card.get_by_role("button", name="Send it again")).to_be_visible()


def test_photo_too_large_is_told_before_it_is_sent(
    phone: BrowserContext, bench: Bench
) -> None:
    """Beside the field as soon as it is chosen: found and allowed; it is not sent."""
    page = at_bench.open_step(phone, bench, "aileron-3")
    page.locator("#photo > summary").tap()
    large = {"name": "a.jpg", "mimeType": "image/jpeg", "buffer": bytes(BYTES_MAX + 1)}
    page.locator("#photo [name=file]").set_input_files(large)  # type: ignore[arg-type]
    said = page.locator("#photo .field-said")
    expect(said).to_contain_text("25.1 MB; at most 25 MB")
    page.get_by_role("button", name="Keep the photo").tap()
    expect(said).to_be_visible()
    assert at_bench.waiting_count(page) == 0
    small = {"name": "b.jpg", "mimeType": "image/jpeg", "buffer": b"small"}
    page.locator("#photo [name=file]").set_input_files(small)  # type: ignore[arg-type]
    expect(said).to_have_count(0)


def test_field_not_filled_is_told_in_our_own_words(
    phone: BrowserContext, bench: Bench
) -> None:
    """Beside the field: which, and what it wants; gone with the first letter."""
    page = at_bench.open_step(phone, bench, "aileron-3")
    page.locator("#hold > summary").tap()
    page.locator("#hold [type=submit]").first.tap()
    said = page.locator("#hold .field-said")
    expect(said.first).to_contain_text("Nothing is written under Holes")
    names = page.locator("#hold [name=names]")
    expect(names).to_be_focused()
    names.fill("Z9:1")
    page.locator("#hold [name='text.reason']").fill("burr")
    expect(said).to_have_count(0)
    page.locator("#hold [type=submit]").first.tap()
    expect(said).to_contain_text("Z9:1 names no row of this plan. Its rows: A1,")
    names.fill("A12:40")
    page.locator("#hold [type=submit]").first.tap()
    expect(said).to_contain_text("row A12 goes from 1 to 37")
    assert bench.kinds() == []


COVERED = """field => {
  const top = field.getBoundingClientRect().top;
  const maps = document.querySelector(".maps").getBoundingClientRect();
  return top - maps.bottom;
}"""


def test_map_never_covers_the_field_in_use(phone: BrowserContext, bench: Bench) -> None:
    """Tabbed back to from below, every field comes up under the map that stays."""
    page = at_bench.open_step(phone, bench, "aileron-3")
    page.evaluate("document.querySelectorAll('details').forEach(d => (d.open = true))")
    for part in ("note", "hold", "one-hole"):
        field = page.locator(f"#{part} textarea").first
        page.evaluate("scrollTo(0, document.body.scrollHeight)")
        field.focus()
        assert field.evaluate(COVERED) >= 0, part


def test_another_device_s_newer_mark_is_the_one_taken_back(
    browser: Browser, phone: BrowserContext, bench: Bench
) -> None:
    """After this page's own tick the rivets set on the other one; both in words."""
    page = at_bench.open_step(phone, bench, "aileron-4")
    second = at_bench.phone(browser)
    other = at_bench.open_step(second, bench, "aileron-4")
    while shown(page) in ("open", "close", "gate"):
        at_bench.touch_lines(page, "[data-line]")
    undo = page.locator(".undo button")
    expect(undo).to_contain_text("Take back the last tick: ")
    other.wait_for_selector("[data-kind=tray]:not([hidden])[data-row=A17]")
    at_bench.wait_until_kept(page)
    press(other, "In the tray")
    press(other, at_bench.done_words(bench.next_run(step="aileron-4")))
    expect(undo).to_contain_text("Take back the rivets A17:")
    at_bench.wait_until_heard(page)
    undo.tap()
    at_bench.wait_until_kept(page)
    assert bench.set_holes("aileron", "A17") == []
    second.close()


PLACES = """() => [
  document.querySelector("figure:not([hidden]) .world").getAttribute("transform"),
  document.querySelector("figure:not([hidden]) .chosen-ring").getAttribute("transform"),
  document.querySelector("figure:not([hidden]) [data-hole='A12:26']")
    .getAttribute("transform"),
]"""


def test_one_by_one_tells_the_place_and_rings_it(
    phone: BrowserContext, bench: Bench
) -> None:
    """The 26th of 37 is ringed where it lies, and the map has not moved."""
    page = at_run(phone, bench)
    press(page, "One by one")
    place = page.locator(".single-place:visible")
    expect(place).to_contain_text("the 22nd of 37, ")
    before = page.evaluate(PLACES)[0]
    press(page, "A12:22 set")
    expect(place).to_contain_text("the 26th of 37, ")
    world, ring, sign = page.evaluate(PLACES)
    assert world == before
    assert sign.startswith(ring)


def test_what_a_run_may_need_stands_above_its_button(
    phone: BrowserContext, bench: Bench
) -> None:
    """Left out, another rivet, who helped; the answer leads back to the button."""
    page = at_run(phone, bench)
    stage = page.locator("[data-kind=run]:not([hidden])")
    done = stage.locator(".done-all")
    expect(done).to_be_in_viewport(ratio=0.95)
    stage.locator(".later").scroll_into_view_if_needed()
    below = done.bounding_box()
    assert below is not None
    for fold in (".except", ".other-rivet", ".helped"):
        box = stage.locator(fold).bounding_box()
        assert box is not None
        assert box["y"] + box["height"] <= below["y"], fold
    stage.locator(".helped summary").tap()
    stage.locator(".helped select").select_option(index=1)
    expect(done).to_be_in_viewport(ratio=0.95)
    press(page, at_bench.done_words(bench.next_run()))
    at_bench.wait_until_kept(page)
    assert len(bench.runs()[0].people) == 2


def test_top_of_the_bench_is_one_row(phone: BrowserContext, bench: Bench) -> None:
    """Name, places and theme in one row of a phone; the theme looks like a button."""
    page = phone.new_page()
    for address in ("/bench", "/bench/aileron?step=aileron-8"):
        page.goto(bench.address + address)
        page.wait_for_selector("html[data-ready]")
        box = page.locator(".top").bounding_box()
        assert box is not None
        assert box["height"] < 2 * 44
        expect(page.get_by_role("link", name="Record", exact=True)).to_be_attached()
        line = "one => getComputedStyle(one).borderTopColor"
        assert page.locator(".theme").evaluate(line) != "rgba(0, 0, 0, 0)"
    wait_for(page, "begin")


def test_large_button_is_in_reach_hole_by_hole(
    phone: BrowserContext, bench: Bench
) -> None:
    """However much is said above it, and the count goes up without the laptop."""
    page = at_run(phone, bench)
    press(page, "One by one")
    stage = page.locator("[data-kind=run]:not([hidden])")
    page.evaluate("scrollTo(0, 0)")
    expect(stage.locator(".done-all")).to_be_in_viewport(ratio=0.95)
    count = stage.locator(".run-count")
    was = count.inner_text()
    done = int(was.split()[0])
    phone.set_offline(True)
    press(page, stage.locator(".done-all").inner_text())
    expect(count).to_have_text(was.replace(f"{done} of", f"{done + 1} of", 1))
    # The run as a whole is what is left of it, whatever other form stands above it.
    body = json.loads(stage.locator(".run-form [name='body']").input_value())
    assert len(body["holes"]) == stage.locator("[name='but']").count()
