"""For every patient: a sound bundle, and the same orders when it is read again."""

from __future__ import annotations

import json
import tempfile
from pathlib import Path
from typing import Any

from bundles import NEW_YORK, packet_bundle, packet_decision
from hypothesis import given
from hypothesis import strategies as st
from strategies import Data, Made, few, files

from plainleaf.inputs.fhir.contradictions import contradictions
from plainleaf.inputs.fhir.notes import Notes
from plainleaf.inputs.fhir.nutrition_orders import Draft, drafts
from plainleaf.inputs.fhir.patient_draft import begin
from plainleaf.inputs.fhir.people import kind_of
from plainleaf.inputs.fhir.validate import faults_of
from plainleaf.inputs.fhir.water import water_lines
from plainleaf.inputs.patient import Feed
from plainleaf.packet.fhir.context import Making
from plainleaf.packet.fhir.resources import base_parts, entries
from plainleaf.vocabulary.errors import ExchangeError


def _bundle(made: Made) -> Any:
    making = Making(made.patient, NEW_YORK, "0123456789")
    return {"resourceType": "Bundle", "entry": entries(making, base_parts(making))}


@few(60)
@given(files())
def test_it_is_sound_and_gives_the_same_orders_back(data: Data) -> None:
    made = Made(data)
    bundle = _bundle(made)
    assert faults_of(bundle) == []
    notes = Notes()
    found = drafts(bundle, NEW_YORK, notes)
    assert notes.lines == []
    assert [_told(draft) for draft in found] == [_ordered(feed) for feed in made.patient.feeding]
    assert kind_of(bundle) == made.patient.tube.kind
    water = water_lines(bundle, notes)
    assert water.get("water.goal") == (made.patient.water.goal and str(made.patient.water.goal))
    assert ("water.every" in water) is (made.patient.water.every is not None)


def _told(draft: Draft) -> tuple[object, ...]:
    return (draft.method, draft.through, draft.blended, draft.energy, draft.water, draft.container,
            draft.system, draft.amount if draft.rate is None else None, draft.over, draft.times,
            draft.rate, draft.starts, draft.runs_for, draft.most, draft.ordered_by)  # fmt: skip


def _ordered(feed: Feed) -> tuple[object, ...]:
    formula = feed.formula
    label = (formula.energy, formula.water, formula.container, formula.system) if formula else (
        None, None, None, None)  # fmt: skip
    return (feed.method, feed.through, feed.blended, *label, feed.amount, feed.over, feed.times,
            feed.rate, feed.starts, feed.runs_for, feed.daily_total, feed.ordered_by)  # fmt: skip


@few(30)
@given(files())
def test_orders_that_fit_are_not_reported(data: Data) -> None:
    """A daily total that is written is what the pump gives; nothing is found against it."""
    made = Made(data)
    assert list(contradictions(drafts(_bundle(made), NEW_YORK, Notes()))) == []


VALUES = st.one_of(
    st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=8),
    st.sampled_from(["", "PO", "mL/h", "2026-03-04T10:00:00Z", "0001-01-01T00:00:00+14:00",
                     "24:00:00", "12:00:00", 0, -1, 1e308, 10**30, [], {}, [{}], {"text": "x"}]),
)  # fmt: skip


def _paths(value: Any, way: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Every place inside a value."""
    inner = value.items() if isinstance(value, dict) else enumerate(value)
    found = []
    for key, one in inner:
        found.append((*way, key))
        if isinstance(one, dict | list):
            found += _paths(one, (*way, key))
    return found


SOUND = json.loads(json.dumps(packet_bundle(packet_decision("g-balloon-syringe"))))
PLACES = [way for way in _paths(SOUND) if way[-1] not in ("id", "fullUrl")]


@few(400)
@given(st.lists(st.tuples(st.sampled_from(PLACES), VALUES), min_size=1, max_size=3))
def test_whatever_stands_in_a_file_is_refused_or_read(changes: list[tuple[Any, Any]]) -> None:
    """A sound bundle with anything anywhere ends in a file, or in clear lines; never otherwise."""
    data = json.loads(json.dumps(SOUND))
    for way, value in changes:
        _put(data, way, value)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "b.json"
        path.write_text(json.dumps(data), encoding="utf-8")
        says = ""
        try:
            says = begin(path, "gastrostomy", NEW_YORK).text
        except ExchangeError as error:
            says = str(error)
    assert says.startswith(("b.json", "# Begun"))
    assert all(sign.isprintable() or sign == "\n" for sign in says)


def _put(data: Any, way: tuple[Any, ...], value: Any) -> None:
    """Put a value at a place, if an earlier change has left that place."""
    for key in way[:-1]:
        if not _holds(data, key):
            return
        data = data[key]
    if _holds(data, way[-1]):
        data[way[-1]] = value


def _holds(data: Any, key: Any) -> bool:
    if isinstance(data, dict):
        return key in data
    return isinstance(data, list) and isinstance(key, int) and key < len(data)
