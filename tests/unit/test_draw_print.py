"""Every picture on paper: the renderer has nothing to say, and every label is in the print."""

from __future__ import annotations

import io
from itertools import pairwise

import pdfplumber
import pytest
from disk_cache import digest_of, from_disk, press
from laying import laid
from pdf_reading import squeezed, tag_text, tag_tree
from test_draw import CASES, IDS, stretched, used

from plainleaf.compose.draw.picture_facts import PictureFacts, Twist
from plainleaf.compose.word import Run, WordedPicture, Words
from plainleaf.printing.fonts import OwnFonts
from plainleaf.printing.html import drawn
from plainleaf.printing.inspection import LARGE_PRINT, read_back

pytestmark = pytest.mark.thorough

FRAME = (
    '<html lang="en"><head><title>T</title><style>@page {{ size: letter; margin: 0.85in }} '
    'html {{ font-family: "Source Sans 3"; font-size: 18pt }} figure {{ margin: 0 }} '
    "svg {{ display: block }} .drawn {{ position: relative }} "
    ".label {{ position: absolute; line-height: 1.1111; white-space: nowrap }}</style>"
    "</head><body><h1>A</h1><figure>{picture}<figcaption>Look.</figcaption></figure></body></html>"
)


def worded(name: str, shown: PictureFacts, longer: bool = False) -> WordedPicture:
    words = used(name, shown)
    if longer:
        words = {r: v if r.startswith("hour-") else [*map(stretched, v)] for r, v in words.items()}
    return WordedPicture(
        name, shown,
        tuple((r, tuple(Words((Run(line),)) for line in v)) for r, v in words.items()),
        Words((Run("Look and do."),)),
    )  # fmt: skip


def printed(picture: WordedPicture, size: float) -> bytes:
    html = FRAME.format(picture=drawn(picture, "ltr", size, on_paper=True))
    return from_disk(digest_of("picture", press(), html), lambda: laid(html).data)


@pytest.mark.parametrize("size", [18, 28])
@pytest.mark.parametrize(("name", "shown"), CASES, ids=IDS)
def test_it_prints_without_a_word_of_the_renderer(
    name: str, shown: PictureFacts, size: float, fonts: OwnFonts
) -> None:
    picture = worded(name, shown)
    pages = read_back(printed(picture, size)).pages
    assert min(s for page in pages for s in page.sizes if s) >= LARGE_PRINT - 0.01
    text = "".join(page.text for page in pages)
    for role, lines in picture.labels:
        for line in lines:
            assert all(word in text for word in str(line).split()), (role, line)
    assert min(page.edge for page in pages) >= 60


@pytest.mark.parametrize(("name", "shown"), CASES, ids=IDS)
def test_longer_labels_lie_apart_on_paper(name: str, shown: PictureFacts, fonts: OwnFonts) -> None:
    """Words as they were printed, by a reader that gives each its box."""
    with pdfplumber.open(io.BytesIO(printed(worded(name, shown, longer=True), 18))) as pdf:
        lines = pdf.pages[0].extract_words(keep_blank_chars=True, x_tolerance=6)
    boxes = [(w["x0"], w["top"] + 4, w["x1"], w["bottom"] - 4) for w in lines]
    for number, a in enumerate(boxes):
        for b in boxes[number + 1 :]:
            apart = a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
            assert apart, (lines[number]["text"], b)


def test_labels_are_read_as_part_of_the_figure(fonts: OwnFonts) -> None:
    data = printed(worded("twist-lock", Twist()), 18)
    (figure,) = [tag for tag in tag_tree(data).every() if tag.kind == "/Figure"]
    assert figure.entries["/Alt"] == "Look and do."
    inside = "".join(tag_text(data, kid) for kid in figure.kids)
    assert squeezed("Turn right: closed") in squeezed(inside)


def test_arabic_labels_join_and_read_back(fonts: OwnFonts) -> None:
    """Isolated letters would print as their separate forms, each a glyph of its own."""
    words = "الأمعاء الدقيقة"
    picture = WordedPicture(
        "twist-lock", Twist(),
        (("close", (Words((Run(words),)),)), ("open", (Words((Run("60\u00a0mL", "volume"),)),))),
        Words((Run("Look."),)),
    )  # fmt: skip
    html = FRAME.replace('"Source Sans 3"', '"Source Sans 3", "Almarai"').format(
        picture=drawn(picture, "rtl", 18, on_paper=True)
    )
    data = laid(html).data
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        letters = [c for c in pdf.pages[0].chars if "Almarai" in c["fontname"]]
        caption = max(c["top"] for c in pdf.pages[0].chars)
        others = [c for c in pdf.pages[0].chars if c["text"] in "60mL" and c["top"] < caption]
    # The joined forms leave no gap between letters that join: د, ا, أ and ء end a joined run.
    rows = sorted(letters, key=lambda c: -c["x0"])
    runs = 1 + sum(a["x0"] - b["x1"] > 0.35 for a, b in pairwise(rows))
    assert runs <= 8 < len(rows)
    assert "".join(c["text"] for c in sorted(others, key=lambda c: c["x0"])) == "60mL"
