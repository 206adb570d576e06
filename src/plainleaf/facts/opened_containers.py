"""Containers that are opened one after another, each used up as long as it may stand."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from plainleaf.vocabulary.quantities import Quantity, mL

_NOTHING = mL(0)


@dataclass(frozen=True)
class Opened:
    """What was opened of one formula: in all, most on one day, and what was thrown away."""

    count: int
    a_day: int
    wasted: Quantity


@dataclass(frozen=True)
class Draw:
    """So much formula is taken at a moment."""

    moment: datetime
    amount: Quantity


def opened_for(draws: list[Draw], size: Quantity, keeps: timedelta) -> Opened:
    """Containers that are opened one after another, each used up while it keeps.

    Args:
        draws: In order of their moments.

    >>> first = datetime(2026, 6, 5, 7)
    >>> draws = [Draw(first + timedelta(hours=h), mL("355.5")) for h in (0, 5, 11)]
    >>> opened_for(draws, mL(237), timedelta(hours=24)).count
    5
    """
    count, wasted = 0, _NOTHING
    by_day: dict[date, int] = {}
    rest, since = _NOTHING, None
    for draw in draws:
        wanted = draw.amount.to("mL")
        if since is not None and draw.moment - since >= keeps:
            wasted, rest = wasted + rest, _NOTHING
        while wanted > rest:
            wanted, rest, since = wanted - rest, size, draw.moment
            count += 1
            by_day[since.date()] = by_day.get(since.date(), 0) + 1
        rest = rest - wanted
    return Opened(count, max(by_day.values(), default=0), wasted + rest)
