"""The phone page in a real browser: accessible, readable without zooming, dark, large, on paper.

axe-core is the engine that checks; it comes with a package. WCAG levels A to AAA and its own best
practices, so that contrast is 7 at least for all text (row LP-17 of the print reference).
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from typing import Any

import pdfplumber
import pytest
from axe_playwright_python.sync_playwright import Axe
from browsing import PHONE, PROGRAM, launched, opened
from packets import NAMES, Packet, packet_of
from pdf_reading import pages, squeezed
from playwright.sync_api import Browser, Page, Playwright, sync_playwright
from test_packet_print import words_of

pytestmark = pytest.mark.skipif(PROGRAM is None, reason="no Chromium on this machine")

LEVELS = ["wcag2a", "wcag2aa", "wcag2aaa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
# Large print on a screen: as many of the browser's units as points on paper (row LP-01).
LARGE = 18.0
# Effective size of every piece of text: in a picture it shrinks and grows with the picture.
SIZES = """() => {
  const found = {};
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const element = node.parentElement;
    if (!node.textContent.trim() || !element.getClientRects().length) continue;
    if (element.closest('title')) continue;
    const scale = element.ownerSVGElement ? Math.abs(element.getScreenCTM().d) : 1;
    const size = parseFloat(getComputedStyle(element).fontSize) * scale;
    found[size.toFixed(2)] = node.textContent.trim().slice(0, 40);
  }
  return found;
}"""
# Elements whose content is wider than they are, and text that reaches out of the window.
CUT = """() => {
  const wide = window.innerWidth, found = [];
  for (const element of document.querySelectorAll('body *')) {
    // Column headings of a table whose cells stand under each other are there to be listened to.
    if (element.closest('thead')) continue;
    if (element.closest('svg') && element.tagName !== 'svg') continue;
    const box = element.getBoundingClientRect();
    const outside = box.width && (box.left < -0.5 || box.right > wide + 0.5);
    const over = element.clientWidth && element.scrollWidth > element.clientWidth + 1
      && getComputedStyle(element).display !== 'inline';
    if (outside || over) found.push(element.outerHTML.slice(0, 80));
  }
  return found;
}"""


@pytest.fixture(scope="module")
def driver() -> Iterator[Playwright]:
    """What drives browsers, started once."""
    with sync_playwright() as playwright:
        yield playwright


@pytest.fixture(scope="module")
def browser(driver: Playwright) -> Iterator[Browser]:
    """A browser as it comes."""
    one = launched(driver)
    yield one
    one.close()


@pytest.fixture(scope="module")
def enlarging(driver: Playwright) -> Iterator[Browser]:
    """A browser whose reader has set text twice as large."""
    one = launched(driver, "--blink-settings=defaultFontSize=32")
    yield one
    one.close()


def pages_of(packet: Packet) -> list[bytes]:
    """The phone pages of a packet, one a language."""
    return [data for name, data in packet.files.items() if name.endswith(".html")]


def violations(page: Page) -> list[Any]:
    """What axe finds: rule and the first place."""
    # The stricter rule of contrast is off unless it is asked for.
    rules = {"color-contrast-enhanced": {"enabled": True}}
    found = Axe().run(page, options={"runOnly": LEVELS, "rules": rules}).response["violations"]
    return [(one["id"], one["nodes"][0]["html"][:120], one["nodes"][0]["failureSummary"][:200])
            for one in found]  # fmt: skip


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("name", NAMES)
def test_axe_finds_nothing(browser: Browser, name: str, dark: bool) -> None:
    for html in pages_of(packet_of(name)):
        with opened(browser, html, dark=dark) as page:
            assert violations(page) == []


def test_axe_would_find_something(browser: Browser) -> None:
    """The checks can fail: grey text of 4.54 (row of #767676), a picture without a name."""
    html = packet_of(NAMES[0]).files["handout.html"].decode()
    grey = '<p style="color:#767676;background:#fff">Grey words.</p>'
    html = html.replace("<main>", f"<main>{grey}", 1)
    html = html.replace("</h1>", '</h1><img src="data:image/gif;base64,R0lGODlhAQABAAAAACw=">', 1)
    with opened(browser, html.encode()) as page:
        assert {"color-contrast-enhanced", "image-alt"} <= {rule for rule, *_ in violations(page)}


@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_wider_than_a_phone(browser: Browser, name: str) -> None:
    for html in pages_of(packet_of(name)):
        with opened(browser, html) as page:
            assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
            assert page.evaluate(CUT) == []


@pytest.mark.parametrize("name", NAMES)
def test_all_text_is_large_without_zooming(browser: Browser, name: str) -> None:
    for html in pages_of(packet_of(name)):
        with opened(browser, html) as page:
            sizes = page.evaluate(SIZES)
            small = {size: text for size, text in sizes.items() if float(size) < LARGE}
            assert sizes and not small


@pytest.mark.parametrize("name", NAMES)
def test_what_is_tapped_is_as_high_as_a_fingertip(browser: Browser, name: str) -> None:
    """44 of the browser's units (WCAG 2.2, 2.5.5)."""
    heights = """() => [...document.querySelectorAll('a')].map(
      a => [a.textContent.trim().slice(0, 30), a.getBoundingClientRect().height])"""
    for html in pages_of(packet_of(name)):
        with opened(browser, html) as page:
            targets = page.evaluate(heights)
            assert targets
            assert [target for target in targets if target[1] < 44] == []


@pytest.mark.parametrize("name", NAMES)
def test_text_follows_the_size_that_the_reader_has_set(enlarging: Browser, name: str) -> None:
    for html in pages_of(packet_of(name)):
        with opened(enlarging, html) as page:
            body = page.evaluate(
                "parseFloat(getComputedStyle(document.querySelector('p')).fontSize)"
            )
            assert body >= 2 * LARGE
            assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
            assert page.evaluate(CUT) == []


def test_dark_is_light_on_dark_and_pictures_stay_black_on_white(browser: Browser) -> None:
    colors = """() => {
      const body = getComputedStyle(document.body);
      const picture = getComputedStyle(document.querySelector('figure svg'));
      return [body.color, body.backgroundColor, picture.backgroundColor];
    }"""
    html = packet_of(NAMES[0]).files["handout.html"]
    black, white = "rgb(0, 0, 0)", "rgb(255, 255, 255)"
    with opened(browser, html) as page:
        assert page.evaluate(colors) == [black, white, white]
    with opened(browser, html, dark=True) as page:
        assert page.evaluate(colors) == [white, black, white]


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("name", NAMES)
def test_print_from_the_browser_holds_every_word(browser: Browser, name: str, dark: bool) -> None:
    """Black on white whatever the screen shows, nothing cut at the sides, large print."""
    packet = packet_of(name)
    with opened(browser, packet.files["handout.html"], dark=dark) as page:
        # The browser's own margins are about a centimetre.
        data = page.pdf(format="Letter", margin=dict.fromkeys(("top", "bottom", "left", "right"),
                                                              "1cm"))  # fmt: skip
    text = "".join(pages(data))
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        letters = [
            (page, char) for page in pdf.pages for char in page.chars if char["text"].strip()
        ]
    for identity, statement in packet.worded.statements().items():
        for words in words_of(statement):
            assert squeezed(words) in text, identity
    assert all(char["x0"] >= 18 and char["x1"] <= page.width - 18 for page, char in letters)
    assert min(char["size"] for _, char in letters) >= LARGE - 0.1
    assert {char["non_stroking_color"] for _, char in letters} <= {(0,), (0, 0, 0), 0}
