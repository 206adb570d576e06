"""The search of the proof against every case tried by hand."""

from __future__ import annotations

import random
from itertools import product

import pytest

from plainleaf.authoring.prove import clauses as clauses_module
from plainleaf.authoring.prove.clauses import Coding
from plainleaf.authoring.prove.count import count_classes
from plainleaf.authoring.prove.legal import Model
from plainleaf.authoring.prove.search import Search, holds, support_of
from plainleaf.facts.declare import Constraint, alike, whenever
from plainleaf.vocabulary.conditions import (
    ALWAYS,
    Condition,
    answers,
    at_most_one,
    every,
    implies,
    never,
    no,
    same,
    some,
    yes,
)

VARIABLES = {
    "a": ("true", "false"),
    "b": ("true", "false"),
    "c": ("true", "false"),
    "kind": ("red", "green", "blue"),
    "size": ("small", "large", "none"),
}
PLAIN = {"a": "false", "b": "false", "c": "false", "kind": "red", "size": "none"}


def model(*holds_always: Condition) -> Model:
    return Model(VARIABLES, tuple(Constraint(one, "", "fact") for one in holds_always), PLAIN)


def all_classes(one: Model) -> list[dict[str, str]]:
    """Every legal class, by trying all combinations."""
    tried = [dict(zip(VARIABLES, words, strict=True)) for words in product(*VARIABLES.values())]
    return [known for known in tried if all(holds(c.holds, known) for c in one.constraints)]


def random_condition(chance: random.Random, depth: int = 3) -> Condition:
    if depth == 0 or chance.random() < 0.3:
        fact = chance.choice(list(VARIABLES))
        words = VARIABLES[fact]
        return answers(fact, *chance.sample(words, chance.randint(1, len(words))))
    op = chance.choice(["all", "any", "not"])
    count = 1 if op == "not" else chance.randint(0, 3)
    return Condition(op, tuple(random_condition(chance, depth - 1) for _ in range(count)))


@pytest.mark.parametrize("seed", range(60))
def test_answers_are_those_of_trying_everything(seed: int) -> None:
    chance = random.Random(seed)
    one = model(*(random_condition(chance) for _ in range(chance.randint(0, 4))))
    legal = all_classes(one)
    if not legal:
        with pytest.raises(ValueError, match="contradict"):
            Search(one)
        return
    search = Search(one)
    assert count_classes(search) == len(legal)
    for _ in range(12):
        asked = [random_condition(chance) for _ in range(chance.randint(1, 3))]
        fitting = [known for known in legal if all(holds(c, known) for c in asked)]
        found = search.satisfy(*asked)
        assert (found in fitting) if fitting else (found is None)
        support = chance.sample(list(VARIABLES), 2)
        wanted = {tuple(known[name] for name in support) for known in fitting}
        got = search.projections(support, every(*asked))
        assert {tuple(known[name] for name in support) for known in got} == wanted
        assert len(got) == len(wanted)


def test_every_legal_class_is_drawn_and_no_other() -> None:
    one = model(implies(yes("a"), answers("kind", "green")), some(yes("b"), yes("c")))
    search = Search(one)
    drawn = [search.sample(random.Random(seed)) for seed in range(600)]
    legal = all_classes(one)
    assert {tuple(known.values()) for known in drawn} == {tuple(known.values()) for known in legal}


def test_the_smallest_class_differs_in_what_it_must() -> None:
    search = Search(model(implies(yes("a"), yes("b"))))
    small = search.smallest(yes("a"))
    assert search.apart(small) == {"a": "true", "b": "true"}
    assert search.far(small) == 2
    assert search.smallest(ALWAYS) == PLAIN
    assert search.smallest(given={"kind": "blue"})["kind"] == "blue"
    with pytest.raises(ValueError, match="no class"):
        search.smallest(yes("a"), no("b"))


def test_the_plainest_class_is_made_legal() -> None:
    search = Search(model(answers("kind", "blue")))
    assert search.satisfy(ALWAYS) == {**PLAIN, "kind": "blue"}


def test_a_search_leaves_no_trace() -> None:
    search = Search(model(implies(yes("a"), yes("b"))))
    first = search.satisfy(yes("a"))
    search.projections(["a", "kind"], yes("b"))
    search.sample(random.Random(1))
    assert search.satisfy(yes("a")) == first
    assert search.satisfy(ALWAYS) == PLAIN


LOGIC = [
    (same(yes("a"), yes("b")), {"a": "true", "b": "true"}, True),
    (same(yes("a"), yes("b")), {"a": "true", "b": "false"}, False),
    (at_most_one(yes("a"), yes("b"), yes("c")), {"a": "true", "b": "false", "c": "false"}, True),
    (at_most_one(yes("a"), yes("b"), yes("c")), {"a": "true", "b": "false", "c": "true"}, False),
    (never(every(yes("a"), no("b"))), {"a": "true", "b": "false"}, False),
    (alike(yes("a"), no("b"), "").holds, {"a": "true", "b": "false"}, True),
    (whenever(yes("a"), no("b"), "").holds, {"a": "true", "b": "true"}, False),
    (some(), {}, False),
    (every(), {}, True),
]


@pytest.mark.parametrize("case", LOGIC)
def test_conditions_in_short(case: tuple[Condition, dict[str, str], bool]) -> None:
    condition, known, answer = case
    assert holds(condition, known) is answer


def test_support_is_each_fact_once() -> None:
    assert support_of(every(yes("b"), no("a")), yes("b")) == ("b", "a")


@pytest.mark.parametrize("seed", range(20))
def test_cases_that_others_say_already_are_dropped(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(clauses_module, "MANY_CASES", 0)
    chance = random.Random(seed)
    condition = random_condition(chance)
    clauses = Coding(VARIABLES).clauses(condition)
    bits = Coding(VARIABLES).bit
    names = list(VARIABLES)
    for words in product(*VARIABLES.values()):
        known = dict(zip(VARIABLES, words, strict=True))
        said = all(any(bits(names[n], known[names[n]]) & b for n, b in one) for one in clauses)
        assert said is holds(condition, known)


def test_many_variants_of_a_few_facts_are_few_cases() -> None:
    names = {f"x{n}": ("true", "false") for n in range(9)}
    variants = [
        every(*(yes(f"x{n}") if number >> n & 1 else no(f"x{n}") for n in range(9)))
        for number in range(0, 512, 37)
    ]
    assert Search(Model(names, (), dict.fromkeys(names, "false"))).satisfy(some(*variants))


def test_a_condition_of_too_many_cases_is_refused() -> None:
    names = {f"x{n}": ("true", "false") for n in range(30)}
    pairs = [every(yes(f"x{n}"), yes(f"x{n + 1}")) for n in range(0, 30, 2)]
    search = Search(Model(names, (), dict.fromkeys(names, "false")))
    with pytest.raises(ValueError, match="too many cases"):
        search.satisfy(some(*pairs))
