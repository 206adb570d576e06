"""Notes what is read while it is read: patient-file keys and settings.

A notebook stands beside the givens only where somebody asks what is behind a value; without one
nothing of this file runs. A setting is noted as `policy.NAME`, as content cites it; a key of the
patient file by its name there (`tube.placed`, `medicines.form`: of any medicine of the list).
Beside each name stands what was looked at: the place in the record (`medicines[2].form`) and its
value. What was worked out from "now" and decides more than a day at a time, such as an age group,
stands there instead of the moment.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Hashable, Iterable, Iterator, Mapping
from typing import Any, Generic, TypeAlias, TypeVar, cast

from plainleaf.vocabulary.written import same_text

T = TypeVar("T")
POLICY = "policy."
# The key of the file that says which moment is "now".
_NOW = "prepared.on"
# Place → value, as text that says the same of the same value.
Looks: TypeAlias = Mapping[str, str]
# Name and place → value.
Notes: TypeAlias = dict[tuple[str, str], str]


class Notebook:
    """Names in the order of reading; what was worked out before is not read again, but noted.

    `leaf_by_leaf`: every value that somebody typed is noted by itself, also those of records that
    are else read as a whole; that it was read is kept, and not what it is. `page`: what is noted on
    just now; what is on it already need not be noted again.
    """

    def __init__(self, *, leaf_by_leaf: bool = False) -> None:
        self.leaf_by_leaf = leaf_by_leaf
        self.page: Notes = {}
        self._kept: dict[Hashable, tuple[Any, Notes]] = {}
        # What was worked out before → where it was noted last.
        self._pages: dict[Hashable, object] = {}

    def read(self, name: str, place: str = "", value: object = None) -> None:
        """A key or a setting is read; with a place, that value was looked at there."""
        looked = place and not self.leaf_by_leaf
        _note(self.page, (name, place), same_text(value) if looked else "")

    def _noting(self, work: Callable[[], T]) -> tuple[T, Notes]:
        before, self.page = self.page, {}
        try:
            result = work()
        finally:
            notes, self.page = self.page, before
        return result, notes

    def behind(self, work: Callable[[], T]) -> tuple[T, tuple[str, ...]]:
        """What comes out, and the names that were read for it, each once."""
        result, notes = self._noting(work)
        return result, tuple(dict.fromkeys(name for name, _ in notes if name))

    def looked(self, work: Callable[[], T]) -> tuple[T, Looks]:
        """What comes out, and the values that were looked at for it."""
        result, notes = self._noting(work)
        return result, {place: value for (_, place), value in notes.items() if place}

    def once(self, what: Hashable, work: Callable[[], T], from_now: str = "") -> T:
        """What comes out; the second time it is kept, and its names are noted again.

        Args:
            from_now: The name under which what comes out is noted in the place of "now".
        """
        if what not in self._kept:
            result, notes = self._noting(work)
            self._kept[what] = result, _from_now(notes, from_now, result) if from_now else notes
        kept, notes = self._kept[what]
        if self._pages.get(what) is not self.page:
            self._pages[what] = self.page
            for note, text in notes.items():
                _note(self.page, note, text)
        return cast("T", kept)

    def lazy(self, what: str, names: Collection[str], work: Callable[[str], T]) -> Mapping[str, T]:
        """Values by name, each worked out and noted when it is asked for."""
        return Lazy(names, lambda name: self.once((what, name), lambda: work(name)))


def _note(notes: Notes, note: tuple[str, str], text: str) -> None:
    """Add a note; of a place that held several values in turn, such as one in several plans, all
    that were seen.
    """
    seen = notes.get(note)
    if seen is None:
        notes[note] = text
    elif seen != text:
        notes[note] = "\n".join(dict.fromkeys((*seen.split("\n"), *text.split("\n"))))


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


def _from_now(notes: Notes, name: str, value: object) -> Notes:
    """The notes with what was worked out from "now" in its place."""
    kept = {note: text for note, text in notes.items() if note[0] != _NOW}
    return kept | {(_NOW, name): same_text(value)}


class Shared(Generic[T]):
    """A value of the givens that many facts ask for: worked out when it is first asked for."""

    from_now = False

    def __init__(self, work: Callable[[Any], T]) -> None:
        self.work = work
        self.__doc__ = work.__doc__

    def __set_name__(self, owner: type, name: str) -> None:
        self.name = name

    def __get__(self, given: Any, owner: type) -> T:
        notebook: Notebook | None = given.notebook
        if notebook is not None:
            whose: Hashable = getattr(given, "whose", None)
            name = self.name if self.from_now else ""
            return notebook.once((self.name, whose), lambda: self.work(given), name)
        # The next time it is found in the instance, and this is not asked.
        value = given.__dict__[self.name] = self.work(given)
        return value


class FromNow(Shared[T]):
    """One that is worked out from "now": what it comes to was looked at, not the moment."""

    from_now = True


# --- what is behind ------------------------------------------------------------------------------


def settings_in(names: Iterable[str]) -> tuple[str, ...]:
    """The settings among the names that were read."""
    return tuple(n.removeprefix(POLICY) for n in names if n.startswith(POLICY))


def keys_in(names: Iterable[str]) -> tuple[str, ...]:
    """The patient-file keys among the names; a block only where none of its keys was read.

    >>> keys_in(["tube", "tube.placed", "policy.lift_after", "feeding"])
    ('tube.placed', 'feeding')
    """
    keys = [name for name in names if not name.startswith(POLICY)]
    blocks = {key[:place] for key in keys for place, letter in enumerate(key) if letter == "."}
    return tuple(key for key in keys if key not in blocks)
