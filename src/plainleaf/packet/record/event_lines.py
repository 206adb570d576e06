"""What is done at one time of a dated plan, in one line for staff."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from plainleaf.compose.fill import event_words, port_phrase
from plainleaf.compose.word import Wording
from plainleaf.facts.derived import Event
from plainleaf.inputs.patient import Dose
from plainleaf.vocabulary.patient_file.scalars_2 import Amounts, Mix
from plainleaf.vocabulary.quantities import Quantity

_A_WEEK = 7
_PLAIN = {
    "set-change": "Hang a new set",
    "drain-open": "Open the drain of the {port}",
    "drain-close": "Close the drain of the {port}",
    "vent": "Let air out of the {port}",
}


def event_line(event: Event, wording: Wording, two_ports: bool) -> str:
    """What is done, with all that the order says of it."""
    remarks = ", ".join(_remarks(event))
    return f"{_doing(event, wording, two_ports)}{f' ({remarks})' if remarks else ''}"


def _doing(event: Event, wording: Wording, two_ports: bool) -> str:
    """What is done, without its remarks."""
    if event.kind in _PLAIN:
        port = wording.value(port_phrase(event.through, two_ports)).plain
        return _PLAIN[event.kind].format(port=port)
    if event.kind == "refill":
        return f"Fill the bag again: {event.amount}"
    if event.check is not None:
        return f"Check: {event.check.what}"
    if event.additive is not None:
        return f"{event.additive.name}: {dose_text(event.additive.amount)}{mix_text(event.mix)}"
    if event.medicine is not None:
        return _medicine(event, wording, two_ports)
    if event.kind == "extra-water" and event.why == "flush":
        event = replace(event, kind="flush")
    return wording.value(event_words(event, two_ports)).plain


def _medicine(event: Event, wording: Wording, two_ports: bool) -> str:
    medicine = event.medicine
    assert medicine is not None
    dose: Dose | None = medicine.dose
    if dose is None:
        return f"{medicine.name}: dose by the blood sugar"
    words = wording.value(event_words(event, two_ports)).plain
    return words + mix_text(event.mix)


def _remarks(event: Event) -> Iterator[str]:
    """What else the order says: a range, containers, how long, what it is tied to."""
    if event.least is not None:
        yield f"{event.least} to {event.amount}"
    if event.feed is not None:
        if event.feed.cartons is not None and event.kind in ("feed", "pump-start"):
            yield f"{event.feed.cartons.count:f} {event.feed.cartons.unit}"
        if event.kind == "feed" and event.feed.over is not None:
            yield f"over {span_text(event.feed.over_least, event.feed.over)}"
    if event.why and event.kind in ("medicine", "check", "vent"):
        yield event.why
    if event.drained:
        yield "it drains again and is not counted"
    if event.begun_before:
        yield "of the day before"


def dose_text(dose: Dose) -> str:
    """A dose as it is ordered."""
    beside = "" if dose.equals is None else f" ({dose_text(dose.equals)})"
    return f"{dose.value:f} {dose.unit}{beside}"


def mix_text(mix: Mix | None) -> str:
    """What something is mixed in, as words that follow its dose."""
    if mix is None:
        return ""
    return f" in {mix.liquid}" if mix.amount is None else f" in {_range(mix.amount)} {mix.liquid}"


def _range(amounts: Amounts) -> str:
    return span_text(amounts.least if amounts.least != amounts.most else None, amounts.most)


def span_text(least: Quantity | None, most: Quantity) -> str:
    """One amount, or a range of it.

    >>> from decimal import Decimal
    >>> span_text(Quantity(Decimal(30), "min"), Quantity(Decimal(40), "min"))
    '30 to 40 min'
    """
    return str(most) if least is None else f"{least.value:f} to {most}"


def who_text(event: Event) -> str:
    """Who may do it and is there, by days where it is not the same on all.

    Nothing where nobody in particular must be able to do it.
    """
    parts = []
    for presence in event.who:
        names = ", ".join(presence.names) or "NOBODY"
        always = len(presence.days) == _A_WEEK or len(event.who) == 1
        parts.append(names if always else f"{' '.join(presence.days)}: {names}")
    return "; ".join(parts)


__all__ = ["dose_text", "event_line", "mix_text", "span_text", "who_text"]
