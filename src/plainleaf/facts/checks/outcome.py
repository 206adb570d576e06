"""How a named check is declared, and the words that checks put into messages."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import time
from decimal import ROUND_HALF_UP, Decimal
from functools import wraps
from typing import NamedTuple

from plainleaf.facts.derived import Checked, CheckedPart
from plainleaf.facts.given import Given
from plainleaf.inputs.patient import Feed, Medicine, Patient
from plainleaf.vocabulary.facts import YES_NO, Fact
from plainleaf.vocabulary.quantities import Quantity


@dataclass(frozen=True)
class NamedCheck(Fact):
    """A yes-no fact with the words for a message, which a rule about the patient may ask."""

    run: Callable[[Given], Checked] = lambda _: result(None)


def check(*details: str) -> Callable[[Callable[[Given], Checked]], NamedCheck]:
    """Declares a function as a check of its name; its description says what `true` means.

    Args:
        details: Words of its outcome that a message may hold.
    """

    def declared(run: Callable[[Given], Checked]) -> NamedCheck:
        means = (run.__doc__ or "").partition("\n")[0]
        return NamedCheck(run.__name__, "yes-no", means, YES_NO, details=details, run=run)

    return declared


def check_of_2(*details: str) -> Callable[[Callable[[Given], Checked]], NamedCheck]:
    """Declares a check that asks files of format 2 alone: it is false of any other.

    Args:
        details: As in `check`.
    """

    def declared(run: Callable[[Given], Checked]) -> NamedCheck:
        @wraps(run)
        def of_2(given: Given) -> Checked:
            return run(given) if given.patient.format == 2 else result(False)

        return check(*details)(of_2)

    return declared


def result(answer: bool | None, concerns: Iterable[str] = (), **details: str) -> Checked:
    """A check's outcome; keys and words are kept only where they matter, when it is true."""
    return Checked(answer, details, tuple(dict.fromkeys(concerns)) if answer else ())


class ListedItem(NamedTuple):
    """A patient-file key and words about it; `beside`: keys of others that it was held against."""

    key: str
    words: str
    beside: tuple[str, ...] = ()


def listed(items: Sequence[tuple[str, str] | ListedItem], **details: str) -> Checked:
    """A check that is true when there are any items; their words are `what`.

    It says the same apart for each key.
    """
    every = [ListedItem(*item) for item in items]
    whole = result(
        bool(every), (i.key for i in every), what=joined(i.words for i in every), **details
    )
    return replace(whole, parts=tuple(_part(key, every, details) for key in whole.concerns))


def _part(key: str, items: Sequence[ListedItem], details: Mapping[str, str]) -> CheckedPart:
    mine = [item for item in items if item.key == key]
    beside = dict.fromkeys(other for item in mine for other in item.beside)
    return CheckedPart((key,), {"what": joined(i.words for i in mine), **details}, tuple(beside))


def named(
    medicines: Sequence[Medicine], *, by: Sequence[str] | None = None, **details: str
) -> Checked:
    """A check that is true when there are any medicines; it says the same apart for each.

    Args:
        by: What each is called, where it is apart for each name instead, with all lines of it.
    """
    keys = [f"medicines[{medicine.number}]" for medicine in medicines]
    whole = result(bool(keys), keys, medicines=joined(m.name for m in medicines), **details)
    groups = [[medicine] for medicine in medicines]
    if by is not None:
        called = list(zip(medicines, by, strict=True))
        groups = [[m for m, other in called if other == name] for name in dict.fromkeys(by)]
    parts = (
        CheckedPart(
            tuple(f"medicines[{m.number}]" for m in group),
            {"medicines": joined(m.name for m in group), **details},
        )
        for group in groups
    )
    return replace(whole, parts=tuple(parts))


def part(*keys: str, about: str = "", **details: str) -> CheckedPart:
    """What a check says of one thing: its keys, and words for the message's slots."""
    return CheckedPart(keys, details, about=about)


def each(parts: Iterable[CheckedPart]) -> Checked:
    """A check that is true when there are parts; it says the same of all of them together."""
    every = tuple(parts)
    concerns = tuple(dict.fromkeys(key for item in every for key in item.keys))
    slots = dict.fromkeys(slot for item in every for slot in item.details)
    details = {slot: joined(item.details[slot] for item in every) for slot in slots}
    return Checked(bool(every), details, concerns, every)


def joined(parts: Iterable[str]) -> str:
    """Words in a row, each once.

    >>> joined(["a", "b", "a", "c"])
    'a, b and c'
    """
    words = list(dict.fromkeys(parts))
    return " and ".join(part for part in (", ".join(words[:-1]), *words[-1:]) if part)


def number(value: Decimal, places: int = 0) -> str:
    """A number for a message: rounded half up, grouped, without zeros after the point.

    >>> number(Decimal("1660.25")), number(Decimal("15.40"), 1)
    ('1,660', '15.4')
    """
    rounded = value.quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP)
    text = f"{rounded:,f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def amount(quantity: Quantity, places: int = 0) -> str:
    """An amount for a message, in its own unit.

    >>> amount(Quantity(Decimal("0.5"), "mL"), 1)
    '0.5 mL'
    """
    return f"{number(quantity.value, places)} {quantity.unit}"


def clock(minute: int) -> str:
    """A minute of the day on the 24-hour clock.

    >>> clock(1470)
    '00:30'
    """
    return time(minute % 1440 // 60, minute % 60).strftime("%H:%M")


def feed_words(feed: Feed, patient: Patient) -> str:
    """A feeding order in words, numbered only where there are several."""
    number_words = f" {feed.number + 1}" if len(patient.feeding) > 1 else ""
    return f"{feed.method} feeding{number_words}"
