"""The bench comes back: after a reload, without the link, as it was."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.browser import at_bench
from tests.browser.at_bench import Bench, press, shown, wait_for


@pytest.fixture
def phone(browser: Browser, bench: Bench) -> Iterator[BrowserContext]:
    """A phone; a page without a link may complain of it."""
    context = at_bench.phone(browser)
    yield context
    context.close()


KEPT = """async (address) => {
  await navigator.serviceWorker.ready;
  while (!(await caches.match(address))) {
    await new Promise((resolve) => requestAnimationFrame(resolve));
  }
}"""
# Until the panel that is kept has come to a screen.
PANEL_AT = """async (kind) => {
  const address = "/bench/aileron/panel?step=aileron-8";
  for (;;) {
    const text = await (await caches.match(address))?.text();
    if (text?.includes(`data-shown="${kind}`)) return;
    await new Promise((resolve) => requestAnimationFrame(resolve));
  }
}"""


def opened(phone: BrowserContext, bench: Bench) -> Page:
    """The step in a page that its worker looks after."""
    page = at_bench.open_step(phone, bench)
    page.evaluate(KEPT, page.url)
    page.reload()
    page.wait_for_selector("html[data-ready]")
    return page


def test_reload_without_the_link_goes_on_where_it_was(
    phone: BrowserContext, bench: Bench
) -> None:
    """Everything before the tray was sent and shown: none of it is asked again."""
    page = opened(phone, bench)
    at_bench.go_to_tray(page)
    at_bench.wait_until_kept(page)
    page.evaluate(PANEL_AT, "tray")
    phone.set_offline(True)
    page.reload()
    wait_for(page, "tray")
    press(page, "In the tray")
    run = bench.next_run()
    press(page, at_bench.done_words(run))
    phone.set_offline(False)
    at_bench.shut_stop(page)
    at_bench.wait_until_kept(page)
    assert bench.set_holes("aileron", "A12") == at_bench.numbers(run)


def test_mark_that_no_panel_shows_yet_is_not_asked_again(
    phone: BrowserContext, bench: Bench
) -> None:
    """Begun while somebody types, so no panel came since; then the link is cut."""
    page = opened(phone, bench)
    page.locator("#note > summary").tap()
    page.locator("#note [name=names]").focus()
    while shown(page) == "begin":
        page.keyboard.press("PageDown")
    at_bench.wait_until_kept(page)
    phone.set_offline(True)
    page.reload()
    wait_for(page, "open")
    assert bench.kinds().count("step-begun") == 1


def test_list_and_record_open_without_the_link(
    phone: BrowserContext, bench: Bench
) -> None:
    """As they came last, which they say; a page never kept says so in plain words."""
    page = opened(phone, bench)
    for address in ("/bench", "/record", "/away"):
        page.evaluate(KEPT, address)
    phone.set_offline(True)
    for address in ("/bench", "/record"):
        page.goto(bench.address + address)
        expect(page.locator("[data-module='bench/copy']")).to_contain_text(
            "No link to the laptop. This is the page as it came last, on "
        )
    page.goto(bench.address + "/words")
    expect(page.get_by_role("heading", level=1)).to_have_text("No link to the laptop")
    phone.set_offline(False)
    page.goto(bench.address + "/bench")
    expect(page.locator("[data-module='bench/copy']")).to_be_hidden()


def test_reload_keeps_the_tray_and_one_by_one(
    phone: BrowserContext, bench: Bench
) -> None:
    """Counted 17, gone hole by hole, loaded again: neither is asked a second time."""
    page = at_bench.open_step(phone, bench)
    at_bench.go_to_tray(page)
    press(page, "In the tray")
    press(page, "One by one")
    press(page, page.locator(".done-all:visible").inner_text())
    at_bench.wait_until_kept(page)
    following = page.locator(".single-name:visible").inner_text()
    page.reload()
    page.wait_for_selector("html[data-ready]")
    assert shown(page) == "run"
    expect(page.locator(".single-name:visible")).to_have_text(following)
    page.locator(".singly:visible").tap()
    page.reload()
    page.wait_for_selector("html[data-ready]")
    assert shown(page) == "run"
    expect(page.locator(".single-name:visible")).to_have_count(0)


def test_line_tells_of_a_lost_link_as_soon_as_the_browser_knows(
    phone: BrowserContext, bench: Bench
) -> None:
    """Nothing was pressed since; the news would have come too, but later."""
    phone.add_init_script(
        "window.EventSource = class { addEventListener() {} close() {} };"
    )
    page = phone.new_page()
    page.goto(f"{bench.address}/bench/aileron?step=aileron-3")
    at_bench.wait_until_kept(page)
    phone.set_offline(True)
    page.wait_for_selector(".state-line[data-state=away]")
    expect(page.locator(".state-line")).to_contain_text("No link")


def test_scripting_off_is_said_only_where_it_is_off(
    browser: Browser, bench: Bench
) -> None:
    """A page whose script has not come yet does not say so; one without does."""
    for is_on in (True, False):
        context = at_bench.phone(browser, java_script_enabled=is_on)
        context.route(re.compile("/static/start.js"), lambda route: route.abort())
        page = context.new_page()
        page.goto(f"{bench.address}/bench/aileron?step=aileron-3")
        said = "Scripting is off" in page.locator(".state-line").inner_text()
        assert said is not is_on
        context.close()


def test_map_lies_at_the_run_from_the_first_load(
    browser: Browser, phone: BrowserContext, bench: Bench
) -> None:
    """Another browser opens the step at the tray: nearer than the whole face."""
    page = at_bench.open_step(phone, bench, "aileron-4")
    while shown(page) in ("open", "close", "gate"):
        at_bench.touch_lines(page, "[data-line]")
    at_bench.wait_until_kept(page)
    other = at_bench.phone(browser)
    fresh = at_bench.open_step(other, bench, "aileron-4")
    wait_for(fresh, "tray")
    fresh.wait_for_function(
        "() => Number(document.querySelector('figure:not([hidden])').dataset.zoom) > 1"
    )
    other.close()


INK = """() => {
  const hole = document.querySelector("figure:not([hidden]) [data-hole='A12:18']");
  const ring = hole.querySelector(".ring").getBoundingClientRect();
  const bar = getComputedStyle(hole.querySelector(".eye + path")).stroke;
  const probe = document.createElement("i");
  probe.style.color = "var(--ink)";
  document.body.append(probe);
  const ink = getComputedStyle(probe).color;
  probe.remove();
  return [hole.classList.contains("lit"), bar === ink, ring.width];
}"""


def test_open_hole_beside_the_run_stays_plain(
    phone: BrowserContext, bench: Bench
) -> None:
    """A12:18 is not of the run: its bar in full ink, its ring 10 pixels across."""
    page = at_bench.open_step(phone, bench)
    at_bench.go_to_tray(page)
    page.wait_for_selector("figure:not([hidden]) svg.has-lit")
    page.wait_for_function(f"() => ({INK})()[2] >= 9.5")
    is_lit, is_ink, _ = page.evaluate(INK)
    assert (is_lit, is_ink) == (False, True)
