"""Dated plans of which each part is noted when it is read, by the orders that it comes from.

A plan is worked out from all orders at once, so what was read for it does not say what prints it.
Here a plan that is worked out is handed out in parts: whoever reads the time of an event has read
the times of its order, whoever reads its amount has read that amount.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import cached_property
from typing import Any, cast

from plainleaf.facts.derived import DayPlan, Event
from plainleaf.facts.notebook import Notebook
from plainleaf.facts.noted_events import Views, noted_event, read_keys
from plainleaf.facts.noted_views import noted_patient, unnoted
from plainleaf.facts.plans import DayOrders
from plainleaf.inputs.patient import Patient
from plainleaf.inputs.policy import Policy

_DATES = ("begins", "ends")
_DATED = ("feeding", "medicines", "additives", "watch")


class NotedPlan:
    """One plan; what is read of it is noted.

    `source`: the whole file, noted when it is read; nothing is noted of the plan itself.
    """

    def __init__(
        self, plan: DayPlan, source: Patient, policy: Policy, notebook: Notebook, views: Views
    ) -> None:
        self._plan, self._source = plan, source
        self._policy, self._notebook, self._views = policy, notebook, views
        self._pages: dict[str, object] = {}

    @property  # type: ignore[misc]
    def __class__(self) -> Any:
        """The class of the plan."""
        return DayPlan

    def __getattr__(self, name: str) -> Any:
        if name in ("first", "last", "changed"):
            self._note("dates", lambda: self._notebook.once("dates of plans", self._dates))
        if name in ("totals", "fullest", "emptiest"):
            self._note(name, lambda: self._notebook.once(("sums", self._plan.first), self._sums))
        return getattr(self._plan, name)

    def _note(self, part: str, read: Callable[[], object]) -> None:
        """Have a part noted, once on a page of the notebook."""
        page = self._notebook.page
        if self._pages.get(part) is not page:
            self._pages[part] = page
            read()

    def _read_lines(self, *keys: str) -> None:
        for line in self._lines():
            read_keys(line, *keys)

    def _noted(self, events: Sequence[Event]) -> tuple[Event, ...]:
        source, notebook, views = self._source, self._notebook, self._views
        return tuple(noted_event(event, source, notebook, views) for event in events)

    @cached_property
    def events(self) -> tuple[Event, ...]:
        """Everything done on the ordinary day."""
        return self._noted(self._plan.events)

    @cached_property
    def carried(self) -> tuple[Event, ...]:
        """What was begun on the day before."""
        return self._noted(self._plan.carried)

    @cached_property
    def orders(self) -> Patient:
        """What holds in these days."""
        orders, source = self._plan.orders, unnoted(self._source)
        day = DayOrders(orders, self._policy, source)
        numbers = {
            name: [int(day.key_of(line).partition("[")[2][:-1]) for line in getattr(orders, name)]
            for name in ("additives", "watch")
        }
        return noted_patient(orders, self._notebook, numbers)

    @property
    def weekdays(self) -> Any:
        """The days of the week that are not like the ordinary day."""
        self._note("weekdays", lambda: self._read_lines("days", "every", "next"))
        return self._weekdays

    @cached_property
    def _weekdays(self) -> Any:
        return tuple(replace(day, events=self._noted(day.events)) for day in self._plan.weekdays)

    @property
    def recurring(self) -> Any:
        """What comes every so many days."""
        self._note("recurring", lambda: self._read_lines("every", "next"))
        return self._recurring

    @cached_property
    def _recurring(self) -> Any:
        lines = self._plan.recurring
        return tuple(replace(line, events=self._noted(line.events)) for line in lines)

    @property
    def as_needed(self) -> Any:
        """What one as-needed dose adds."""
        read_keys(self._source.water, "medicine")
        return tuple(
            replace(line, medicine=self._source.medicines[line.medicine.number])
            for line in self._plan.as_needed
        )

    def _lines(self) -> Iterator[Any]:
        """The orders that may be for some days only."""
        for name in _DATED:
            yield from getattr(self._source, name)

    def _dates(self) -> None:
        for line in self._lines():
            read_keys(line, *_DATES)
            for step in getattr(line, "steps", ()):
                read_keys(step, "lasts")

    def _sums(self) -> None:
        for event in self.events:
            read_keys(event, "amount", "mix")
            if event.feed is not None and event.feed.formula is not None:
                read_keys(event.feed.formula, "energy", "water")
            if event.additive is not None:
                read_keys(event.additive, "energy")
        read_keys(self._source.water, "goal", "limit")
        read_keys(self._source.person, "drink")


def noted_plans(
    plans: Sequence[DayPlan], source: Patient, policy: Policy, notebook: Notebook
) -> tuple[DayPlan, ...]:
    """Plans that are worked out, with each part noted when it is read.

    Args:
        source: The patient whose plans they are, noted when it is read.
    """
    views = Views(notebook)
    return tuple(cast("DayPlan", NotedPlan(p, source, policy, notebook, views)) for p in plans)
