"""Notes what is read while it is read: patient-file keys and settings.

A notebook stands beside the givens only where somebody asks what is behind a value; without one
nothing of this file runs. A setting is noted as `policy.NAME`, as content cites it; a key of the
patient file by its name there (`tube.placed`, `medicines.form`: of any medicine of the list).
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Hashable, Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any, Generic, TypeVar, cast

from plainleaf.inputs.patient import (
    Contact,
    Contacts,
    ExtraWater,
    Feed,
    Formula,
    Interpreter,
    Learner,
    Medicine,
    Patient,
    Person,
    Tube,
    Visit,
    Water,
)
from plainleaf.inputs.policy import Policy, PolicyEntry

T = TypeVar("T")
_POLICY = "policy."


class Notebook:
    """Names in the order of reading; what was worked out before is not read again, but noted."""

    def __init__(self) -> None:
        self._open: list[dict[str, None]] = [{}]
        self._kept: dict[Hashable, tuple[Any, tuple[str, ...]]] = {}

    def read(self, name: str) -> None:
        """A key or a setting is read."""
        self._open[-1][name] = None

    def behind(self, work: Callable[[], T]) -> tuple[T, tuple[str, ...]]:
        """What comes out, and the names that were read for it."""
        self._open.append({})
        try:
            result = work()
        finally:
            names = self._open.pop()
        return result, tuple(names)

    def once(self, what: Hashable, work: Callable[[], T]) -> T:
        """What comes out; the second time it is kept, and its names are noted again."""
        if what not in self._kept:
            self._kept[what] = self.behind(work)
        result, names = self._kept[what]
        for name in names:
            self.read(name)
        return cast("T", result)

    def lazy(self, what: str, names: Collection[str], work: Callable[[str], T]) -> Mapping[str, T]:
        """Values by name, each worked out and noted when it is asked for."""
        return Lazy(names, lambda name: self.once((what, name), lambda: work(name)))


class Lazy(Mapping[str, T]):
    """Values by name, each worked out when it is asked for; KeyError where there is none."""

    def __init__(self, names: Collection[str], work: Callable[[str], T]) -> None:
        self.names, self.work = names, work

    def __getitem__(self, name: str) -> T:
        if name not in self.names:
            raise KeyError(name)
        return self.work(name)

    def __iter__(self) -> Iterator[str]:
        return (name for name in self.names if name in self)

    def __len__(self) -> int:
        return sum(1 for _ in self)


class Shared(Generic[T]):
    """A value of the givens that many facts ask for: worked out when it is first asked for."""

    def __init__(self, work: Callable[[Any], T]) -> None:
        self.work = work
        self.__doc__ = work.__doc__

    def __set_name__(self, owner: type, name: str) -> None:
        self.name = name

    def __get__(self, given: Any, owner: type) -> T:
        notebook: Notebook | None = given.notebook
        if notebook is not None:
            return notebook.once(self.name, lambda: self.work(given))
        # The next time it is found in the instance, and this is not asked.
        value = given.__dict__[self.name] = self.work(given)
        return value


# --- what is behind ------------------------------------------------------------------------------


def settings_in(names: Iterable[str]) -> tuple[str, ...]:
    """The settings among the names that were read."""
    return tuple(n.removeprefix(_POLICY) for n in names if n.startswith(_POLICY))


def keys_in(names: Iterable[str]) -> tuple[str, ...]:
    """The patient-file keys among the names; a block only where none of its keys was read.

    >>> keys_in(["tube", "tube.placed", "policy.lift_after", "feeding"])
    ('tube.placed', 'feeding')
    """
    keys = [name for name in names if not name.startswith(_POLICY)]
    blocks = {key[:place] for key in keys for place, letter in enumerate(key) if letter == "."}
    return tuple(key for key in keys if key not in blocks)


# --- the views -----------------------------------------------------------------------------------

# Records that are read key by key; an order, a dose or a check is read as a whole.
_BY_KEY = (
    Contact, Contacts, ExtraWater, Feed, Formula, Interpreter, Learner, Medicine, Patient, Person,
    Tube, Visit, Water,
)  # fmt: skip
# What a record calls otherwise than the file. Holds are worked out from the medicines.
_IN_THE_FILE = {
    "person": ("patient",),
    "prepared_by": ("prepared.by",),
    "prepared_on": ("prepared.on",),
    "held_minutes": ("medicines.times", "medicines.hold_before", "medicines.hold_after"),
    "number": (),
    "file": (),
    "format": (),
}


class _View:
    """A record that notes each key that is read of it."""

    def __init__(self, record: object, place: str, notebook: Notebook) -> None:
        self.__record, self.__place, self.__notebook = record, place, notebook

    def __getattr__(self, name: str) -> Any:
        value = getattr(self.__record, name)
        inside = f"{self.__place}.{name}" if self.__place else name
        keys = _IN_THE_FILE.get(name, (inside,))
        for key in keys:
            self.__notebook.read(key)
        return _viewed(value, keys[0] if keys else inside, self.__notebook)

    @property
    def record_itself(self) -> object:
        """What it is a view of."""
        return self.__record

    def __eq__(self, other: object) -> bool:
        return bool(self.__record == (other.__record if isinstance(other, _View) else other))

    def __hash__(self) -> int:
        return hash(self.__record)


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

    def __init__(self, block: Mapping[str, Any], place: str, notebook: Notebook) -> None:
        self.block, self.place, self.notebook = block, place, notebook

    def __getitem__(self, key: str) -> Any:
        self.notebook.read(f"{self.place}.{key}")
        return self.block[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self.block)

    def __len__(self) -> int:
        return len(self.block)


def _viewed(value: Any, place: str, notebook: Notebook) -> Any:
    if isinstance(value, _BY_KEY):
        return _View(value, place, notebook)
    if isinstance(value, tuple):
        return tuple(_viewed(inner, place, notebook) for inner in value)
    return _Keys(value, place, notebook) if isinstance(value, Mapping) else value


class _Entries(dict[str, PolicyEntry]):
    """Settings that note which is read by its name; a walk over all of them reads no value."""

    def __init__(self, entries: Mapping[str, PolicyEntry], notebook: Notebook) -> None:
        super().__init__(entries)
        self.notebook = notebook

    def __getitem__(self, name: str) -> PolicyEntry:
        self.notebook.read(_POLICY + name)
        return super().__getitem__(name)


def noted_whole(value: T, names: Iterable[str], notebook: Notebook) -> T:
    """A value that was made from the names: they are noted when more than its id is read."""
    return cast("T", _Whole(value, names, notebook))


def noted_patient(patient: Patient, notebook: Notebook) -> Patient:
    """The patient, with each key noted when it is read."""
    return cast("Patient", _View(patient, "", notebook))


def noted_policy(policy: Policy, notebook: Notebook) -> Policy:
    """The settings, with each noted when it is read."""
    return replace(policy, entries=_Entries(policy.entries, notebook))
