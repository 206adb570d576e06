"""What is wrong with a line of `settled`: its signers, or that it and the order say two things."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, TypeAlias

from plainleaf.inputs.patient import Medicine, Patient
from plainleaf.rules.findings import Finding
from plainleaf.rules.naming_lines import NamingLine
from plainleaf.rules.outcomes import (
    READ_AGAIN,
    FilledKey,
    differing,
    fillings,
    says_everything,
    shown,
    why_two,
)
from plainleaf.rules.raised import RaisedFinding
from plainleaf.vocabulary.settling import LETS_THROUGH, SETTLED_BY, TWO_FOR_HARM, Settling
from plainleaf.vocabulary.written import same_text

Roles: TypeAlias = Mapping[str, tuple[str, ...]]


def faults_of(line: NamingLine, patient: Patient, roles: Roles) -> Iterator[Finding]:
    """A stop for each thing that is wrong with a line.

    Args:
        roles: The credentials of each role at the facility.
    """
    if line.targets:
        yield from _credentials(line, roles)
        yield from _differences(line, patient)


def _settling_of(line: NamingLine) -> Settling:
    """Who settles what a line names: its rule's, and two where harm goes through the tube."""
    settling = SETTLED_BY[line.decided.finding]
    harmful = any(target.harmful for target in line.targets)
    if harmful and not settling.both and line.decided.do in LETS_THROUGH:
        return TWO_FOR_HARM
    return settling


def _credentials(line: NamingLine, roles: Roles) -> Iterator[Finding]:
    settling, block = _settling_of(line), line.block
    if settling.settled_by(block.by, block.other, roles):
        return
    if settling.both:
        says = f"{line.key}: {line.decided.finding} is settled by two together."
        instead = f"Write by: and with:, {settling.words}"
    else:
        says = f"{line.key}: {block.by} may not settle {line.decided.finding}."
        instead = f"Have it settled by {settling.words}"
    words = sorted({word for role in settling.roles for word in roles[role]})
    yield line.fault("credential-wrong", says, f"{instead} ({', '.join(words)}).")


def _differences(line: NamingLine, patient: Patient) -> Iterator[Finding]:
    decided = line.decided
    for filling in fillings(decided, line.medicines):
        written = differing(filling, patient)
        if written is not None:
            yield _differs(line, filling.key, shown(filling.value), written)
    if decided.do == "read-again":
        yield from _read_again(line, patient)
    if decided.do == "both" and not why_two(decided, line.medicines):
        yield _differs(line, "medicines", str(decided.fields["why"]), "something else")
    if decided.do == "clean-mixing":
        yield from _mixing_water(line, patient)
    for medicine in line.medicines:
        key, says = f"medicines[{medicine.number}]", _unlike(line, medicine)
        if says is not None:
            yield _differs(line, f"{key}.{says[0]}", decided.do, says[1])


def _mixing_water(line: NamingLine, patient: Patient) -> Iterator[Finding]:
    """The water for mixing is that of the recipe, and there is none where no recipe takes water."""
    water = line.decided.fields.get("water")
    formulas = [feed.formula for feed in patient.feeding if feed.formula is not None]
    formulas += (patient.formulas or {}).values()
    recipes = [formula.recipe for formula in formulas if formula.recipe is not None]
    taken = {part.of for recipe in recipes for part in recipe.take} & {"water", "boiled water"}
    if water is not None and not taken:
        yield _differs(line, "formulas", f"{water} water", "a recipe without water")
    elif water not in (None, "boiled") and "boiled water" in taken:
        yield _differs(line, "formulas", f"{water} water", "boiled water")


def _unlike(line: NamingLine, medicine: Medicine) -> tuple[str, str] | None:
    """Key and what it says, where the order of a medicine is not what an outcome says it is."""
    finding, do = line.decided.finding, line.decided.do
    prepared = "prepare" in SETTLED_BY[finding].outcomes
    if do == "as-ordered" and prepared and not says_everything(medicine):
        return "prepare", "not how it is made ready"
    held = medicine.hold_before is not None or medicine.hold_after is not None
    if do == "no-hold" and finding != "feed-in-hold" and held:
        return "hold_before", "that feeding is held"
    return None


def _differs(line: NamingLine, key: str, outcome: str, written: str) -> Finding:
    return line.fault(
        "decision-differs",
        f"{line.key} says {outcome}, and {key} says {written}.",
        "Correct the one that is wrong; what was decided and the order must say the same.",
        key,
    )


def _read_again(line: NamingLine, patient: Patient) -> Iterator[Finding]:
    value = str(line.decided.fields["value"])
    for target in line.targets:
        written = values_read_again(target, patient)
        if value.casefold() not in {text.casefold() for text in written.values()}:
            yield _differs(line, next(iter(written)), value, " or ".join(written.values()))


def values_read_again(target: RaisedFinding, patient: Patient) -> dict[str, str]:
    """Key → value as text, of all that may have been read again."""
    values: dict[str, Any] = {}
    for key in READ_AGAIN[target.finding.id]:
        owner, _, field = key.rpartition(".")
        if owner == "formula":
            feed = patient.feeding[target.place]
            values[f"feeding[{feed.number}].{key}"] = getattr(feed.formula, field)
        elif owner:
            place = {"person": "patient"}.get(owner, owner)
            values[f"{place}.{field}"] = getattr(getattr(patient, owner), field)
        else:
            for medicine in target.medicines:
                values[f"medicines[{medicine.number}].{field}"] = _dose(medicine)
    return {key: same_text(value) for key, value in values.items()}


def _dose(medicine: Medicine) -> str:
    dose = medicine.dose
    return f"{same_text(dose.value)} {dose.unit}"


def against_each_other(
    lines: Sequence[NamingLine], patient: Patient
) -> Iterator[tuple[NamingLine, Finding]]:
    """A fault for each line that fills a key otherwise than one before it."""
    filled: dict[str, tuple[NamingLine, FilledKey]] = {}
    for line in lines:
        for filling in fillings(line.decided, line.medicines):
            if differing(filling, patient) is not None:
                continue
            earlier, other = filled.setdefault(filling.key, (line, filling))
            if same_text(other.value) != same_text(filling.value):
                outcome, before = shown(filling.value), shown(other.value)
                yield line, _differs(line, filling.key, outcome, f"{before} by {earlier.key}")
