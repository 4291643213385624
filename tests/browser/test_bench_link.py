"""The bench through a lost connection: nothing lost, nothing twice, and it says so."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
import segno
from PIL import Image
from playwright.sync_api import Browser, BrowserContext, Page, Route, expect

from tests.browser import at_bench
from tests.browser.at_bench import Bench, press, waiting_count

MARKS = re.compile("/api/marks$")


@pytest.fixture
def phone(browser: Browser, bench: Bench) -> Iterator[BrowserContext]:
    """A phone; a page without a link may complain of it."""
    context = at_bench.phone(browser)
    yield context
    context.close()


def ticked(page: Page, count: int) -> None:
    """Tick some lines of the list before the first rivet, by key."""
    for _ in range(count):
        page.keyboard.press("PageDown")


def wait_for_waiting(page: Page, count: int) -> None:
    """Wait until the page says that so many marks are not on the laptop."""
    page.wait_for_selector(f".state-line[data-waiting='{count}']")


def seqs(bench: Bench) -> list[int]:
    """How each device counted its marks, in the order in which they arrived."""
    return [entry.fact.device_seq for entry in bench.fresh()]


def test_evening_goes_on_while_the_network_is_cut(
    phone: BrowserContext, bench: Bench
) -> None:
    """Cut after the list: two runs and a taking back wait, and arrive in order."""
    page = at_bench.open_step(phone, bench)
    at_bench.go_to_tray(page)
    at_bench.wait_until_kept(page)
    before = len(bench.fresh())
    phone.set_offline(True)
    press(page, "In the tray")
    run = bench.next_run()
    press(page, at_bench.done_words(run))
    at_bench.shut_stop(page)
    press(page, "In the tray")
    press(page, f"Done: {33 - run.count} set")
    at_bench.shut_stop(page)
    wait_for_waiting(page, 2)
    said = page.locator(".state-line").inner_text()
    assert "2 marks not yet on the laptop" in said
    assert "No link" in said
    page.get_by_role("button", name="Take back the rivets A12:").tap()
    wait_for_waiting(page, 3)
    assert at_bench.shown(page) in ("tray", "run")
    assert len(bench.fresh()) == before
    phone.set_offline(False)
    at_bench.wait_until_kept(page)
    assert bench.kinds()[before:] == ["rivets-set", "rivets-set", "undone"]
    assert bench.set_holes("aileron", "A12") == at_bench.numbers(run)
    assert seqs(bench) == sorted(set(seqs(bench)))


def test_answer_that_is_lost_makes_no_double(
    phone: BrowserContext, bench: Bench
) -> None:
    """The laptop keeps each batch, three answers go astray: each mark is there once."""
    lost: list[int] = []

    def lose(route: Route) -> None:
        if len(lost) < 3:
            lost.append(route.fetch().status)
            route.abort()
        else:
            route.continue_()

    page = at_bench.open_step(phone, bench, "aileron-3")
    page.route(MARKS, lose)
    ticked(page, 3)
    page.wait_for_selector(".state-line[data-state=away]")
    at_bench.wait_until_kept(page)
    assert lost == [200] * 3
    assert bench.kinds() == ["gate-ticked"] * 3
    assert len({entry.fact.id for entry in bench.fresh()}) == 3


def test_server_restarted_in_the_middle(phone: BrowserContext, bench: Bench) -> None:
    """Marks made while the laptop is shut are sent by themselves when it is back."""
    page = at_bench.open_step(phone, bench, "aileron-3")
    ticked(page, 2)
    at_bench.wait_until_kept(page)
    bench.stop()
    ticked(page, 3)
    wait_for_waiting(page, 3)
    bench.restart()
    at_bench.wait_until_kept(page)
    assert bench.kinds() == ["gate-ticked"] * 5
    assert seqs(bench) == [1, 2, 3, 4, 5]


def test_two_phones_see_each_other_within_a_second(
    browser: Browser, phone: BrowserContext, bench: Bench
) -> None:
    """A hole set on one is painted on the other, and leaves its run there."""
    one = at_bench.open_step(phone, bench, "aileron-4")
    second = at_bench.phone(browser)
    other = at_bench.open_step(second, bench, "aileron-4")
    while at_bench.shown(one) in ("open", "close", "gate"):
        at_bench.touch_lines(one, "[data-line]")
    press(one, "In the tray")
    at_bench.wait_until_kept(one)
    other.wait_for_selector("[data-kind=tray]:not([hidden])[data-row=A17]")
    run = bench.next_run(step="aileron-4")
    other.evaluate(WATCH, run.names[0])
    one.evaluate("window.pressedAt = Date.now()")
    press(one, at_bench.done_words(run))
    other.wait_for_function("() => window.paintedAt")
    painted = other.evaluate("window.paintedAt") - one.evaluate("window.pressedAt")
    assert painted < 1000
    other.wait_for_selector("[data-kind=tray]:not([hidden])[data-row=A18]")
    second.close()


WATCH = """name => {
  const hole = document.querySelector(`.hole[data-hole="${name}"]`);
  new MutationObserver(() => {
    if (hole.classList.contains("state-set")) window.paintedAt ??= Date.now();
  }).observe(hole, { attributes: true });
}"""


def test_reload_without_the_link_loses_no_mark(
    phone: BrowserContext, bench: Bench
) -> None:
    """On the laptop itself a worker brings the page back, with the marks on it."""
    page = at_bench.open_step(phone, bench, "aileron-3")
    page.evaluate(KEPT_BY_WORKER)
    page.reload()
    page.wait_for_selector("html[data-ready]")
    phone.set_offline(True)
    ticked(page, 2)
    wait_for_waiting(page, 2)
    page.reload()
    page.wait_for_selector("html[data-ready]")
    wait_for_waiting(page, 2)
    expect(page.locator(".gate-line[data-done=yes]")).to_have_count(2)
    phone.set_offline(False)
    at_bench.wait_until_kept(page)
    assert bench.kinds() == ["gate-ticked"] * 2


KEPT_BY_WORKER = """async () => {
  await navigator.serviceWorker.ready;
  while (!(await caches.match(location.href))) {
    await new Promise((resolve) => requestAnimationFrame(resolve));
  }
}"""


def test_without_a_worker_the_marks_wait_for_the_page(
    browser: Browser, bench: Bench
) -> None:
    """As on plain http: the page shut while cut off comes back, and sends its marks."""
    context = at_bench.phone(browser, service_workers="block")
    page = at_bench.open_step(context, bench, "aileron-3")
    context.set_offline(True)
    ticked(page, 3)
    wait_for_waiting(page, 3)
    page.close()
    context.set_offline(False)
    again = at_bench.open_step(context, bench, "aileron-3")
    at_bench.wait_until_kept(again)
    expect(again.locator(".gate-line[data-done=yes]")).to_have_count(3)
    assert bench.kinds() == ["gate-ticked"] * 3
    context.close()


def test_what_plain_http_lacks_is_said(browser: Browser, bench: Bench) -> None:
    """Without a wake lock: lengthen the time-out; reload comes back with the link."""
    context = at_bench.phone(browser)
    context.add_init_script("delete Navigator.prototype.wakeLock")
    page = at_bench.open_step(context, bench)
    said = page.locator(".awake").inner_text()
    assert "Lengthen the screen time-out" in said
    assert "marks are kept meanwhile" in said
    context.close()


def test_photo_waits_for_the_link_too(
    phone: BrowserContext, bench: Bench, tmp_path: Path
) -> None:
    """Taken while cut off; the file and its fact arrive when the link is back."""
    picture = tmp_path / "spar.jpg"
    Image.new("RGB", (64, 48), "grey").save(picture)
    page = at_bench.open_step(phone, bench, "aileron-3")
    phone.set_offline(True)
    page.locator("#photo > summary").tap()
    page.locator("#photo [name=file]").set_input_files(picture)
    page.locator("#photo [name='text.caption']").fill("spar before closing")
    page.get_by_role("button", name="Keep the photo").tap()
    wait_for_waiting(page, 1)
    phone.set_offline(False)
    at_bench.wait_until_kept(page)
    assert bench.kinds() == ["photo-taken"]
    photos = bench.workshop.state().assembly("aileron").photos
    assert [(p.caption, p.step) for p in photos] == [
        ("spar before closing", "aileron-3")
    ]


PIECE = 700  # letters in one square: still read by a phone from a screen


def dots(path: str) -> set[tuple[int, int]]:
    """The dark dots of a drawn square, across and down."""
    return {(int(x), int(y)) for x, y in re.findall(r"M(\d+) (\d+)h1v1h-1z", path)}


def others(words: str) -> list[set[tuple[int, int]]]:
    """The same words as another maker of squares draws them, with each mask."""
    made = [
        segno.make(words, error="l", mode="byte", mask=mask, boost_error=False)
        for mask in range(8)
    ]
    return [
        {(x, y) for y, line in enumerate(one.matrix) for x, on in enumerate(line) if on}
        for one in made
    ]


def test_unsent_marks_can_be_carried_over(phone: BrowserContext, bench: Bench) -> None:
    """As text and as squares, which another maker of squares draws alike."""
    phone.add_init_script(
        "const wait = setTimeout; window.setTimeout = "
        "(act, ms, ...more) => wait(act, ms === 10000 ? 0 : ms, ...more);"
    )
    page = at_bench.open_step(phone, bench, "aileron-3")
    phone.set_offline(True)
    ticked(page, 4)
    wait_for_waiting(page, 4)
    page.locator(".squares svg").first.wait_for()
    page.wait_for_function(
        "() => JSON.parse(document.querySelector('.carry textarea').value)"
        ".marks.length === 4"
    )
    text = page.locator(".carry textarea").input_value()
    parts = [text[at : at + PIECE] for at in range(0, len(text), PIECE)]
    squares = page.locator(".squares path").all()
    assert len(squares) == len(parts) > 1
    for k, (square, words) in enumerate(zip(squares, parts, strict=True)):
        path = square.get_attribute("d") or ""
        drawn = dots(path)
        same = others(f"RW1 {k + 1}/{len(parts)} {words}")
        # What fills a square after its words is free, and differs between makers;
        # another mask or other words would change nearly half of the dots.
        assert min(len(drawn ^ one) for one in same) < len(drawn) / 5
    carried = json.loads(text)
    assert [mark["device_seq"] for mark in carried["marks"]] == [1, 2, 3, 4]
    assert waiting_count(page) == 4


def test_photo_that_cannot_be_taken_holds_up_nothing(
    phone: BrowserContext, bench: Bench, tmp_path: Path
) -> None:
    """A file that is no picture is set aside with the answer; the next mark goes."""
    picture = tmp_path / "spar.jpg"
    picture.write_bytes(b"no picture at all")
    page = at_bench.open_step(phone, bench, "aileron-3")
    page.locator("#photo > summary").tap()
    page.locator("#photo [name=file]").set_input_files(picture)
    page.get_by_role("button", name="Keep the photo").tap()
    asked = page.locator(".asked-back .refusal")
    asked.wait_for()
    page.locator("[data-stage]:not([hidden]) [data-done=no] .tick").first.tap()
    page.wait_for_selector(".state-line[data-waiting='1']")
    asked.get_by_role("button", name="Take the mark back").tap()
    at_bench.wait_until_kept(page)
    assert bench.kinds() == ["gate-ticked"]


def test_laptop_that_cannot_write_says_so_on_the_phone(
    phone: BrowserContext, bench: Bench
) -> None:
    """A full disk is told in the line of what is not on the laptop; nothing is lost."""
    page = at_bench.open_step(phone, bench, "aileron-3")
    full = {"asked": "write", "found": "the disk is full", "allowed": "", "do": ""}
    page.route(MARKS, lambda route: route.fulfill(status=507, json=full))
    ticked(page, 1)
    expect(page.locator(".state-line")).to_contain_text("the disk is full")
    page.unroute(MARKS)
    at_bench.wait_until_kept(page)
    assert bench.kinds() == ["gate-ticked"]
