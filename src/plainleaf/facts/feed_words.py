"""Amounts of feedings and water as they print: ranges, and amounts that are counted in cartons."""

from __future__ import annotations

from plainleaf.facts.derived import Phrase, Typed
from plainleaf.inputs.patient import Dose, Feed
from plainleaf.vocabulary.patient_file.scalars_2 import Portion
from plainleaf.vocabulary.quantities import Quantity


def volume_range(least: Quantity | None, most: Quantity) -> Quantity | Phrase:
    """5 mL, or 5 mL to 10 mL where a range is ordered."""
    if least is None or least == most:
        return most
    return Phrase("amount-to", (("least", Typed("volume", least)), ("most", Typed("volume", most))))


def span_range(least: Quantity | None, most: Quantity) -> Quantity | Phrase:
    """30 minutes, or 30 to 40 minutes where a range is ordered."""
    if least is None or least == most:
        return most
    first, last = (span.to("min").value for span in (least, most))
    per = 60 if first % 60 == 0 == last % 60 else 1
    same_unit = per == 60 or last % 60 != 0
    low = Typed("count", int(first / per)) if same_unit else Typed("span", least)
    return Phrase("span-to", (("least", low), ("most", Typed("span", most))))


def time_of(feed: Feed) -> Quantity | Phrase | None:
    """How long one feeding takes, as ordered."""
    return None if feed.over is None else span_range(feed.over_least, feed.over)


def portion_phrase(portion: Portion, volume: Quantity) -> Phrase:
    """1.5 cartons (355.5 mL, 12 oz)."""
    called = Typed("dose", Dose(portion.count, portion.unit))
    return Phrase("portion", (("portion", called), ("volume", Typed("volume-inside", volume))))


def amount_of(feed: Feed) -> Quantity | Phrase | None:
    """What one feeding gives: mL, with the cartons that it was ordered in."""
    if feed.amount is None or feed.cartons is None:
        return feed.amount
    return portion_phrase(feed.cartons, feed.amount)
