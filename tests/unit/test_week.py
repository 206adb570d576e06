"""Minutes of a week, who is there, and what nobody covers."""

from __future__ import annotations

from datetime import time
from itertools import pairwise

from folding import each
from hypothesis import given
from hypothesis import strategies as st

from plainleaf.facts.week import (
    A_WEEK,
    gaps,
    is_there,
    minute_words,
    open_on,
    span_words,
    spans_of,
    week_minutes,
)
from plainleaf.vocabulary.opening_hours import DAYS, read_hours

CLOCKS = st.builds(lambda h, m: f"{h:02}:{m:02}", st.integers(0, 23), st.sampled_from([0, 15, 30]))
PARTS = st.builds(
    lambda days, opens, closes: f"{','.join(days)} {opens}-{closes}",
    st.lists(st.sampled_from(DAYS), min_size=1, max_size=4, unique=True),
    CLOCKS,
    CLOCKS,
)
HOURS = st.one_of(st.just("always"), st.lists(PARTS, min_size=1, max_size=3).map("; ".join))
NOON = 12 * 60

OPEN = [
    ("Mon-Fri 08:00-16:00", 8 * 60, True),
    ("Mon-Fri 08:00-16:00", 8 * 60 - 1, False),
    ("Mon-Fri 08:00-16:00", 16 * 60, False),
    ("Mon-Fri 08:00-16:00", 5 * 1440 + NOON, False),
    ("Sun 19:00-07:00", 6 * 60 + 59, True),
    ("Sun 19:00-07:00", 7 * 60, False),
    ("Mon-Sun 19:00-07:00", 0, True),
    ("Sat 08:00-00:00", 5 * 1440 + 1439, True),
    ("Sat 08:00-00:00", 6 * 1440, False),
    ("Fri-Mon 22:00-06:00", 1440 + 5 * 60, True),
    ("always", 3, True),
]


@each({f"{hours} at {minute}": (hours, minute, there) for hours, minute, there in OPEN})
def test_is_there(hours: str, minute: int, there: bool) -> None:
    assert is_there(read_hours(hours), minute) is there


def test_open_on_a_day_counts_the_night_before() -> None:
    night = read_hours("Sun 19:00-07:00")
    assert [day for day in DAYS if open_on(night, day)] == ["Mon", "Sun"]
    assert open_on(None, "Tue")
    assert not open_on(read_hours("Mon 08:00-00:00"), "Tue")


def test_gaps_over_sunday_midnight_are_one() -> None:
    assert gaps(spans_of(read_hours("Mon-Sun 07:00-19:00")))[-1] == (
        6 * 1440 + 19 * 60, A_WEEK + 7 * 60
    )  # fmt: skip
    assert gaps([]) == ((0, A_WEEK),)
    assert gaps([(0, A_WEEK)]) == ()


@given(st.lists(HOURS, max_size=3))
def test_a_minute_is_in_a_gap_exactly_when_nobody_is_there(texts: list[str]) -> None:
    people = [read_hours(text) for text in texts]
    missing = gaps(span for hours in people for span in spans_of(hours))
    for minute in range(0, A_WEEK, 15):
        in_gap = any(s <= m < e for s, e in missing for m in (minute, minute + A_WEEK))
        assert in_gap is not any(is_there(hours, minute) for hours in people)


@given(st.lists(HOURS, max_size=3))
def test_gaps_are_apart_and_in_order(texts: list[str]) -> None:
    missing = gaps(span for text in texts for span in spans_of(read_hours(text)))
    assert all(start < end for start, end in missing)
    assert all(end < other for (_, end), (other, _) in pairwise(missing))


def test_words_put_days_of_one_time_together() -> None:
    assert minute_words(week_minutes([time(7, 30)], ["Sat", "Sun"])) == "Sat, Sun 07:30"
    assert minute_words(week_minutes([time(8)])) == "Mon-Sun 08:00"
    assert span_words([(0, A_WEEK)]) == "at every hour of the week"
    assert span_words(gaps(spans_of(read_hours("Mon-Sun 06:00-22:00")))) == (
        "Mon-Sun 22:00 to 06:00"
    )
    assert span_words([(5 * 1440, 7 * 1440)]) == "Sat 00:00 to Mon 00:00"
