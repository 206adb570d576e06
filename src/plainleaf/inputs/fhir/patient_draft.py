"""Begins a patient file from a bundle: the starter of the tube kind with what is known filled in.

What is not known stays a blank that the loader refuses; what does not fit stands in the head of
the file. Nothing is guessed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from zoneinfo import ZoneInfo

from plainleaf.inputs.fhir.codes import printable
from plainleaf.inputs.fhir.contradictions import contradictions
from plainleaf.inputs.fhir.notes import Notes
from plainleaf.inputs.fhir.nutrition_orders import Draft, drafts
from plainleaf.inputs.fhir.people import (
    kind_of,
    learner_lines,
    person_lines,
    quoted,
    tube_lines,
)
from plainleaf.inputs.fhir.read_bundle import read_bundle
from plainleaf.inputs.fhir.water import stop_plan, visit_lines, water_lines
from plainleaf.inputs.starter import starter
from plainleaf.vocabulary.errors import ExchangeError
from plainleaf.vocabulary.quantities import Quantity

_LINE = re.compile(r"(\s*)(?:# )?([a-z_]+):(?: |$)(.*)")
_BLANK = re.compile("<[^<>\n]+>")
# No amount of a patient file has more signs.
_LONGEST_NUMBER = 12
# Never taken out of a bundle, whatever it holds.
_NOT_READ = (
    "Medicines, allergies, conditions, weight and other lines are not read from a Bundle. "
    "Write them yourself."
)


@dataclass(frozen=True)
class Begun:
    """The text of a patient file, what to look at, and the keys that are still blank."""

    text: str
    notes: tuple[str, ...]
    blanks: tuple[str, ...]


def begin(path: Path, kind: str | None, zone: ZoneInfo) -> Begun:
    """A patient file begun from a bundle.

    Args:
        kind: Where the tube leads, if the bundle does not say it.
        zone: The clinic's time zone.
    Raises:
        ExchangeError: The bundle cannot be taken, or nobody says where the tube leads.
    """
    bundle = read_bundle(path)
    notes = Notes()
    orders = drafts(bundle, zone, notes)
    notes.lines += [printable(line) for line in contradictions(orders)]
    fed = [draft for draft in orders if not draft.by_mouth]
    for draft in orders:
        if draft.by_mouth:
            notes.add(draft.where, "is given by mouth, not through a tube. It was not taken.")
    tube = _kind(path, kind, kind_of(bundle), fed)
    lines = {**person_lines(bundle, notes), **tube_lines(bundle, zone, notes),
             **water_lines(bundle, notes)}  # fmt: skip
    stops = stop_plan(bundle)
    if stops is not None:
        lines["if_feeding_stops"] = stops
    if "tube.length" in lines and "tube.mark_at_skin" not in lines:
        lines["tube.mark_at_skin"] = ""
    blocks = {
        "learners": list(learner_lines(bundle, notes)),
        "feeding": [text for draft in fed for text in _feed(draft, notes)],
        "visits": list(visit_lines(bundle, zone)),
    }
    text = _filled(starter(tube), lines, blocks)
    every = (*notes.lines, _NOT_READ)
    return Begun(_head(every) + text, every, tuple(dict.fromkeys(_blanks(text))))


def _kind(path: Path, given: str | None, of_device: str | None, fed: Sequence[Draft]) -> str:
    """Where the tube leads: as given, by the device, or by the route that all orders share."""
    routes = {draft.kind for draft in fed if draft.kind is not None}
    kinds = {kind for kind in (given, of_device, *routes) if kind is not None}
    if len(kinds) > 1:
        raise ExchangeError(
            f"{path.name}: it is not clear where the tube leads: {', '.join(sorted(kinds))}. "
            "Ask, and correct the Bundle."
        )
    if not kinds:
        raise ExchangeError(
            f"{path.name}: does not say where the tube leads. Write the kind: "
            "plainleaf start gastrostomy --from BUNDLE."
        )
    return kinds.pop()


def _head(notes: Sequence[str]) -> str:
    lines = ["# Begun from a FHIR Bundle. Compare every line with the orders before you use it."]
    lines += [f"# - {' '.join(note.split())}" for note in notes]
    return "\n".join(lines) + "\n"


# --- feedings -----------------------------------------------------------------------------


def _feed(draft: Draft, notes: Notes) -> Iterator[str]:
    yield f"  - method: {draft.method or '<syringe, gravity or pump>'}"
    yield f"    through: {draft.through or '<gastric or jejunal>'}"
    if draft.blended:
        yield "    blended: true"
    else:
        yield from _formula(draft, notes)
    yield from _amounts(draft)
    yield from _most(draft, notes)
    if draft.ordered_by is not None:
        yield f"    ordered_by: {quoted(draft.ordered_by)}"


def _formula(draft: Draft, notes: Notes) -> Iterator[str]:
    energy = _short(draft.energy)
    if draft.energy is not None and energy is None:
        notes.add(draft.where, f"its strength is {draft.energy}. Write that of the label.")
    yield "    formula:"
    yield f"      name: {quoted(draft.formula) if draft.formula else '<formula, its kind>'}"
    yield f"      energy: {energy or '<energy with kcal/mL>'}"
    yield f"      water: {draft.water or '<water with %>'}"
    if draft.container is not None:
        yield f"      container: {draft.container}"
    yield f"      system: {draft.system or '<open, closed or powder>'}"


def _short(amount: Quantity | None) -> str | None:
    if amount is None or len(f"{amount.value:f}") > _LONGEST_NUMBER:
        return None
    return str(amount)


def _amounts(draft: Draft) -> Iterator[str]:
    if draft.method == "pump" or draft.rate is not None:
        starts = f'"{draft.starts:%H:%M}"' if draft.starts else "<hour:minute>"
        yield f"    rate: {draft.rate or '<rate with mL/h>'}"
        yield f"    starts: {starts}"
        yield f"    runs_for: {draft.runs_for or '<time with h>'}"
        return
    times = ", ".join(f'"{clock:%H:%M}"' for clock in draft.times)
    yield f"    amount: {draft.amount or '<amount with mL>'}"
    if draft.over is not None:
        yield f"    over: {draft.over}"
    elif draft.method == "gravity":
        yield "    over: <time with min>"
    yield f"    times: {f'[{times}]' if times else '<list of times>'}"


def _most(draft: Draft, notes: Notes) -> Iterator[str]:
    """The most of a day, where the order gives as much or more; a finding asks about more."""
    if draft.most is None or draft.a_day is None:
        return
    if draft.most.to("mL") <= draft.a_day.to("mL"):
        yield f"    daily_total: {draft.most}"
    else:
        notes.add(draft.where, f"it gives {draft.a_day} a day, and its most is {draft.most}.")


# --- the starter, filled in ---------------------------------------------------------------


def _filled(text: str, lines: Mapping[str, str], blocks: Mapping[str, Sequence[str]]) -> str:
    """The starter with values in place of its blanks, and lists in place of its examples.

    An empty value takes a line out. What the starter has no line for goes to the end of its part.
    """
    unplaced = dict(lines)
    parts = []
    for part in text.split("\n\n"):
        section = _section(part)
        if blocks.get(section):
            parts.append("\n".join([f"{section}:", *blocks[section]]))
        else:
            parts.append(_part(part, section, unplaced))
    return "\n\n".join(parts)


def _section(part: str) -> str:
    """The first key of a part, commented or not."""
    for line in part.strip("\n").splitlines():
        match = _LINE.fullmatch(line)
        if match is not None and not match[1]:
            return match[2]
    return ""


def _part(part: str, section: str, unplaced: dict[str, str]) -> str:
    lines_of_part = []
    for line in part.splitlines():
        match = _LINE.fullmatch(line)
        key = match[2] if match and not match[1] else f"{section}.{match[2]}" if match else ""
        if match is None or key not in unplaced:
            lines_of_part.append(line)
            continue
        value = unplaced.pop(key)
        if value:
            lines_of_part.append(f"{match[1]}{match[2]}: {value}")
    ports = (f"{section}.gastric", f"{section}.jejunal")
    more = [key for key in unplaced if key.startswith(f"{section}.") and key not in ports]
    lines_of_part += [f"  {key.partition('.')[2]}: {unplaced.pop(key)}" for key in more]
    return "\n".join(lines_of_part)


def _blanks(text: str) -> Iterator[str]:
    """Keys whose value is still a blank, in file order, each with the keys that it stands under."""
    above: list[tuple[int, str]] = []
    for line in text.splitlines():
        match = _LINE.match(line.replace("  - ", "    ", 1))
        if line.lstrip().startswith("#"):
            continue
        if match is not None:
            deep = len(match[1])
            above = [(other, key) for other, key in above if other < deep] + [(deep, match[2])]
        if _BLANK.search(line.partition(" # ")[0]):
            yield ".".join(key for _, key in above)
