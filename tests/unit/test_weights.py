"""What is meant bold is printed bold; a damaged font leaves every word and no weight."""

from __future__ import annotations

from pathlib import Path

import pytest
from damaged_fonts import DAMAGES, damaged
from laying import sheet_of

from plainleaf.printing.fonts import OwnFonts
from plainleaf.printing.inspection.read_pdf import PageText, read_back
from plainleaf.printing.inspection.weights import not_in_bold
from plainleaf.printing.renderer.layout import Sheet, lay

TEXTS = [("the title", "Call 911 now"), ("the name", "60\u00a0mL"), ("another", "not there")]
ARABIC = [("the title", "اتصل بالطوارئ 911"), ("the name", "ماء")]
FAMILIES = '<style>html { font-family: "Source Sans 3", "Almarai" }</style>'


def pages(body: str, fonts: OwnFonts, way: str = "ltr") -> tuple[PageText, ...]:
    language = "ar" if way == "rtl" else "en"
    html = (
        f'<html lang="{language}" dir="{way}"><head><title>t</title>{FAMILIES}</head>'
        f"<body>{body}</body></html>"
    )
    sheet = sheet_of(html)
    return read_back(lay(Sheet(html, sheet.templates, fonts)).data).pages


@pytest.mark.parametrize(
    ("body", "faults"),
    [
        ("<h1>Call 911 now</h1><p>Give <b>60\u00a0mL</b></p>", []),
        ("<h1>Call <i>911</i> now</h1><p>Give <b>60\u00a0mL</b></p>", []),
        ("<p>Call 911 now</p><p>Give <b>60\u00a0mL</b></p>", ["the title"]),
        ("<h1>Call 911 now</h1><p>Give 60\u00a0mL</p>", ["the name"]),
        ("<p>Call 911 now. Give 60\u00a0mL</p>", ["the title", "the name"]),
        ("<h1>Call <span style='font-weight:400'>911</span> now</h1>", ["the title"]),
        ("<p>None of it</p>", []),
    ],
)
def test_what_stands_there_and_not_in_bold_is_named(
    body: str, faults: list[str], fonts: OwnFonts
) -> None:
    named = list(not_in_bold(TEXTS, pages(body, fonts), "ltr"))
    assert named == [f"{fault} is not printed in bold" for fault in faults]


@pytest.mark.parametrize(
    ("body", "faults"),
    [
        ("<h1>اتصل بالطوارئ 911</h1><p>هذا <b>ماء</b></p>", []),
        ("<p>اتصل بالطوارئ 911</p><p>هذا <b>ماء</b></p>", ["the title"]),
        ("<h1>اتصل بالطوارئ 911</h1><p>هذا ماء</p>", ["the name"]),
    ],
)
def test_from_the_right_too(body: str, faults: list[str], fonts: OwnFonts) -> None:
    named = list(not_in_bold(ARABIC, pages(body, fonts, "rtl"), "rtl"))
    assert named == [f"{fault} is not printed in bold" for fault in faults]


@pytest.mark.parametrize("how", DAMAGES)
def test_a_damaged_font_is_seen_in_the_finished_pages(
    how: str, fonts: OwnFonts, tmp_path: Path
) -> None:
    printed = pages("<h1>Call 911 now</h1>", damaged(fonts, tmp_path, how))
    assert "Call 911 now" in printed[0].text
    assert list(not_in_bold(TEXTS, printed, "ltr")) == ["the title is not printed in bold"]
