"""What a table of a patient file is made of: keys, what each may hold, rules between them.

A table is data. The reader, the JSON Schema, the starter file and the reference of keys are
made from it, so a key is written down once.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from plainleaf.vocabulary.settling import Settling


@dataclass(frozen=True)
class Scalar:
    """One value written as text, with a form of its own: an amount, a date, a dose.

    `read` gives the value or raises UnitError with what is wrong and what to write. `pattern`
    is the same form as a regular expression (ECMA 262, whole text). `digits`: a text of digits
    alone is fine, so that a reader which takes it for a number may pass it. `exact`: what `read`
    takes and the pattern does not is refused, a space too many among it.
    """

    name: str
    read: Callable[[str], object]
    pattern: str
    example: str
    blank: str
    digits: bool = False
    exact: bool = False


@dataclass(frozen=True)
class Text:
    """Words to print as they stand, at most so many letters.

    `marks`: `<` and `>` may be in it. `vowels`: it may hold the vowel marks of Arabic, because it
    stands on pages of its own language alone; on others a print does not give them back in order.
    """

    longest: int
    marks: bool = True
    vowels: bool = False


@dataclass(frozen=True)
class Word:
    """One word of a closed list."""

    words: tuple[str, ...]


@dataclass(frozen=True)
class Flag:
    """`true`, or `false` where `may_deny`; left out, it was not ordered."""

    may_deny: bool = True


@dataclass(frozen=True)
class Count:
    """A whole number from `low` to `high`."""

    low: int
    high: int


@dataclass(frozen=True)
class ListOf:
    """A list of values of one shape, at least `least`.

    `once`: none may stand twice. `ordered`: given back in their own order, as clock times are.
    `empty`: what is wrong with an empty list and what to write, where there is more to say.
    """

    item: Shape
    least: int = 0
    once: bool = False
    ordered: bool = False
    empty: tuple[str, str] = ("is an empty list.", "Write at least one.")


@dataclass(frozen=True)
class MapOf:
    """Names of one form, each with a value of one shape, at least `least`."""

    name: Scalar | Word
    item: Shape
    least: int = 0


@dataclass(frozen=True)
class Either:
    """A value of one of several shapes, told apart by how it is written: text, list or block.

    `instead`: what to write where it is none of them.
    """

    choices: tuple[Shape, ...]
    instead: str


@dataclass(frozen=True)
class When:
    """A condition on one key of a block; a dotted key stands in the block below.

    With `words`: the key holds one of them, or its list does. Without: the key is written
    (of a flag: true).
    """

    key: str
    words: tuple[str, ...] = ()
    is_not: bool = False


@dataclass(frozen=True)
class Group:
    """Keys that belong together, and those that may not stand beside them."""

    needs: tuple[str, ...]
    refuses: tuple[str, ...] = ()


@dataclass(frozen=True)
class Rule:
    """What must hold between the keys of a block where all of `when` is true.

    `needs` must be there, of `any_of` at least one, of `one_of` exactly one group, and `refuses`
    may not; `among` says which words of its list a key may hold then. The texts replace the
    general ones: `refused` is what is wrong with a key that may not stand there, `none` and
    `several` with a block that has no group or more than one, each with what to write.
    """

    when: tuple[When, ...] = ()
    needs: tuple[str, ...] = ()
    refuses: tuple[str, ...] = ()
    any_of: tuple[str, ...] = ()
    one_of: tuple[Group, ...] = ()
    among: tuple[tuple[str, tuple[str, ...]], ...] = ()
    refused: tuple[str, str] = ("{name} does not belong here.", "Take it out.")
    none: tuple[str, str] = ("", "")
    several: tuple[str, str] = ("", "")


@dataclass(frozen=True)
class SignedBy:
    """Who may settle what: the signers of a block that holds decisions.

    Under `decided` stand lines with a `finding`; the credential of `by` must be one of those who
    settle each, and where two must, `with` is the other.
    """

    settled_by: Mapping[str, Settling] = field(hash=False)


@dataclass(frozen=True)
class Block:
    """Keys in the order a nurse writes them, with the rules between them.

    `instead` answers an old or foreign key: key → what to write in its place.
    """

    name: str
    keys: tuple[Key, ...]
    rules: tuple[Rule | SignedBy, ...] = ()
    instead: dict[str, str] = field(default_factory=dict, hash=False)


@dataclass(frozen=True)
class Key:
    """One key of a block.

    Args:
        name: As it is written.
        holds: The shape of its value.
        means: What it means, in one line.
        required: Whether it is always there; `Rule.needs` says what is needed at times.
        example: As YAML, where the shape has no fitting one.
        changes: The papers or pages that it changes.
        blank: What the starter file asks for, where the shape's own words do not fit.
        draft: What the starter file writes instead of a blank.
    """

    name: str
    holds: Shape
    means: str
    required: bool = False
    example: str = ""
    changes: str = ""
    blank: str = ""
    draft: str = ""


Shape = Scalar | Text | Word | Flag | Count | ListOf | MapOf | Either | Block


@dataclass(frozen=True)
class Table:
    """One format of the patient file."""

    format: int
    root: Block
    empty_is_absent: bool
