"""Text from left to right inside text from right to left (Unicode Standard Annex #9).

The places where lines turn round without isolates: rows TR-30 to TR-33 of the print reference.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, time
from decimal import Decimal
from types import SimpleNamespace

import pytest
from builders import ROOT, library

from plainleaf.compose.word import Run, Wording, Words
from plainleaf.compose.word.bidi import (
    first_side,
    isolated,
    numbers_isolated,
    turns,
    without_isolates,
)
from plainleaf.facts.derived import Typed
from plainleaf.inputs.catalog import Catalog
from plainleaf.inputs.setting_values import Range
from plainleaf.printing.html import Printer
from plainleaf.vocabulary.quantities import Quantity, mL


def shown(text: str) -> str:
    """The text with isolates as square brackets."""
    marks = {"\u2066": "[", "\u2067": "<", "\u2068": "{", "\u2069": "]"}
    return "".join(marks.get(letter, letter) for letter in text)


@pytest.mark.parametrize(
    ("text", "is_"),
    [
        ("10:30 صباحا", "[10:30] صباحا"),
        ("75\u00a0mL في الساعة", "[75\u00a0mL] في الساعة"),
        ("60 mL (حوالي 2 oz)", "[60 mL] (حوالي [2 oz])"),
        ("355 mL (12 oz تقريبا)", "[355 mL] ([12 oz] تقريبا)"),
        ("قبل 60 mL) ثم 2 oz", "قبل [60 mL]) ثم [2 oz]"),
        ("0.5 إلى 1 cm", "[0.5] إلى [1 cm]"),
        ("(555) 010-0143 هاتف", "[(555) 010-0143] هاتف"),
        ("+1 555 010 0143 هاتف", "[+1 555 010 0143] هاتف"),
        ("(45 درجة)", "([45] درجة)"),
        ("100.4 °F (38 °C)", "100.4 °F (38 °C)"),
        ("1,200 mL", "1,200 mL"),
        ("ساعة واحدة", "ساعة واحدة"),
        ("", ""),
    ],
)
def test_numbers_with_their_units_are_isolated_among_arabic_words(text: str, is_: str) -> None:
    assert shown(numbers_isolated(text)) == is_
    assert without_isolates(numbers_isolated(text)) == text


@pytest.mark.parametrize(
    ("text", "side"),
    [("60 mL", "ltr"), ("12", "ltr"), ("", "ltr"), ("12 ساعة", "rtl"), ("Ona", "ltr"),
     ("\u206660 mL\u2069 (حوالي)", "rtl"), ("עברית", "rtl")],
)  # fmt: skip
def test_the_side_is_that_of_the_first_letter_outside_of_isolates(text: str, side: str) -> None:
    assert first_side(text) == side


@dataclass(frozen=True)
class Arabic(Catalog):
    """A catalog that gives English back, except for the phrases of a test."""

    language: str = "ar"
    messages: Mapping[str, object] = field(default_factory=dict)  # type: ignore[assignment]

    def text(self, identity: str, source: str) -> str:
        return WORDS.get(identity.removeprefix("phrase:"), source)

    def plural(self, identity: str, one: str, other: str, count: int | Decimal) -> str:
        return WORDS.get(identity.removeprefix("phrase:"), other)


WORDS = {
    "span-hours": "{count} ساعة",
    "clock-evening": "{clock} مساء",
    "clock-am": "{clock} صباحا",
    "range-cm": "{low} إلى {high} cm",
    "rate": "{ml} في الساعة",
    "ounces-about": "حوالي {number} oz",
    "moment": "{date}، عند {time}",
    "date": "{weekday} {day} {month} {year}",
    "weekday-3": "الأربعاء",
    "month-3": "مارس",
    "footer-identity": "{name}، رقم الملف {record}",
}
ARABIC = Wording(library(), Arabic())


@pytest.mark.parametrize(
    ("value", "text", "side"),
    [
        (Typed("span", Quantity(Decimal(12), "h")), "[12] ساعة", "rtl"),
        (Typed("clock", time(18, 30)), "[6:30] مساء", "rtl"),
        (Typed("rate", Quantity(Decimal(75), "mL/h")), "[75 mL] في الساعة", "rtl"),
        (Typed("volume", mL(237)), "[237 mL] (حوالي [8 oz])", "rtl"),
        (Typed("volume", mL(60)), "60 mL (2 oz)", "ltr"),
        (Typed("length-range", Range(Quantity(Decimal("0.5"), "cm"), Quantity(Decimal(1), "cm"))),
         "[0.5] إلى [1 cm]", "rtl"),
        (Typed("phone", "+1 555 010 0142"), "+1 555 010 0142", "ltr"),
        (Typed("moment", datetime(2026, 3, 4, 10, 30)),
         "الأربعاء [4] مارس [2026]، عند [10:30] صباحا", "rtl"),
        (Typed("text", "Ona"), "Ona", "ltr"),
        (Typed("text", "منى 2"), "منى 2", "rtl"),
    ],
)  # fmt: skip
def test_values_in_arabic(value: Typed, text: str, side: str) -> None:
    (run,) = ARABIC.value(value).runs
    assert shown(run.text).replace("\u00a0", " ") == text
    assert run.side == side


def test_every_merged_value_is_a_run_of_its_own() -> None:
    words = ARABIC.phrase("footer-identity", name="Ona Lee", record="X-1")
    assert [run.kind for run in words.runs] == ["text", "", "text"]
    assert shown(words.isolated) == "{Ona Lee]، رقم الملف {X-1]"
    assert words.plain == "Ona Lee، رقم الملف X-1"


def test_plain_text_holds_no_marks() -> None:
    words = ARABIC.value(Typed("span", Quantity(Decimal(12), "h")))
    assert words.plain == "12 ساعة"
    assert isolated("") == ""
    assert Words((Run("a", "text"),)).isolated == "\u2068a\u2069"


def test_words_of_the_patient_file_in_latin_letters_are_known() -> None:
    assert Run("Lakeside clinic", "text").latin
    assert not Run("12", "text").latin
    assert not Run("منى", "text").latin
    assert not Run("60 mL", "volume").latin


# UAX #9, tables 3 and 4: in a line from left to right only these raise the level of what they are
# in; a number (EN), a sign (ES, ET, CS) or a space (WS) takes the level of the line.
@pytest.mark.parametrize(
    ("text", "is_"),
    [
        ("Ona Lee", False), ("+1 555 010 0142", False), ("100.4 °F (38 °C)", False), ("", False),
        ("José Ñandú, record X-1", False), ("منى", True), ("Ona منى", True), ("משה", True),
        ("٣", True), ("\u2067a\u2069", True), ("a\u202eb", True),
    ],
)  # fmt: skip
def test_what_can_turn_a_line_round(text: str, is_: bool) -> None:
    assert turns(text) is is_
    assert Run(text, "text").turns is is_


@pytest.mark.parametrize(
    ("text", "language", "direction", "html"),
    [
        ("Ona", "en", "ltr", "Ona"),
        ("منى", "en", "ltr", '<bdi dir="rtl">منى</bdi>'),
        ("60 mL", "es", "ltr", "60 mL"),
        ("Ona", "es", "ltr", '<bdi dir="ltr" lang="en">Ona</bdi>'),
        ("Ona", "ar", "rtl", '<bdi dir="ltr" lang="en">Ona</bdi>'),
        ("60 mL", "ar", "rtl", '<bdi dir="ltr" style="white-space: nowrap">60 mL</bdi>'),
        ("منى", "ar", "rtl", '<bdi dir="rtl">منى</bdi>'),
    ],
)
def test_an_isolate_stands_where_a_line_could_turn(
    text: str, language: str, direction: str, html: str
) -> None:
    templates = Printer(ROOT / "templates").environment
    page = templates.from_string(
        "{% from 'words.html.j2' import words with context %}<p>{{ words(text) }}</p>"
    )
    packet = SimpleNamespace(language=language, direction=direction)
    words = Words((Run("For "), Run(text, "volume" if text == "60 mL" else "text"), Run(".")))
    made = page.render(text=words, packet=packet, phone_links=False)
    assert made == f"<p>For {html}.</p>"
