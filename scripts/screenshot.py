"""Take the README's screenshot: python -m scripts.screenshot, with Chromium here."""

from __future__ import annotations

import shutil
import threading
from pathlib import Path

import uvicorn
from playwright.sync_api import ViewportSize, sync_playwright

from rivetwright.web.app import create_app
from rivetwright.web.serve import free_socket

ROOT = Path(__file__).resolve().parent.parent
PICTURE = ROOT / "docs" / "images" / "assembly.png"
PAGE = "/assembly/root-rib?face=B-W&hole=B8:1"
DESK: ViewportSize = {"width": 1440, "height": 900}


def main() -> None:
    """Serve the demo, open the root rib at its planted edge distance, look."""
    listener = free_socket(0)
    app = create_app(ROOT / "examples" / "ostrel")
    server = uvicorn.Server(uvicorn.Config(app, log_level="warning"))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listener]})
    thread.start()
    try:
        with sync_playwright() as play:
            browser = play.chromium.launch(
                executable_path=shutil.which("chromium"),
                args=["--no-sandbox", "--disable-background-networking"],
            )
            page = browser.new_page(viewport=DESK)
            page.goto(f"http://127.0.0.1:{listener.getsockname()[1]}{PAGE}")
            page.wait_for_load_state("networkidle")
            page.screenshot(path=PICTURE)
            browser.close()
    finally:
        server.should_exit = True
        thread.join()
        listener.close()
    print(f"written {PICTURE.relative_to(ROOT)}")


if __name__ == "__main__":
    main()
