"""Who does a line of the day, where not everybody who is there may."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from plainleaf.compose.fill.day_spans import days_listed, listed
from plainleaf.compose.fill.source import say, text_of
from plainleaf.facts.derived import Event, Typed, Value
from plainleaf.facts.plans import who_may
from plainleaf.inputs.patient import Patient
from plainleaf.inputs.patient.order_values import SettledOutcome
from plainleaf.vocabulary.opening_hours import DAYS


@dataclass(frozen=True)
class Doers:
    """Who may do a thing on a weekday and is there; `limited`: somebody there may not, or nobody
    is who may."""

    names: tuple[str, ...]
    limited: bool


def doers(patient: Patient, event: Event, day: str) -> Doers:
    """Who may do an event on a day of the week; of format 1 everybody who gives care."""
    if patient.format == 1:
        return Doers((), False)
    names = who_may(patient.learners, event.duty, day, event.minute)
    there = who_may(patient.learners, "", day, event.minute)
    return Doers(names, not names or names != there)


def named(line: Value, by_day: Mapping[str, Doers], backup: SettledOutcome | None) -> list[Value]:
    """A line with who does it: nothing where everybody who is there may, on all its days."""
    if not any(one.limited for one in by_day.values()):
        return [line]
    days: dict[tuple[str, ...], list[str]] = {}
    for day, one in by_day.items():
        days.setdefault(one.names, []).append(day)
    if len(days) == 1 and all(days):
        return [say("day-only", line=line, names=_names(*days))]
    return [line, *(_on_days(names, on, backup) for names, on in days.items())]


def _names(names: Sequence[str]) -> Value:
    return listed([text_of(name) for name in names])


def _on_days(names: Sequence[str], days: Sequence[str], backup: SettledOutcome | None) -> Value:
    """Who does it on some days: those there, or who is called where nobody is."""
    daily = len(days) == len(DAYS)
    on = {} if daily else {"days": days_listed(sorted(days, key=DAYS.index))}
    if names:
        return say("day-who", **on, names=_names(names))
    if backup is None:
        return say("day-nobody-daily" if daily else "day-nobody", **on)
    called = {
        "who": text_of(str(backup.fields["who"])),
        "phone": Typed("phone", str(backup.fields["phone"])),
    }
    return say("day-backup-daily" if daily else "day-backup", **on, **called)
