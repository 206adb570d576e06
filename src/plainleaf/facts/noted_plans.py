"""Dated plans of which each part is noted when it is read, by the orders that it comes from.

A plan is worked out from all orders at once, so what was read for it does not say what prints it.
Here a plan that is worked out is handed out in parts: whoever reads the time of an event has read
the times of its order, whoever reads its amount has read that amount.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import cached_property
from typing import Any, cast

from plainleaf.facts.derived import DayPlan, Event
from plainleaf.facts.notebook import Notebook
from plainleaf.facts.noted_views import noted_patient, noted_record, unnoted
from plainleaf.facts.plans import DayOrders
from plainleaf.inputs.patient import Patient
from plainleaf.inputs.policy import Policy

# Keys of an order that say when it is done, and what else a time follows from.
_WHEN = ("times", "starts", "tied", "next", "every")
_RUN = ("amount", "rate", "runs_for")
_ENDS_A_RUN = ("pump-stop", "refill")
_HELD = ("pump-hold", "pump-resume")
_DRAINS = ("drain-open", "drain-close")
_DATES = ("begins", "ends")
_DATED = ("feeding", "medicines", "additives", "watch")
_ITEM = re.compile(r"([a-z_.]+)\[(\d+)\](?:\.([a-z_]+))?")


def _read(order: object, *keys: str) -> None:
    """Have keys of a view noted, as far as it has them."""
    for key in keys:
        getattr(order, key, None)


def _orders_of(event: Event) -> Iterator[object]:
    for order in (event.feed, event.medicine, event.check, event.additive):
        if order is not None:
            yield order


def _when(event: Event, source: Patient) -> None:
    for order in _orders_of(event):
        _read(order, *_WHEN)
    _read(event.additive, "place")
    if event.kind in _ENDS_A_RUN:
        _read(event.feed, *_RUN)
    if event.kind in _HELD:
        for medicine in source.medicines:
            _read(medicine, "hold_before", "hold_after")
    if event.why == "every":
        _read(source.water, "every", "starts")
    if event.kind == "extra-water":
        _read(_named(event, source), "times")
    if event.kind in _DRAINS:
        _read(source.drainage, "times", "lasts")


def _kind(event: Event, source: Patient) -> None:
    if event.kind == "vent":
        _read(source.venting, "when")


def _through(event: Event, source: Patient) -> None:
    for order in _orders_of(event):
        _read(order, "through")
    if event.kind == "extra-water":
        _read(_named(event, source), "through")
    elif event.why == "every":
        _read(source.water, "through")


def _why(event: Event, source: Patient) -> None:
    if event.kind == "extra-water":
        _read(_named(event, source), "why")
    elif event.why:
        for order in _orders_of(event):
            _read(order, "tied")


def _amount(event: Event, source: Patient) -> None:
    _read(event.feed, *_RUN)
    _read(event.additive, "amount")
    if event.kind == "extra-water":
        _read(_named(event, source), "amount")
    elif event.order.startswith("water."):
        _read(source.water, event.order.removeprefix("water."))
    elif event.kind == "flush":
        _named(event, source)


def _mix(event: Event, source: Patient) -> None:
    for order in _orders_of(event):
        _read(order, "mix")


def _who(event: Event, source: Patient) -> None:
    for learner in source.learners:
        _read(learner, "name", "duties", "there")


def _named(event: Event, source: Patient) -> object:
    """What the key of an event names, such as `water.extra[0]` or `additives[0].flush_before`."""
    match = _ITEM.match(event.order)
    if match is None:
        return None
    name, number, key = match.groups()
    lines: Sequence[object] = (
        source.water.extras if name == "water.extra" else getattr(source, name)
    )
    return getattr(lines[int(number)], key) if key else lines[int(number)]


_BEHIND = {
    "minute": _when, "kind": _kind, "through": _through, "why": _why, "amount": _amount,
    "least": _amount, "mix": _mix, "who": _who,
}  # fmt: skip


class _Sources:
    """What stands behind an event; each part is noted once on a page of the notebook."""

    def __init__(self, event: Event, source: Patient, notebook: Notebook) -> None:
        self._event, self._source, self._notebook = event, source, notebook
        self._pages: dict[str, object] = {}

    def note(self, part: str) -> None:
        """Have a part noted."""
        page = self._notebook.page
        if self._pages.get(part) is not page:
            self._pages[part] = page
            _BEHIND[part](self._event, self._source)


def _part(name: str) -> Any:
    """A part of an event that is noted when it is read."""

    def read(event: NotedEvent) -> Any:
        inside = event.__dict__
        if "sources" in inside:
            inside["sources"].note(name)
        return inside[name]

    def keep(event: NotedEvent, value: Any) -> None:
        event.__dict__[name] = value

    return property(read, keep)


class NotedEvent(Event):
    """An event of which each part is noted when it is read; one that it is changed to is not."""


for _name in _BEHIND:
    setattr(NotedEvent, _name, _part(_name))


def _noted_event(event: Event, source: Patient, notebook: Notebook) -> Event:
    viewed: dict[str, Any] = {
        name: noted_record(order, f"{list_}[{order.number}]", notebook)
        for name, list_, order in (
            ("feed", "feeding", event.feed), ("medicine", "medicines", event.medicine),
        )
        if order is not None
    }  # fmt: skip
    viewed |= {
        name: noted_record(order, event.order, notebook)
        for name, order in (("check", event.check), ("additive", event.additive))
        if order is not None
    }
    raw = replace(event, **viewed)
    noted = object.__new__(NotedEvent)
    noted.__dict__.update(raw.__dict__, sources=_Sources(raw, source, notebook))
    return noted


class NotedPlan:
    """One plan; what is read of it is noted.

    `source`: the whole file, noted when it is read; nothing is noted of the plan itself.
    """

    def __init__(self, plan: DayPlan, source: Patient, policy: Policy, notebook: Notebook) -> None:
        self._plan, self._source = plan, source
        self._policy, self._notebook = policy, notebook
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
            _read(line, *keys)

    def _noted(self, events: Sequence[Event]) -> tuple[Event, ...]:
        return tuple(_noted_event(event, self._source, self._notebook) for event in events)

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
        _read(self._source.water, "medicine")
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
            _read(line, *_DATES)
            for step in getattr(line, "steps", ()):
                _read(step, "lasts")

    def _sums(self) -> None:
        for event in self.events:
            _read(event, "amount", "mix")
            if event.feed is not None and event.feed.formula is not None:
                _read(event.feed.formula, "energy", "water")
            if event.additive is not None:
                _read(event.additive, "energy")
        _read(self._source.water, "goal", "limit")
        _read(self._source.person, "drink")


def noted_plans(
    plans: Sequence[DayPlan], source: Patient, policy: Policy, notebook: Notebook
) -> tuple[DayPlan, ...]:
    """Plans that are worked out, with each part noted when it is read.

    Args:
        source: The patient whose plans they are, noted when it is read.
    """
    return tuple(cast("DayPlan", NotedPlan(p, source, policy, notebook)) for p in plans)
