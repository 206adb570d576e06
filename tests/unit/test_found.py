"""Words read back from a page: in order from left to right, word by word from right to left.

What readers give for Arabic lines was seen with PDFium 5 and poppler 22 on pages of our own.
"""

from __future__ import annotations

import pytest

from plainleaf.printing.inspection.text_match import InAnyOrder, found_in, pieces, squeezed

# Logical text → what PDFium gives for the printed line.
AS_READ = {
    "اطلب مساعدة الطوارئ الآن": "اطلب مساعدة الطوارئ اآلن",
    "حرارة \u2066100.4 °F (38 °C)\u2069 أو أكثر: لا دواء": (
        "حرارة (C° 38 (F° 100.4 أو أكثر: ال دواء"
    ),
    "عند \u206610:30\u2069 صباحا.": "عند\r\n 10:30صباحا.",
    "خرج الأنبوب. غطِّ الجلد.": "خرج األنبوب. ِّغط الجلد.",
    "ثبّته كما هو": "ثبّ ته كما هو",
    "الكيس. علّقه أعلى": "قه أعلى\r\nالكيس. علّ",
    "لا تستعمل محوّلا.": "ال تستعمل محوّ ال.",
    "اتصل على \u2066+1 555 010 0142\u2069": "اتصل على 0142 010 555 1+",
}


@pytest.mark.parametrize("logical", AS_READ)
def test_a_line_is_found_however_the_reader_orders_it(logical: str) -> None:
    assert found_in(AS_READ[logical], "rtl").holds(logical)


@pytest.mark.parametrize(
    ("text", "lacking"),
    [
        ("حرارة 100.5 °F", ["100.5"]),
        ("حرارة 38 °C 38", ["38"]),
        ("حرارة 38 mL", ["mL"]),
        ("لا دواء أبدا", ["أبدا"]),
        ("حرارة", []),
    ],
    ids=["another number", "a number once too often", "another unit", "a word more", "nothing"],
)
def test_what_is_not_there_is_missed(text: str, lacking: list[str]) -> None:
    page = InAnyOrder("حرارة (C° 38 (F° 100.4 أو أكثر: ال دواء")
    assert page.lacking(text) == lacking


def test_numbers_stay_whole() -> None:
    assert pieces("1,200 mL 10:30 0.5") == {"1,200": 1, "mL": 1, "10:30": 1, "0.5": 1}
    assert not InAnyOrder("200 1").holds("1,200")


def test_in_order_is_to_the_letter() -> None:
    page = found_in("Give 60\u00a0mL\nnow.", "ltr")
    assert page.holds("60 mL now")
    assert not page.holds("mL 60")
    assert squeezed("\u2066a\u2069 b\n") == "ab"
