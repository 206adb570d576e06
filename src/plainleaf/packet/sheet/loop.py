"""The teach-back loop of one item and one learner: what each try leads to, and when it may close.

not yet → explained another way → checked again. A result is a code as on the sheet. The last try
decides and every try is kept, so nothing that once was not yet closes without a later check.
A blank is neither no nor met. Sources: rows TB-06 to TB-10 of the print reference.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

# Result codes of the sheet (phrases code-1 to code-4).
MET, PROMPTED, NOT_YET, NOT_DONE = 1, 2, 3, 4
CODES = (MET, PROMPTED, NOT_YET, NOT_DONE)
# Plan codes of the sheet (phrases plan-a to plan-e), with their names in the record.
NOT_FOR_THIS_PERSON = "not-for-this-person"
PLANS = {
    "A": "other-learner",
    "B": "home-nurse",
    "C": "later-date",
    "D": "call-provider",
    "E": NOT_FOR_THIS_PERSON,
}


class State(StrEnum):
    """Where an item stands with a learner."""

    BLANK = "blank"
    MET = "met"
    PROMPTED = "met-with-a-prompt"
    NOT_YET = "not-yet"
    EXPLAINED = "explained-another-way"
    NOT_DONE = "not-done"
    UNCODED = "no-code"


_AFTER = {MET: State.MET, PROMPTED: State.PROMPTED, NOT_YET: State.NOT_YET,
          NOT_DONE: State.NOT_DONE}  # fmt: skip


@dataclass(frozen=True)
class Loop:
    """One item of one learner.

    `tries`: result of every try in order; None where something was entered and no code could be
    read. `steps_left`: steps of a skill that are not marked; 0 for a question. `planned`: a plan
    for what is not yet met is written down.
    """

    critical: bool
    state: State = State.BLANK
    tries: tuple[int | None, ...] = ()
    steps_left: int = 0
    planned: bool = False

    def tried(self, code: int | None) -> Loop:
        """After one more try; only this may lead to met.

        Raises:
            ValueError: A code that the sheet does not have.
        """
        if code is not None and code not in CODES:
            raise ValueError(f"{code} is no result code")
        state = State.UNCODED if code is None else _AFTER[code]
        return replace(self, state=state, tries=(*self.tries, code))

    def explained(self) -> Loop:
        """After the thing was explained another way; what was met stays met."""
        return replace(self, state=State.EXPLAINED) if self.state is State.NOT_YET else self

    def with_plan(self) -> Loop:
        """After a plan was written down; nothing more is due, and nothing is met by it."""
        return replace(self, planned=True)

    @property
    def closed(self) -> bool:
        """Whether nothing more is needed: met, or met with a prompt where it is not critical.

        A critical skill also needs every step marked.
        """
        if self.critical:
            return self.state is State.MET and not self.steps_left
        return self.state in (State.MET, State.PROMPTED)

    @property
    def checks(self) -> int:
        """Tries in which the learner answered or showed it."""
        return sum(code in (MET, PROMPTED, NOT_YET) for code in self.tries)

    def plan_due(self, limit: int) -> bool:
        """Whether so many tries were made that the plan must change, and no plan is written."""
        return not self.closed and not self.planned and self.checks >= limit

    def still_to_do(self, limit: int) -> tuple[str, ...]:
        """What is missing, as closed names; empty when the item is closed.

        Names: `not-taught`, `code-missing`, `not-done`, `explain-another-way`, `check-again`,
        `steps-not-marked`, `plan-missing`.
        """
        if self.closed:
            return ()
        needs = {
            State.BLANK: ("not-taught",),
            State.UNCODED: ("code-missing",),
            State.NOT_DONE: ("not-done",),
            State.NOT_YET: ("explain-another-way", "check-again"),
            State.EXPLAINED: ("check-again",),
            State.PROMPTED: ("check-again",),
            State.MET: (),
        }[self.state]
        steps = ("steps-not-marked",) if self.state is State.MET and self.steps_left else ()
        plan = ("plan-missing",) if self.plan_due(limit) else ()
        return (*needs, *steps, *plan)
