"""How a fact is declared: once, with its answers, how it follows, what is legal, how it is shown.

What is declared here is the whole of a fact: conditions and slots are read by it, `derive` answers
it, and `prove` takes from it which classes of patient there are and how an example is written.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, Generic, TypedDict, TypeVar, Unpack

from plainleaf.facts.derived import SlotValue
from plainleaf.inputs.policy import Policy
from plainleaf.vocabulary.conditions import ALWAYS, Condition, implies, same, yes
from plainleaf.vocabulary.facts import YES_NO, Fact

# What a fact is derived from: the givens of a patient, or one medicine.
G = TypeVar("G")


@dataclass(frozen=True)
class Constraint:
    """What holds for every printable patient, why, and where that is decided.

    `decided_by` is `loader`, `fact` or `rule ID`: a stop that nobody may accept, so that such a
    class never reaches print and needs no words. `settled ID`: a question of format 2 that has one
    outcome alone, so that whoever reaches print has it.
    """

    holds: Condition
    why: str
    decided_by: str


LOADER = "loader"
# What no condition asks: whether the file is of format 2.
ORDER_SET = "order_set"
# Finding, outcome, and the fields that the outcome needs.
ShownOutcome = tuple[str, str, Mapping[str, Any]]
Legal = tuple[Constraint, ...]


def alike(first: Condition, other: Condition, why: str, by: str = "fact") -> Constraint:
    """Both hold or neither does, and why."""
    return Constraint(same(first, other), why, by)


def whenever(first: Condition, then: Condition, why: str, by: str = "fact") -> Constraint:
    """Where the first holds, the other holds, and why."""
    return Constraint(implies(first, then), why, by)


@dataclass(frozen=True)
class Asked(Fact, Generic[G]):
    """A fact that a condition may ask.

    `derive` gives true, false, one of the words, or None where it is not known; `follows` stands
    in its place where other facts decide it. `legal`: what holds between this fact and others;
    `legal_at`: the same for one facility. `plain`: the answer of the plainest patient, where it is
    not false or the first word. `shown`:
    patient-file keys with what they hold where it is so; `{answer}`, `{day}` (of the packet),
    `{later}` (a day to come) and `{visit}` (a moment to come) stand for words, and a list is added
    to. `only_1`, `only_2`: only a file of that format can make it so; `shown` holds its keys.
    `shown_outcome`: a line of `settled` that makes it true, as finding, outcome and its fields;
    `shown` raises the finding.
    """

    derive: Callable[[G], str | bool | None] | None = None
    follows: Condition | None = None
    legal: Legal = ()
    legal_at: Callable[[Policy], Iterable[Constraint]] | None = None
    plain: str = ""
    shown: Mapping[str, Any] = field(default_factory=dict)
    only_1: bool = False
    only_2: bool = False
    shown_outcome: ShownOutcome | None = None


def word_of(answer: str | bool | None) -> str | None:
    """An answer as the word that conditions compare: true, false, a word or None."""
    return ("true" if answer else "false") if isinstance(answer, bool) else answer


class More(TypedDict, total=False):
    """Further fields of `Asked`, as the words below take them."""

    needs: str
    legal: Legal
    legal_at: Callable[[Policy], Iterable[Constraint]]
    plain: str
    shown: Mapping[str, Any]
    only_1: bool
    only_2: bool
    shown_outcome: ShownOutcome


def word(
    name: str,
    answers: tuple[str, ...],
    means: str,
    derive: Callable[[G], str | None],
    **more: Unpack[More],
) -> Asked[G]:
    """A fact that is answered by a word."""
    return Asked(name, "word", means, answers, derive=derive, **more)


def yes_no(
    name: str, means: str, derive: Callable[[G], bool | None], **more: Unpack[More]
) -> Asked[G]:
    """A fact that is true or false."""
    return Asked(name, "yes-no", means, YES_NO, derive=derive, **more)


def following(
    name: str, means: str, follows: Condition, *legal: Constraint, needs: str = "", plain: str = ""
) -> Asked[Any]:
    """A yes-no fact that other facts decide: derived and proved by the same condition."""
    legal = (alike(yes(name), follows, "what the fact means"), *legal)
    return Asked(name, "yes-no", means, YES_NO, needs, follows=follows, legal=legal, plain=plain)


def unasked(
    name: str, means: str, *legal: Constraint, only_1: bool = False, plain: str = ""
) -> Asked[Any]:
    """What no condition asks, and yet decides whether a table has rows; not derived."""
    return Asked(name, "yes-no", means, YES_NO, legal=legal, only_1=only_1, plain=plain)


@dataclass(frozen=True)
class Slot(Fact, Generic[G]):
    """A value that a text may print.

    `derive` gives None where there is none. `sure`: for whom there surely is a value; where it
    may be missing for reasons that no fact tells, nobody, and no text may use it.
    """

    derive: Callable[[G], SlotValue | None] = lambda _: None
    sure: Condition = ALWAYS


def slot(
    name: str,
    kind: str,
    means: str,
    derive: Callable[[G], SlotValue | None],
    sure: Condition = ALWAYS,
) -> Slot[G]:
    """A value of a kind that `compose` can word (`volume`, `phone`, `date` …)."""
    return Slot(name, kind, means, derive=derive, sure=sure)
