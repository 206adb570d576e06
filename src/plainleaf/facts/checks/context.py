"""What every check looks at, and the words that checks put into messages."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import time
from decimal import ROUND_HALF_UP, Decimal

from plainleaf.facts.day import day_totals
from plainleaf.facts.person import age_group, age_in_days, age_in_years
from plainleaf.facts.record import Check, Event, MedicineFacts, Totals
from plainleaf.facts.tube import opening_stage
from plainleaf.inputs.patient import Feed, Patient
from plainleaf.inputs.policy import Policy
from plainleaf.vocabulary.quantities import Quantity


@dataclass(frozen=True)
class Case:
    """One patient with the day that the orders make; `age_days` may be negative in a bad file."""

    patient: Patient
    policy: Policy
    events: tuple[Event, ...]
    medicines: tuple[MedicineFacts, ...]
    totals: Totals
    age_group: str
    age_days: int
    age_years: int
    stage: str

    @property
    def child(self) -> bool:
        """Under 18 years."""
        return self.age_group in ("infant", "young-child", "child")

    @property
    def kg(self) -> Decimal | None:
        """Weight in kg, exact; None when it is not written."""
        weight = self.patient.person.weight
        return None if weight is None else weight.to("kg").value


def case_of(
    patient: Patient, policy: Policy, events: Sequence[Event], medicines: Sequence[MedicineFacts]
) -> Case:
    """The case that the checks look at."""
    born, today = patient.person.born, patient.prepared_on.date()
    group = age_group(born, today, policy)
    child = group in ("infant", "young-child", "child")
    return Case(
        patient=patient,
        policy=policy,
        events=tuple(events),
        medicines=tuple(medicines),
        totals=day_totals(events, patient.water),
        age_group=group,
        age_days=age_in_days(born, today),
        age_years=age_in_years(born, today),
        stage=opening_stage(patient, policy, child=child),
    )


def result(answer: bool | None, concerns: Iterable[str] = (), **details: str) -> Check:
    """A check's outcome; keys and words are kept only where they matter, when it is true."""
    return Check(answer, details, tuple(dict.fromkeys(concerns)) if answer else ())


def listed(answer: Sequence[tuple[str, str]], **details: str) -> Check:
    """A check that is true when the list of (key, words) is not empty; the words are `what`."""
    words = joined(words for _, words in answer)
    return result(bool(answer), (key for key, _ in answer), what=words, **details)


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
