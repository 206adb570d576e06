"""Which combinations of answers a printable patient can have.

The facts say it themselves, where they are declared: their answers, what holds between them, and
why. Here it is put together for a search. Two methods check it: generated patients satisfy it, and
legal combinations become patient files whose derived facts are the same
(tests/properties/test_legal.py).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from plainleaf.facts import FACTS, UNASKED, Asked, Constraint
from plainleaf.facts.declare import LOADER, ORDER_SET, whenever
from plainleaf.inputs.policy import Policy
from plainleaf.vocabulary.conditions import Condition, answers, never, no, yes
from plainleaf.vocabulary.facts import YES_NO, Fact


@dataclass(frozen=True)
class Model:
    """The facts with their answers, what holds between them, and the plainest answers.

    `plain` is only a wish: the smallest example of anything stays as near to it as it can.
    """

    variables: Mapping[str, tuple[str, ...]]
    constraints: tuple[Constraint, ...]
    plain: Mapping[str, str]

    def without(self, rule: str) -> Model:
        """The model without what one rule decides."""
        kept = tuple(c for c in self.constraints if c.decided_by != f"rule {rule}")
        return Model(self.variables, kept, self.plain)

    def with_facts(self, facts: Iterable[Fact]) -> Model:
        """The model with further facts and what holds of them."""
        facts = tuple(facts)
        legal = [c for fact in facts if isinstance(fact, Asked) for c in fact.legal]
        return Model(
            {**self.variables, **{fact.name: fact.answers for fact in facts}},
            (*self.constraints, *legal, *_of_one_format(facts)),
            {**self.plain, **{fact.name: plain_answer(fact) for fact in facts}},
        )


OF_ONE_FORMAT = "a file is of one format"


def _of_one_format(facts: Iterable[Fact]) -> Iterator[Constraint]:
    """What only one format can say is in no file of the other."""
    for fact in facts:
        if isinstance(fact, Asked) and (fact.only_1 or fact.only_2):
            form = yes(ORDER_SET) if fact.only_2 else no(ORDER_SET)
            yield whenever(_so(fact), form, OF_ONE_FORMAT, LOADER)


def _so(fact: Fact) -> Condition:
    """What only one format can make so: that it is true, or another word than the plainest."""
    if fact.answers == YES_NO:
        return yes(fact.name)
    return never(answers(fact.name, plain_answer(fact)))


def plain_answer(fact: Fact) -> str:
    """The answer of the plainest patient."""
    declared = fact.plain if isinstance(fact, Asked) else ""
    return declared or ("false" if fact.answers == YES_NO else fact.answers[0])


def legal_model(policy: Policy | None = None) -> Model:
    """The model for one facility, or for every facility that the settings allow.

    Args:
        policy: None considers every setting that differs from place to place.
    """
    facts: list[Asked[Any]] = [*FACTS.values(), *UNASKED.values()]
    model = Model({}, (), {}).with_facts(facts)
    if policy is None:
        return model
    here = (c for fact in facts if fact.legal_at is not None for c in fact.legal_at(policy))
    return Model(model.variables, (*model.constraints, *here), model.plain)
