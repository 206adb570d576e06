"""Names in a patient file that point elsewhere: the facility's directory and formulary, and the
file's own formulas, learners, medicines and contacts."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeAlias

from plainleaf.inputs.patient.order_values import Recipe, RecipePart
from plainleaf.inputs.patient.patient_values import Formula
from plainleaf.inputs.patient.people_values import Contact
from plainleaf.inputs.patient.read_shapes import Values
from plainleaf.inputs.patient.value_of import value_of
from plainleaf.inputs.strict_yaml import Node
from plainleaf.vocabulary.errors import Fault
from plainleaf.vocabulary.patient_file.scalars_2 import Pointer, Portion

# Keys and numbers in lists, from the root down.
Path: TypeAlias = tuple[str | int, ...]
# Blocks of the day that name a contact, and the key that does.
_CALLS = (("watch", "call"), ("low_sugar", "then_call"), ("if_feeding_stops", "call"))


@dataclass(frozen=True)
class Facility:
    """What a facility's file adds to a patient file: places to call and formulas by name."""

    directory: Mapping[str, Contact] = field(default_factory=dict)
    formulary: Mapping[str, Formula] = field(default_factory=dict)


def formula_of(values: Values, entry: str | None = None) -> Formula:
    """A formula from the values of its block; `entry`: the name it has."""
    recipe = values["recipe"]
    mixed = None if recipe is None else value_of(
        Recipe,
        recipe,
        take=tuple(
            RecipePart(part["amount"], _of(part["of"])) for part in recipe["take"]
        ),
    )  # fmt: skip
    keys = ("name", "energy", "water", "container", "system")
    return Formula(**{key: values[key] for key in keys}, recipe=mixed, entry=entry)


def _of(part: str | Pointer) -> str:
    return part.name if isinstance(part, Pointer) else part


@dataclass(frozen=True)
class Names:
    """The entries that a file may name."""

    facility: Facility
    formulas: Mapping[str, Formula]

    def formula(self, value: Pointer | Values | None) -> Formula | None:
        """The formula of a name or a block."""
        if isinstance(value, Pointer):
            return self.formulas.get(value.name) or self.facility.formulary[value.name]
        return None if value is None else formula_of(value)

    def taken(self, formulas: Iterable[Formula | None]) -> dict[str, Formula]:
        """The formulas of the file, and those of the formulary that any recipe takes."""
        recipes = [f.recipe for f in (*self.formulas.values(), *formulas) if f is not None]
        names = {part.of for recipe in recipes if recipe is not None for part in recipe.take}
        other = {n: f for n, f in self.facility.formulary.items() if n in names}
        return {**other, **self.formulas}

    def contact(self, value: Pointer | Values | None) -> Contact | None:
        """The contact of a name or a block."""
        if isinstance(value, Pointer):
            return self.facility.directory[value.name]
        if value is None:
            return None
        hours = value["hours"]
        text = None if hours is None else hours.text
        return Contact(value["name"], value["phone"], text, open=hours)

    def place(self, where: str | None) -> Contact | None:
        """The directory's entry that a place names, if it names one."""
        return self.facility.directory.get(where or "")


def names_of(values: Values, facility: Facility) -> Names:
    """All entries that the values of a file may name."""
    formulas = values["formulas"] or {}
    return Names(facility, {name: formula_of(block, name) for name, block in formulas.items()})


def note_names(root: Node, values: Values, names: Names) -> Iterator[Fault]:
    """A fault for each name that does not exist, or exists in two places."""
    for path, value in _pointers(values):
        places: list[Mapping[str, Any]] = (
            [names.facility.directory]
            if path[0] == "contacts"
            else [names.formulas, names.facility.formulary]
        )
        yield from _unknown(root, path, value.name, places)
    yield from _people(root, values)
    yield from _contact_keys(root, values)
    yield from _cartons(root, values, names)


def _pointers(values: Values) -> Iterator[tuple[Path, Pointer]]:
    for key in ("contacts", "feeding", "formulas"):
        yield from _inside(values[key], (key,))


def _inside(value: Any, path: Path) -> Iterator[tuple[Path, Pointer]]:
    if isinstance(value, Pointer):
        yield path, value
    elif isinstance(value, Mapping):
        for key, inner in value.items():
            yield from _inside(inner, (*path, key))
    elif isinstance(value, tuple):
        for number, inner in enumerate(value):
            yield from _inside(inner, (*path, number))


def _node_at(root: Node, path: Path) -> Node:
    """The node under a path, or the last one above it that was written."""
    node = root
    for key in path:
        inside = node.value
        if isinstance(inside, Mapping):
            node = inside.get(str(key), node)
        elif isinstance(inside, tuple) and isinstance(key, int) and key < len(inside):
            node = inside[key]
    return node


def _shown(path: Path) -> str:
    return "".join(f"[{k}]" if isinstance(k, int) else f".{k}" for k in path).lstrip(".")


def _unknown(root: Node, path: Path, name: str, places: list[Mapping[str, Any]]) -> Iterator[Fault]:
    holding = sum(name in entries for entries in places)
    node = _node_at(root, path)
    if holding == 0:
        every = sorted({entry for entries in places for entry in entries})
        listed = f"Known: {', '.join(every)}." if every else "The facility's file names none."
        yield node.fault(f"{_shown(path)}: '{name}' is no known name.", listed)
    elif holding > 1:
        wrong = f"{_shown(path)}: '{name}' stands in formulas and in the facility's formulary."
        yield node.fault(wrong, "Give the one in formulas another name.")


def _people(root: Node, values: Values) -> Iterator[Fault]:
    """Learners and medicines that are named by their names."""
    learners = [learner["name"] for learner in values["learners"]]
    medicines = [line["name"] for line in values["medicines"]]
    spots: list[tuple[Path, tuple[str, ...], list[str]]] = [
        (("sessions", n, "who"), session["who"], learners)
        for n, session in enumerate(values["sessions"] or ())
    ]
    back, stops = values["tube"]["may_put_back"], values["if_feeding_stops"]
    spots += [(("tube", "may_put_back", "who"), back["who"], learners)] if back else []
    spots += [(("if_feeding_stops", "hold"), stops["hold"] or (), medicines)] if stops else []
    for path, named, candidates in spots:
        for number, name in enumerate(named):
            if name not in candidates:
                wrong = f"{_shown(path)}: '{name}' is no known name."
                yield _node_at(root, (*path, number)).fault(
                    wrong, f"Known: {', '.join(candidates)}."
                )


def _contact_keys(root: Node, values: Values) -> Iterator[Fault]:
    contacts = values["contacts"]
    for block, key in _CALLS:
        held = values[block]
        for number, line in enumerate(held if isinstance(held, tuple) else (held,)):
            if line is not None and contacts[line[key]] is None:
                path = (block, number, key) if isinstance(held, tuple) else (block, key)
                wrong = f"{_shown(path)}: contacts.{line[key]} is missing."
                yield _node_at(root, path).fault(wrong, f"Write contacts.{line[key]}: …")


def _cartons(root: Node, values: Values, names: Names) -> Iterator[Fault]:
    """Cartons of a formula that has no container."""
    for number, feed in enumerate(values["feeding"]):
        pointer = feed["formula"]
        if isinstance(pointer, Pointer) and not (
            pointer.name in names.formulas or pointer.name in names.facility.formulary
        ):
            continue
        formula = names.formula(pointer)
        amounts = [feed["amount"], *(step["amount"] for step in feed["steps"] or ())]
        if any(isinstance(amount, Portion) for amount in amounts) and (
            formula is None or formula.container is None
        ):
            yield _node_at(root, ("feeding", number, "amount")).fault(
                f"feeding[{number}].amount: the formula has no container.", "Write mL."
            )
