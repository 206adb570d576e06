"""Who of the learners may do a thing and is there at its hour."""

from __future__ import annotations

from collections.abc import Sequence

from plainleaf.facts.derived import Event, Presence
from plainleaf.facts.runs import A_DAY
from plainleaf.facts.week import is_there
from plainleaf.inputs.patient import Learner, Medicine
from plainleaf.inputs.patient.order_values import Check
from plainleaf.vocabulary.opening_hours import DAYS

_DUTIES = {
    "flush": "flushing",
    "extra-water": "flushing",
    "medicine": "medicines",
    "drain-open": "drainage",
    "drain-close": "drainage",
    "vent": "venting",
}


def duty_of(event: Event) -> str:
    """What somebody must be allowed to do for an event; empty where everybody may.

    A pump that stands still for a dose, a filling and a new set belong to the feeding.
    """
    if event.kind == "check":
        return _duty_of_check(event.check)
    if event.medicine is not None:
        return _duty_of_medicine(event.medicine)
    return _DUTIES.get(event.kind, "feeding")


def _duty_of_check(check: Check | None) -> str:
    """Weight and temperature everybody may take."""
    what = "" if check is None else check.what
    return {"blood sugar": "sugar-checks", "drainage": "drainage"}.get(what, "")


def _duty_of_medicine(medicine: Medicine) -> str:
    return "injections" if medicine.route == "injection" else "medicines"


def who_may(learners: Sequence[Learner], duty: str, day: str, minute: int) -> tuple[str, ...]:
    """Names of those who may do a thing and are there at a minute of a day of the week.

    Without a duty it is everybody who gives care. Minutes past midnight are of the same day.
    """
    return tuple(
        learner.name
        for learner in learners
        if (learner.hands_on if learner.duties is None or not duty else duty in learner.duties)
        and is_there(learner.there, DAYS.index(day) * A_DAY + minute % A_DAY)
    )


class Attendance:
    """Who is there on some days of the week for what is done on them."""

    def __init__(self, learners: Sequence[Learner], days: Sequence[str]) -> None:
        self._learners, self._days = learners, days
        self._there: dict[tuple[str, int], tuple[Presence, ...]] = {}

    def for_event(self, event: Event) -> tuple[Presence, ...]:
        """Who may do it; days on which the same people may stand together.

        An event after midnight is done on the next day of the week.
        """
        need = event.duty, event.minute
        if need not in self._there:
            self._there[need] = self._presences(*need)
        return self._there[need]

    def _presences(self, duty: str, whole: int) -> tuple[Presence, ...]:
        later, minute = divmod(whole, A_DAY)
        by_names: dict[tuple[str, ...], list[str]] = {}
        for day in self._days:
            there = DAYS[(DAYS.index(day) + later) % len(DAYS)]
            names = who_may(self._learners, duty, there, minute)
            by_names.setdefault(names, []).append(there)
        return tuple(Presence(tuple(days), names) for names, days in by_names.items())
