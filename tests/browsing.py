"""A real browser for tests of the phone page: the machine's own Chromium, headless."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager

from playwright.sync_api import Browser, Page, Playwright

PROGRAM = next(
    (found for name in ("chromium", "chromium-browser", "google-chrome")
     if (found := shutil.which(name))), None,
)  # fmt: skip
# A usual phone, in the browser's own units.
PHONE = {"width": 390, "height": 844}
QUIET = (
    "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--no-first-run",
    "--disable-extensions", "--disable-background-networking", "--disable-component-update",
)  # fmt: skip


def launched(playwright: Playwright, *more: str) -> Browser:
    """A browser; `more` are options of its command line."""
    return playwright.chromium.launch(executable_path=PROGRAM, args=[*QUIET, *more])


@contextmanager
def opened(browser: Browser, html: bytes, *, dark: bool = False) -> Iterator[Page]:
    """A page of HTML on a phone; nothing can be fetched."""
    context = browser.new_context(
        viewport=PHONE,
        color_scheme="dark" if dark else "light",
        offline=True,  # type: ignore[arg-type]
    )
    page = context.new_page()
    page.set_content(html.decode())
    try:
        yield page
    finally:
        context.close()
