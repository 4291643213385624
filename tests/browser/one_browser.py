"""One browser for all tests of this folder that follow one another.

Not for longer: while it is open an event loop runs in this thread, and the tests of
other folders want to run their own.
"""

from __future__ import annotations

from playwright.sync_api import Browser, Playwright, sync_playwright

QUIET = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--disable-sync",
    "--disable-background-networking",
    "--disable-component-update",
    "--no-first-run",
)


class OneBrowser:
    """A browser that is opened when it is asked for, and again after it was shut."""

    def __init__(self) -> None:
        self._driver: Playwright | None = None
        self._opened: Browser | None = None

    def opened(self, path: str) -> Browser:
        """The browser, of the program at a path."""
        if self._opened is None:
            self._driver = sync_playwright().start()
            self._opened = self._driver.chromium.launch(
                executable_path=path, args=list(QUIET)
            )
        return self._opened

    def shut(self) -> None:
        """Shut it, and let go of the event loop."""
        if self._opened and self._driver:
            self._opened.close()
            self._driver.stop()
        self._driver = self._opened = None
