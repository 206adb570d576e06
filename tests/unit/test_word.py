"""Numbers, amounts, clocks, dates and spans in words, for the reader and never rounded twice.

Print rules: house rule for US devices (a point, a comma from 1,000, a leading and no trailing
zero, mL always). Ounces of a label: 30 mL, 21 CFR 101.9(b)(5)(viii). Weekdays: the calendar.
"""

from __future__ import annotations

from datetime import date, datetime, time
from decimal import Decimal
from itertools import pairwise

import pytest
from builders import ROOT, library

from plainleaf.compose.fill import FilledText
from plainleaf.compose.word import NBSP, Run, Wording, number, ounces
from plainleaf.facts.derived import Phrase, Typed
from plainleaf.inputs.catalog import Catalog, Message, load_catalog
from plainleaf.inputs.setting_values import Range
from plainleaf.vocabulary.quantities import Quantity, mL, read_quantity

WORDS = Wording(library(), Catalog("en", {}))
LOCALES = ROOT / "teaching" / "locales"


@pytest.mark.parametrize(
    ("value", "is_"),
    [
        ("0", "0"), ("0.5", "0.5"), ("0.50", "0.5"), ("5", "5"), ("5.0", "5"), ("10", "10"),
        ("100", "100"), ("999", "999"), ("1000", "1,000"), ("1200", "1,200"), ("1E+3", "1,000"),
        ("0.25", "0.25"), ("12.25", "12.25"), ("1234567.5", "1,234,567.5"),
        # longer ones are rounded once, half up: one decimal below 10, whole from 10
        ("2.345", "2.3"), ("2.355", "2.4"), ("9.999", "10"), ("0.125", "0.1"),
        ("1713.625", "1,714"),
        ("1080.72", "1,080.72"), ("68.0388555", "68"), ("10.5001", "11"), ("10.4999", "10"),
    ],
)  # fmt: skip
def test_numbers(value: str, is_: str) -> None:
    assert number(Decimal(value)) == is_


# Exact ones stand alone; others are about: to a quarter below 4 oz, to a half below 32 oz.
OUNCES = [
    ("14.9", None), ("15", "0.5 oz"), ("22.5", "0.75 oz"), ("30", "1 oz"), ("37.5", "1.25 oz"),
    ("60", "2 oz"), ("240", "8 oz"), ("237", "about 8 oz"), ("355", "about 12 oz"),
    ("20", "about 0.75 oz"), ("100", "about 3.25 oz"), ("175", "about 6 oz"),
    ("200", "about 6.5 oz"), ("1000", "about 33 oz"), ("110", "about 3.75 oz"),
    ("130", "about 4.5 oz"), ("950", "about 31.5 oz"), ("970", "about 32 oz"), ("960", "32 oz"),
]  # fmt: skip


@pytest.mark.parametrize(("millilitres", "is_"), OUNCES, ids=[row[0] for row in OUNCES])
def test_ounces_stand_beside_millilitres(millilitres: str, is_: str | None) -> None:
    said = WORDS.value(Typed("volume", mL(millilitres))).plain
    ml = f"{number(Decimal(millilitres))} mL"
    assert said == (ml if is_ is None else f"{ml} ({is_})")


def test_how_often_agrees_with_its_number() -> None:
    """Forms by CLDR: one and other in English and in Spanish."""
    spanish = Wording(library(), load_catalog(LOCALES, "es"))
    english = [WORDS.value(Typed("times", n)).plain for n in (1, 2, 3)]
    assert english == ["1 time", "2 times", "3 times"]
    said = [spanish.value(Typed("times", n)).plain for n in (1, 2, 3)]
    assert said == ["1 vez", "2 veces", "3 veces"]


def test_ounces_say_whether_they_are_exact() -> None:
    assert ounces(Decimal(60)) == (Decimal(2), True)
    assert ounces(Decimal(355)) == (Decimal(12), False)
    assert ounces(Decimal("14.99")) is None


def span(text: str) -> Quantity:
    return read_quantity(text, "time span")


VALUES: list[tuple[Typed, str]] = [
    (Typed("volume", Quantity(Decimal(2), "L")), "2,000 mL (about 67 oz)"),
    (Typed("dose-volume", mL("2.5")), "2.5 mL"),
    (Typed("dose-volume", mL("60")), "60 mL"),  # a dose never has ounces
    (Typed("balloon-volume", mL("20")), "20 mL"),
    (Typed("container", mL("1000")), "1,000 mL"),
    (Typed("rate", Quantity(Decimal("62.5"), "mL/h")), "62.5 mL an hour"),
    (Typed("length", read_quantity("35 mm", "length")), "3.5 cm"),
    (Typed("length-range", Range(read_quantity("5 mm", "length"), read_quantity("1 cm", "length"))),
     "0.5 to 1 cm"),
    (Typed("size", read_quantity("18 Fr", "tube size")), "18 Fr"),
    # 0.45359237 kg a pound (NIST), to half a unit
    (Typed("weight", read_quantity("10 lb", "weight")), "10 lb (4.5 kg)"),
    (Typed("weight", read_quantity("4.5 kg", "weight")), "4.5 kg (10 lb)"),
    (Typed("weight", read_quantity("5 kg", "weight")), "5 kg (11 lb)"),
    # rows fever-def, o-temp, fever-round
    (Typed("temperature", read_quantity("38.0 °C", "temperature")), "100.4 °F (38 °C)"),
    (Typed("temperature", read_quantity("38.3 °C", "temperature")), "100.9 °F (38.3 °C)"),
    (Typed("temperature", read_quantity("100.4 °F", "temperature")), "100.4 °F (38 °C)"),
    (Typed("span", span("1 min")), "1 minute"),
    (Typed("span", span("30 min")), "30 minutes"),
    (Typed("span", span("60 min")), "1 hour"),
    (Typed("span", span("90 min")), "90 minutes"),
    (Typed("span", span("12 h")), "12 hours"),
    (Typed("span", span("24 h")), "24 hours"),
    (Typed("span", span("72 h")), "72 hours"),
    (Typed("span", span("4 d")), "4 days"),
    (Typed("span", span("7 d")), "7 days"),
    (Typed("span", span("168 h")), "7 days"),
    (Typed("span", span("365 d")), "12 months"),
    (Typed("date", date(2026, 3, 4)), "Wednesday, March 4, 2026"),
    (Typed("date", date(2024, 2, 29)), "Thursday, February 29, 2024"),
    (Typed("date", date(2026, 12, 31)), "Thursday, December 31, 2026"),
    (Typed("day-of-year", date(1949, 11, 2)), "November 2, 1949"),
    (Typed("moment", datetime(2026, 3, 4, 10, 30)), "Wednesday, March 4, 2026, at 10:30 am"),
    (Typed("moment", datetime(2026, 3, 4, 0, 0)), "Wednesday, March 4, 2026, at midnight"),
    (Typed("angle-range", "30 to 45"), "30 to 45 degrees"),
    (Typed("count", 1200), "1,200"),
    (Typed("text", "Ng\u1ec5n {x}"), "Ng\u1ec5n {x}"),
    (Typed("phone", "+1 555 010 0142"), "+1 555 010 0142"),
    (Typed("phrase", Phrase("port-gastric")), "stomach port"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("value", "is_"), VALUES, ids=[f"{typed.kind} {is_}" for typed, is_ in VALUES]
)
def test_values(value: Typed, is_: str) -> None:
    assert WORDS.value(value).plain == is_


# Noon and midnight by name, because 12 am and 12 pm are mistaken for each other
# (National Institute of Standards and Technology, "Times of Day FAQs", from memory).
CLOCKS = [
    ("00:00", "midnight", "midnight"),
    ("00:30", "12:30 at night", "12:30 am"),
    ("03:59", "3:59 at night", "3:59 am"),
    ("04:00", "4 in the morning", "4 am"),
    ("11:59", "11:59 in the morning", "11:59 am"),
    ("12:00", "noon", "noon"),
    ("12:01", "12:01 in the afternoon", "12:01 pm"),
    ("16:59", "4:59 in the afternoon", "4:59 pm"),
    ("17:00", "5 in the evening", "5 pm"),
    ("18:05", "6:05 in the evening", "6:05 pm"),
    ("21:00", "9 at night", "9 pm"),
    ("23:59", "11:59 at night", "11:59 pm"),
]


@pytest.mark.parametrize(("at", "said", "short"), CLOCKS, ids=[row[0] for row in CLOCKS])
def test_clocks(at: str, said: str, short: str) -> None:
    clock = time.fromisoformat(at)
    assert WORDS.value(Typed("clock", clock)).plain == said
    assert WORDS.value(Typed("clock-short", clock)).plain == short


@pytest.mark.parametrize(
    "value",
    [Typed("volume", mL(60)), Typed("rate", Quantity(Decimal(75), "mL/h")),
     Typed("span", span("30 min")), Typed("phone", "+1 555 010 0142"),
     Typed("clock", time(18)), Typed("temperature", read_quantity("38 °C", "temperature"))],
    ids=lambda value: value.kind,
)  # fmt: skip
def test_an_amount_never_breaks_between_number_and_unit(value: Typed) -> None:
    text = str(WORDS.value(value))
    for before, after in pairwise(text):
        assert not (before.isdigit() and after == " ")
    assert NBSP in text


def test_a_merged_value_is_a_run_of_its_own() -> None:
    filled = FilledText("x", "Give {a} by {b}.", (("a", Typed("volume", mL(10))),
                                                  ("b", Typed("text", "syringe"))))  # fmt: skip
    assert WORDS.text(filled).runs == (
        Run("Give "), Run(f"10{NBSP}mL", "volume"), Run(" by "), Run("syringe", "text"), Run("."),
    )  # fmt: skip


def test_braces_inside_a_value_are_never_read_as_a_slot() -> None:
    filled = FilledText(
        "x", "{a} and {b}", (("a", Typed("text", "{b}")), ("b", Typed("text", "c")))
    )
    assert str(WORDS.text(filled)) == "{b} and c"


@pytest.mark.parametrize(
    ("count", "is_"), [(0, "0 hours"), (1, "1 hour"), (2, "2 hours"), (1000, "1,000 hours")]
)
def test_a_count_picks_the_plural(count: int, is_: str) -> None:
    assert WORDS.count("span-hours", count).replace(NBSP, " ") == is_


def test_words_come_from_the_catalog() -> None:
    one, other = library().phrases["span-hours"]
    messages = {
        "x": Message(("Give {a}.",), ("Dé {a}.",), "f.po", 1),
        "phrase:millilitres": Message(("{number} mL",), ("{number} mL",), "f.po", 2),
        "phrase:span-hours": Message(
            (one, str(other)), ("{count} hora", "{count} de horas", "{count} horas"), "f.po", 3
        ),
    }
    spanish = Wording(library(), Catalog("es", messages))
    filled = FilledText("x", "Give {a}.", (("a", Typed("dose-volume", mL("1.5"))),))
    # the decimal sign is that of the syringe in the hand, in every language
    assert spanish.text(filled).plain == "Dé 1.5 mL."
    assert spanish.count("span-hours", 1).replace(NBSP, " ") == "1 hora"
    assert spanish.count("span-hours", 12).replace(NBSP, " ") == "12 horas"


@pytest.mark.parametrize("month", range(1, 13))
def test_months_and_weekdays_agree_with_the_calendar(month: int) -> None:
    day = date(2026, month, 1)
    assert WORDS.value(Typed("date", day)).plain == day.strftime("%A, %B 1, 2026")


# Arabic says am and pm as "in the morning" and "in the evening": half past noon is neither.
@pytest.mark.parametrize(
    ("at", "short"),
    [("00:30", "12:30 بعد منتصف الليل"), ("01:30", "1:30 صباحا"), ("11:30", "11:30 صباحا"),
     ("12:15", "12:15 بعد الظهر"), ("13:15", "1:15 مساء")],
)  # fmt: skip
def test_half_past_noon_is_not_the_evening_in_arabic(at: str, short: str) -> None:
    arabic = Wording(library(), load_catalog(LOCALES, "ar"))
    assert arabic.value(Typed("clock-short", time.fromisoformat(at))).plain == short


# Counted words of Arabic after a preposition, by the CLDR category of the number: two, few, many,
# other (Unicode CLDR, Language Plural Rules).
@pytest.mark.parametrize(
    ("amount", "said"),
    [("1 h", "ساعة واحدة (1)"), ("2 h", "ساعتين (2)"), ("8 h", "8 ساعات"), ("12 h", "12 ساعة"),
     ("10 min", "10 دقائق"), ("15 min", "15 دقيقة"), ("100 min", "100 دقيقة"),
     ("7 d", "7 أيام"), ("28 d", "28 يوما"), ("365 d", "12 شهرا")],
)  # fmt: skip
def test_spans_in_arabic_have_their_plural(amount: str, said: str) -> None:
    arabic = Wording(library(), load_catalog(LOCALES, "ar"))
    assert arabic.value(Typed("span", span(amount))).plain == said
