"""What is so on some dates and weekdays, as one cell: what never changes stands once, and what
does stands beside its dates, so that nobody has to look at two tables for one day."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from itertools import islice

from plainleaf.compose.fill.filled_packet import Cell
from plainleaf.compose.fill.source import say
from plainleaf.facts.derived import Event, Phrase, Typed, Value
from plainleaf.facts.plans import dates_of
from plainleaf.vocabulary.opening_hours import DAYS

A_DAY = timedelta(days=1)
_A_WEEK = len(DAYS)


@dataclass(frozen=True)
class Line:
    """One line of what is so on a day; `event`: whose doers may be named beside it."""

    words: Value
    event: Event | None = field(default=None, compare=False)


@dataclass(frozen=True)
class OfDay:
    """What is so on one day; `some_days`: an order for some weekdays is in it."""

    lines: tuple[Line, ...]
    some_days: bool = field(default=False, compare=False)


@dataclass(frozen=True)
class Span:
    """Dates on which each weekday is alike; a weekday that does not come within them is None.

    `last` None goes on.
    """

    first: date
    last: date | None
    week: tuple[OfDay | None, ...]


@dataclass(frozen=True)
class Variant:
    """What holds on some days, the first of them; `label` None where it holds on all."""

    label: Value | None
    cell: Cell
    first: date


def spans_of(first: date, breaks: Iterable[date], holds: Callable[[date], OfDay]) -> list[Span]:
    """The dates from the first on, cut where something changes, and only there.

    Args:
        breaks: Dates on which something may change.
        holds: What is so on a date.
    """
    found: list[Span] = []
    starts = sorted({first, *(day for day in breaks if day > first)})
    lasts = [*(day - A_DAY for day in starts[1:]), None]
    for start, last in zip(starts, lasts, strict=True):
        week: list[OfDay | None] = [None] * _A_WEEK
        for day in islice(dates_of(start, last), _A_WEEK):
            week[day.weekday()] = holds(day)
        if found and _go_together(found[-1].week, week):
            joined = tuple(a if a is not None else b for a, b in zip(found[-1].week, week,
                           strict=True))  # fmt: skip
            found[-1] = Span(found[-1].first, last, joined)
        else:
            found.append(Span(start, last, tuple(week)))
    return found


def _go_together(first: Sequence[OfDay | None], other: Sequence[OfDay | None]) -> bool:
    """Whether two stretches can be one: no weekday differs, and no date is what makes the change.

    Where they share no weekday, what is so on the ordinary days of the one must be so on those of
    the other as well, or a change of dates would be told as one of weekdays.
    """
    alike = all(a is None or b is None or a == b for a, b in zip(first, other, strict=True))
    old, new = ({d for d in week if d is not None and not d.some_days} for week in (first, other))
    return alike and (old <= new or new <= old)


def variants_of(
    spans: Sequence[Span], worded: Callable[[OfDay, Sequence[str]], Cell]
) -> list[Variant]:
    """What holds when, in order of the dates; of the weekdays, the fewer come first.

    Args:
        worded: What is so in words, for the weekdays on which it is.
    """
    return [
        Variant(_label(dates_label(span, spans), kind, names), worded(so, names), span.first)
        for span in spans
        for kind, names, so in _by_days(span)
    ]


def _by_days(span: Span) -> Iterator[tuple[str, list[str], OfDay]]:
    """Each kind of day of a span with its weekdays: `days`, then `other-days`; or all of them."""
    known = [(name, so) for name, so in zip(DAYS, span.week, strict=True) if so is not None]
    counted = Counter(so for _, so in known)
    usual, _ = counted.most_common(1)[0]
    for so in counted:
        names = [name for name, one in known if one == so]
        if so != usual:
            yield "days", names, so
    names = [name for name, one in known if one == usual]
    yield ("other-days" if len(counted) > 1 else ""), names, usual


def dates_label(span: Span, spans: Sequence[Span]) -> Value | None:
    """The words for the dates of a span among others; None where it is the only one."""
    if len(spans) == 1:
        return None
    last = None if span.last is None else Typed("day", span.last)
    if last is None:
        return say("dated-from", first=Typed("day", span.first))
    if span is spans[0]:
        return say("dated-until", last=last)
    if span.first == span.last:
        return say("dated-on", day=last)
    return say("dated-between", first=Typed("day", span.first), last=last)


def _label(when: Value | None, kind: str, names: Sequence[str]) -> Value | None:
    """The words for dates and weekdays; None where neither needs any."""
    if not kind:
        return when
    values = {"days": days_listed(names)} if kind == "days" else {}
    if when is None:
        return say(f"on-{kind}", **values)
    return say(f"dated-on-{kind}", when=when, **values)


def days_listed(names: Sequence[str]) -> Value:
    """Weekdays in words, those in a row by their ends."""
    runs: list[list[int]] = []
    for number in sorted(DAYS.index(name) for name in names):
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    parts: list[Value] = []
    for run in runs:
        named = [Phrase(f"weekday-{number + 1}") for number in run]
        parts += [say("days-to", first=named[0], last=named[-1])] if len(run) > 2 else named
    return listed(parts)


def listed(parts: Sequence[Value]) -> Value:
    """Short things in one line, with the comma of the language between them."""
    whole, *rest = parts
    for part in rest:
        whole = say("list-two", first=whole, second=part)
    return whole


def merged(variants: Sequence[Variant], join: str | None = None) -> Cell:
    """One cell: what all share stands once, before and after what is not on all days.

    Args:
        join: The phrase that sets the lines of some days one after the other, beside their days;
            without it more than one stand under them, each marked.
    """
    if not variants:
        return ()
    if variants[0].label is None:
        return variants[0].cell
    begins = next((n for n, variant in enumerate(variants) if variant.cell), 0)
    going_on = variants[begins:]
    alike = any(_shared([variant.cell for variant in going_on]))
    if begins and len(going_on) > 1 and alike:
        return _begun(going_on, join)
    return _between(variants, join)


def _begun(variants: Sequence[Variant], join: str | None) -> Cell:
    """What begins on a day and goes on: what never changes from then on stands under that day."""
    head = say("dated-head", when=say("dated-from", first=Typed("day", variants[0].first)))
    return (head, *_between(variants, join))


def _between(variants: Sequence[Variant], join: str | None) -> Cell:
    """What all share, and between it what is not on all days, with its days."""
    before, after = _shared([variant.cell for variant in variants])
    first = variants[0].cell
    some_days = tuple(
        line
        for variant in variants
        for line in on_days(variant.label, variant.cell[before : len(variant.cell) - after], join)
    )
    return (*first[:before], *some_days, *first[len(first) - after :])


def on_days(label: Value | None, lines: Cell, join: str | None = None) -> Cell:
    """Lines of some days: beside the days, or under them, where each is marked as theirs."""
    if not lines:
        return ()
    if join is not None or len(lines) == 1:
        return (dated(label, in_one(lines, join or "")),)
    assert label is not None
    return (say("dated-head", when=label), *(say("dated-part", what=line) for line in lines))


def _shared(cells: Sequence[Cell]) -> tuple[int, int]:
    """How many lines all cells share at their beginning, and how many more at their end."""
    least = min(map(len, cells))
    before = 0
    while before < least and len({cell[before] for cell in cells}) == 1:
        before += 1
    after = 0
    while after < least - before and len({cell[-1 - after] for cell in cells}) == 1:
        after += 1
    return before, after


def dated(label: Value | None, line: Value) -> Value:
    """A line after the days on which it holds."""
    return line if label is None else say("dated-line", when=label, what=line)


def in_one(lines: Sequence[Value], join: str) -> Value:
    """Lines one after the other in one."""
    whole, *rest = lines
    for line in rest:
        whole = say(join, first=whole, next=line)
    return whole


def plain_cell(of_day: OfDay, _: Sequence[str]) -> Cell:
    """Lines of a day as they are."""
    return tuple(line.words for line in of_day.lines)
