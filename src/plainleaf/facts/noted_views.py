"""Patients and settings that write down in a notebook what is read of them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import replace
from typing import Any, TypeVar, cast

from plainleaf.facts.leaf_places import name_in_file
from plainleaf.facts.notebook import POLICY, Notebook
from plainleaf.inputs.patient import (
    Contact,
    Contacts,
    ExtraWater,
    Feed,
    Formula,
    Interpreter,
    Learner,
    Medicine,
    Order,
    Patient,
    Person,
    PositionCheck,
    Tube,
    Visit,
    Water,
)
from plainleaf.inputs.patient.order_values import (
    Additive,
    Check,
    Decided,
    DoseStep,
    Drainage,
    FeedingStops,
    FeedStep,
    LowSugar,
    Recipe,
    RecipePart,
    Resting,
    Session,
    Settled,
    SettledOutcome,
    Venting,
    WordedOrder,
)
from plainleaf.inputs.policy import Policy, PolicyEntry
from plainleaf.vocabulary.written import same_text

T = TypeVar("T")

# Records that are read key by key; an order, a dose or a check is read as a whole.
_BY_KEY: frozenset[type] = frozenset((
    Additive, Check, Contact, Contacts, DoseStep, Drainage, ExtraWater, Feed, FeedingStops,
    FeedStep, Formula, Interpreter, Learner, LowSugar, Medicine, Patient, Person, Recipe, Resting,
    Session, SettledOutcome, Tube, Venting, Visit, Water,
))  # fmt: skip
_READ_IN_PARTS = _BY_KEY | {frozenset}
# Those that are read key by key only where every typed value is noted by itself.
_BY_LEAF = _BY_KEY | {Decided, Order, PositionCheck, RecipePart, Settled, WordedOrder}
# Orders with steps, and the lists whose items do not know their number.
_STEPPED = (Feed, Medicine)
Numbers = Mapping[str, Sequence[int]]
# What a record calls otherwise than the file. Holds are worked out from the medicines.
_IN_THE_FILE = {
    "person": ("patient",),
    "prepared_by": ("prepared.by",),
    "prepared_on": ("prepared.on",),
    "held_minutes": ("medicines.times", "medicines.hold_before", "medicines.hold_after"),
    "outcomes": ("settled",),
    "number": (),
    "file": (),
    "format": (),
}


class _View:
    """A record that notes each key that is read of it.

    `key`: its name in the file; `place`: where it stands, with its number in a list.
    """

    def __init__(
        self, record: object, key: str, place: str, notebook: Notebook, numbers: Numbers
    ) -> None:
        self.__record, self.__key, self.__place = record, key, place
        self.__notebook, self.__numbers = notebook, numbers
        # Name → keys of the file, places, value as text, and what is handed out.
        self.__known: dict[str, tuple[tuple[str, ...], tuple[str, ...], str, Any]] = {}
        self.__pages: dict[str, object] = {}

    def __getattr__(self, name: str) -> Any:
        if name not in self.__known:
            self.__known[name] = self.__looked_at(name)
        keys, places, text, view = self.__known[name]
        page = self.__notebook.page
        if self.__pages.get(name) is page:
            return view
        self.__pages[name] = page
        for key in keys:
            for place in places:
                self.__notebook.read(key, place, text)
        return view

    def __looked_at(self, name: str) -> tuple[tuple[str, ...], tuple[str, ...], str, Any]:
        value = getattr(self.__record, name)
        inside = f"{self.__key}.{name_in_file(name)}".lstrip(".")
        places = [f"{place}.{name}".lstrip(".") for place in self.__places()]
        keys = _IN_THE_FILE.get(name, (inside,))
        if name == "outcomes" and self.__notebook.leaf_by_leaf:
            view = tuple(_outcomes(value, self.__record, self.__notebook))
        else:
            numbers = self.__numbers.get(name)
            view = _viewed(value, keys[0] if keys else inside, places[0], self.__notebook, numbers)
        return keys, tuple(places), same_text(_seen(value, self.__notebook)), view

    def __places(self) -> Iterator[str]:
        """Where it stands, a formula first by its name; of one day also the step that holds."""
        record, by_leaf = self.__record, self.__notebook.leaf_by_leaf
        if by_leaf and isinstance(record, Formula) and record.entry is not None:
            yield f"formulas.{record.entry}"
        yield self.__place
        if by_leaf and isinstance(record, _STEPPED) and record.step is not None:
            yield f"{self.__place}.steps[{record.step}]"

    @property  # type: ignore[misc]
    def __class__(self) -> Any:
        """The class of the record, so that whoever asks which kind of order it is is told."""
        return type(self.__record)

    @property
    def record_itself(self) -> object:
        """What it is a view of."""
        return self.__record

    def __eq__(self, other: object) -> bool:
        self.__notebook.read(self.__key, self.__place, self.__record)
        return bool(self.__record == (other.__record if isinstance(other, _View) else other))

    def __hash__(self) -> int:
        return hash(self.__record)


def _outcomes(
    outcomes: Sequence[SettledOutcome], patient: object, notebook: Notebook
) -> Iterator[Any]:
    """What was decided, each at the place of its line."""
    assert isinstance(patient, Patient)
    for outcome in outcomes:
        for number, block in enumerate(patient.settled):
            for line, decided in enumerate(block.decided):
                if decided.fields is outcome.fields:
                    place = f"settled[{number}].decided[{line}]"
                    yield _View(outcome, "settled", place, notebook, {})


def _seen(value: object, notebook: Notebook) -> object:
    """What is seen of a value when it is read: of what is read part by part, how many there are."""
    if notebook.leaf_by_leaf:
        return ""
    if type(value) in _READ_IN_PARTS or isinstance(value, Mapping):
        return "written"
    if isinstance(value, tuple) and any(type(inner) in _READ_IN_PARTS for inner in value):
        return len(value)
    return value


def unnoted(patient: Patient) -> Patient:
    """The patient itself, of which nothing is noted."""
    return cast("Patient", patient.record_itself) if isinstance(patient, _View) else patient


class _Whole:
    """A value of which all that was read for it is noted, as soon as more than its id is read."""

    def __init__(self, value: object, names: Iterable[str], notebook: Notebook) -> None:
        self.__value, self.__names, self.__notebook = value, names, notebook

    def __getattr__(self, name: str) -> Any:
        for read in () if name == "id" else self.__names:
            self.__notebook.read(read)
        return getattr(self.__value, name)

    def __eq__(self, other: object) -> bool:
        return bool(self.__value == (other.__value if isinstance(other, _Whole) else other))

    def __hash__(self) -> int:
        return hash(self.__value)


class _Keys(Mapping[str, Any]):
    """A block with free keys, such as the ports of a tube; each is noted."""

    def __init__(self, block: Mapping[str, Any], key: str, place: str, notebook: Notebook) -> None:
        self.block, self.key, self.place, self.notebook = block, key, place, notebook

    def __getitem__(self, key: str) -> Any:
        inside, place = f"{self.key}.{key}", f"{self.place}.{key}"
        self.notebook.read(inside, place, self.block.get(key))
        value = self.block[key]
        return _viewed(value, inside, place, self.notebook) if self.notebook.leaf_by_leaf else value

    def __iter__(self) -> Iterator[str]:
        self.notebook.read(self.key, f"{self.place} keys", tuple(self.block))
        return iter(self.block)

    def __len__(self) -> int:
        self.notebook.read(self.key, f"{self.place} keys", tuple(self.block))
        return len(self.block)


class _Members(AbstractSet[str]):
    """Words in no order, of which those are noted that are asked for."""

    def __init__(self, words: frozenset[str], key: str, place: str, notebook: Notebook) -> None:
        self.words, self.key, self.place, self.notebook = words, key, place, notebook

    def __contains__(self, word: object) -> bool:
        holds = word in self.words
        self.notebook.read(self.key, f"{self.place} {word}", holds)
        return holds

    def __iter__(self) -> Iterator[str]:
        self.notebook.read(self.key, self.place, self.words)
        return iter(self.words)

    def __len__(self) -> int:
        self.notebook.read(self.key, self.place, self.words)
        return len(self.words)

    @classmethod
    def _from_iterable(cls, words: Iterable[str]) -> frozenset[str]:  # type: ignore[override]
        return frozenset(words)


def _viewed(
    value: Any, key: str, place: str, notebook: Notebook, numbers: Sequence[int] | None = None
) -> Any:
    if type(value) in (_BY_LEAF if notebook.leaf_by_leaf else _BY_KEY):
        return _View(value, key, place, notebook, {})
    if isinstance(value, tuple):
        return tuple(
            _viewed(inner, key, f"{place}[{getattr(inner, 'number', number)}]", notebook)
            for number, inner in zip(numbers or range(len(value)), value, strict=True)
        )
    if isinstance(value, frozenset):
        return _Members(value, key, place, notebook)
    return _Keys(value, key, place, notebook) if isinstance(value, Mapping) else value


class _Entries(dict[str, PolicyEntry]):
    """Settings that note which is read by its name, or the order in its place; a walk over all of
    them reads no value."""

    def __init__(self, policy: Policy, notebook: Notebook) -> None:
        super().__init__(policy.entries)
        self.ordered, self.notebook = policy.ordered, notebook

    def __getitem__(self, name: str) -> PolicyEntry:
        entry = super().__getitem__(name)
        read = self.ordered.get(name, POLICY + name)
        self.notebook.read(read, read, entry.value)
        return entry


def noted_whole(value: T, names: Iterable[str], notebook: Notebook) -> T:
    """A value that was made from the names: they are noted when more than its id is read."""
    return cast("T", _Whole(value, names, notebook))


def noted_patient(patient: Patient, notebook: Notebook, numbers: Numbers | None = None) -> Patient:
    """The patient, with each key noted when it is read.

    Args:
        numbers: List → the places in the file of its items, where some of the file's are left out.
    """
    return cast("Patient", _View(patient, "", "", notebook, numbers or {}))


def noted_record(record: T, place: str, notebook: Notebook) -> T:
    """One order at its place in the file, such as `medicines[2]`, noted key by key."""
    return cast("T", _View(record, place.partition("[")[0], place, notebook, {}))


def noted_policy(policy: Policy, notebook: Notebook) -> Policy:
    """The settings, with each noted when it is read."""
    return replace(policy, entries=_Entries(policy, notebook))
