"""Whether what was taught lets a learner give the care at home, and what is still missing.

What is asked of whom (DEVELOPERS.md gives the reasons):

- Who gives care must have met every critical question and every critical skill, without a prompt
  and with every step marked. One that is open: not ready to go home on this alone.
- Who is taught and gives no care is asked the questions too. What is open there is listed and goes
  to the follow-up call; it does not decide about going home.
- What is not critical never decides; it is listed and followed up.
- A plan never closes an item. It says what happens next.
"""

from __future__ import annotations

from dataclasses import dataclass

from plainleaf.packet.sheet.loop import Loop, State
from plainleaf.packet.sheet.outline import Outline, OutlineItem, OutlineLearner
from plainleaf.teach_back.answers import ItemAnswer, Returned

# What is still to do, in the staff's words (names of `Loop.still_to_do`).
TO_DO = {
    "not-taught": "not checked: all tries are blank",
    "code-missing": "the last try has no code",
    "not-done": "not done",
    "explain-another-way": "explain another way",
    "check-again": "check again",
    "steps-not-marked": "steps not marked",
    "plan-missing": "no plan after the last try",
}


@dataclass(frozen=True)
class ItemStanding:
    """An answer with where its loop stands; `needs` is empty when it is closed."""

    answer: ItemAnswer
    state: State
    needs: tuple[str, ...]

    @property
    def item(self) -> OutlineItem:
        """What was asked."""
        return self.answer.item

    @property
    def steps_left(self) -> tuple[int, ...]:
        """Numbers of the steps that are not marked."""
        return tuple(n for n, marked in enumerate(self.answer.steps, 1) if not marked)

    @property
    def to_do(self) -> str:
        """What is still to do, in the staff's words."""
        parts = []
        for need in self.needs:
            text = TO_DO[need]
            if need == "steps-not-marked":
                text += " " + ", ".join(map(str, self.steps_left))
            parts.append(text)
        return "; ".join(parts)


@dataclass(frozen=True)
class Verdict:
    """One learner. `ready` is None for who gives no care: then it does not decide."""

    learner: OutlineLearner
    number: int
    standings: tuple[ItemStanding, ...]

    @property
    def open(self) -> tuple[ItemStanding, ...]:
        """What is not closed, critical first."""
        still_open = [standing for standing in self.standings if standing.needs]
        return tuple(sorted(still_open, key=lambda standing: not standing.item.critical))

    @property
    def critical(self) -> tuple[ItemStanding, ...]:
        """What is not closed and critical."""
        return tuple(standing for standing in self.open if standing.item.critical)

    @property
    def ready(self) -> bool | None:
        """Whether everything critical is met."""
        return not self.critical if self.learner.hands_on else None


def loop_of(answer: ItemAnswer) -> Loop:
    """The loop of an answer: its tries in order."""
    loop = Loop(answer.item.critical, steps_left=sum(not marked for marked in answer.steps))
    for attempt in answer.tries:
        loop = loop.tried(attempt.code)
    return loop.with_plan() if answer.plan is not None else loop


def judge_sheet(returned: Returned, outline: Outline) -> tuple[Verdict, ...]:
    """Every learner of the sheet, in its order."""
    return tuple(
        Verdict(
            learner,
            number,
            tuple(
                _standing(answer, outline.tries)
                for answer in returned.answers
                if answer.learner == number
            ),
        )
        for number, learner in enumerate(outline.learners)
    )


def _standing(answer: ItemAnswer, limit: int) -> ItemStanding:
    loop = loop_of(answer)
    return ItemStanding(answer, loop.state, loop.still_to_do(limit))


def ready_to_go_home(verdicts: tuple[Verdict, ...]) -> bool:
    """Whether everyone who gives care has met all that is critical, and somebody gives care."""
    deciding = [verdict for verdict in verdicts if verdict.ready is not None]
    return bool(deciding) and all(verdict.ready for verdict in deciding)
