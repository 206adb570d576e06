"""Proof: nothing in the content is dead: each text and each rule is there for somebody."""

from __future__ import annotations

from collections.abc import Iterator

from plainleaf.authoring.prove.findings import Failure, Proving
from plainleaf.authoring.prove.logic import (
    Constraint,
    Model,
    answers,
    every,
    implies,
    never,
    same,
    yes,
)
from plainleaf.authoring.prove.search import Search
from plainleaf.authoring.prove.texts import Place, printables, texts
from plainleaf.vocabulary.facts import CHECK_FACTS, MEDICINE_FACTS, YES_NO


def prove_reached(run: Proving) -> Iterator[Failure]:
    """A fault for each statement, wording and rule that no class of patient meets.

    In one facility much is rightly not reached: it is there for other settings.
    """
    if not run.any_facility:
        return
    for one in printables(run.library):
        run.counts["statements"] += 1
        if run.search.satisfy(one.when) is None:
            yield Failure("reached", one.place, "no class of patient ever gets it.")
    for text in texts(run.library):
        if run.search.satisfy(text.when) is None and text.reader != "all":
            says = f"no class of patient ever gets the words for {text.reader} readers."
            yield Failure("reached", text.place, says)
    yield from _rules(run)


def _rules(run: Proving) -> Iterator[Failure]:
    """A fault for each rule that no file can meet, before the rule's own stop holds."""
    deciding = {constraint.decided_by for constraint in run.search.model.constraints}
    searches: dict[tuple[str, str], Search] = {}
    for rule in run.library.rules:
        run.counts["rules"] += 1
        own = rule.id if f"rule {rule.id}" in deciding else ""
        key = (rule.about, own)
        if key not in searches:
            searches[key] = _rule_search(run.search.model, *key)
        if searches[key].satisfy(rule.when) is None:
            place = Place(rule.id, rule.file, rule.line)
            yield Failure("reached", place, "no patient file can ever meet this rule.")


def _rule_search(model: Model, about: str, rule: str) -> Search:
    """A search over files as a rule meets them: with its checks, and without what it decides."""
    extra = MEDICINE_FACTS if about == "medicine" else CHECK_FACTS
    variables = {**model.variables, **{name: fact.answers for name, fact in extra.items()}}
    plain = {**model.plain}
    for name, fact in extra.items():
        plain[name] = "false" if fact.answers == YES_NO else fact.answers[0]
    before = model.without(rule).constraints
    if about == "medicine":
        before = (*before, *_one_medicine(rule))
    return Search(Model(variables, before, plain))


def _one_medicine(rule: str) -> Iterator[Constraint]:
    """What holds between the answers of one medicine and those of the whole list."""
    out, none = yes("stays_out"), answers("medicine_through", "none")
    by = "fact"
    yield Constraint(same(out, none), "no port is written", by)
    for port in ("gastric", "jejunal"):
        through = answers("medicine_through", port)
        yield Constraint(implies(through, yes(f"medicines_through_{port}")), "it is listed", by)
    yield Constraint(implies(out, yes("other_route_medicines")), "it is listed", by)
    yield Constraint(implies(yes("insulin_medicine"), yes("insulin")), "it is listed", by)
    if rule != "insulin-through-tube":
        stays = implies(yes("insulin_medicine"), out)
        yield Constraint(stays, "insulin is injected", "rule insulin-through-tube")
    both = every(yes("crush_never"), yes("pharmacist_approved"))
    yield Constraint(never(both), "one entry says how", "loader")
    liquid = answers("medicine_form", "liquid")
    yield Constraint(implies(yes("unit_doubtful"), liquid), "what the fact means", by)
    measured = every(yes("unit_doubtful"), yes("small_dose_medicine"))
    yield Constraint(never(measured), "a small dose is in mL", by)
