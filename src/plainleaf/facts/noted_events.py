"""Events of which each part is noted when it is read, by the orders that it comes from."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from plainleaf.facts.derived import Event
from plainleaf.facts.notebook import Notebook
from plainleaf.facts.noted_views import noted_record
from plainleaf.inputs.patient import Patient

# Keys of an order that say when it is done, and what else a time follows from.
_WHEN = ("times", "starts", "tied", "next", "every")
_RUN = ("amount", "rate", "runs_for")
_ENDS_A_RUN = ("pump-stop", "refill")
_HELD = ("pump-hold", "pump-resume")
_DRAINS = ("drain-open", "drain-close")
_ITEM = re.compile(r"([a-z_.]+)\[(\d+)\](?:\.([a-z_]+))?")


def read_keys(order: object, *keys: str) -> None:
    """Have keys of a view noted, as far as it has them."""
    for key in keys:
        getattr(order, key, None)


def _orders_of(event: Event) -> Iterator[object]:
    for order in (event.feed, event.medicine, event.check, event.additive):
        if order is not None:
            yield order


def _when(event: Event, source: Patient) -> None:
    for order in _orders_of(event):
        read_keys(order, *_WHEN)
    read_keys(event.additive, "place")
    if event.kind in _ENDS_A_RUN:
        read_keys(event.feed, *_RUN)
    if event.kind in _HELD:
        for medicine in source.medicines:
            read_keys(medicine, "hold_before", "hold_after")
    if event.why == "every":
        read_keys(source.water, "every", "starts")
    if event.kind == "extra-water":
        read_keys(_named(event, source), "times")
    if event.kind in _DRAINS:
        read_keys(source.drainage, "times", "lasts")


def _kind(event: Event, source: Patient) -> None:
    if event.kind == "vent":
        read_keys(source.venting, "when")


def _through(event: Event, source: Patient) -> None:
    for order in _orders_of(event):
        read_keys(order, "through")
    if event.kind == "extra-water":
        read_keys(_named(event, source), "through")
    elif event.why == "every":
        read_keys(source.water, "through")


def _why(event: Event, source: Patient) -> None:
    if event.kind == "extra-water":
        read_keys(_named(event, source), "why")
    elif event.why:
        for order in _orders_of(event):
            read_keys(order, "tied")


def _amount(event: Event, source: Patient) -> None:
    read_keys(event.feed, *_RUN)
    read_keys(event.additive, "amount")
    if event.kind == "extra-water":
        read_keys(_named(event, source), "amount")
    elif event.order.startswith("water."):
        read_keys(source.water, event.order.removeprefix("water."))
    elif event.kind == "flush":
        _named(event, source)


def _mix(event: Event, source: Patient) -> None:
    for order in _orders_of(event):
        read_keys(order, "mix")


def _who(event: Event, source: Patient) -> None:
    for learner in source.learners:
        read_keys(learner, "name", "duties", "there")


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


class Views:
    """Each order of the plans as it is noted, made once."""

    def __init__(self, notebook: Notebook) -> None:
        self._notebook = notebook
        self._known: dict[tuple[str, int], tuple[object, Any]] = {}

    def of(self, order: object, place: str) -> Any:
        """The order, noted at its place; it is kept, so that no other one gets its number."""
        known = place, id(order)
        if known not in self._known:
            self._known[known] = order, noted_record(order, place, self._notebook)
        return self._known[known][1]


def noted_event(event: Event, source: Patient, notebook: Notebook, views: Views) -> Event:
    """An event of which each part is noted when it is read.

    Args:
        source: The whole file, noted when it is read.
    """
    viewed: dict[str, Any] = {
        name: views.of(order, f"{list_}[{order.number}]")
        for name, list_, order in (
            ("feed", "feeding", event.feed), ("medicine", "medicines", event.medicine),
        )
        if order is not None
    }  # fmt: skip
    viewed |= {
        name: views.of(order, event.order)
        for name, order in (("check", event.check), ("additive", event.additive))
        if order is not None
    }
    raw = replace(event, **viewed)
    noted = object.__new__(NotedEvent)
    noted.__dict__.update(raw.__dict__, sources=_Sources(raw, source, notebook))
    return noted
