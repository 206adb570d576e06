"""Proof: nothing in the content is dead: each text and each rule is there for somebody."""

from __future__ import annotations

from collections.abc import Iterator

from plainleaf.authoring.prove.failures import Failure, Proving
from plainleaf.authoring.prove.legal import Model
from plainleaf.authoring.prove.search import Search
from plainleaf.authoring.prove.texts import Place, printables, texts
from plainleaf.facts import VOCABULARY


def prove_reached(run: Proving) -> Iterator[Failure]:
    """A fault for each statement, wording and rule that no class of patient meets.

    In one facility much is rightly not reached: it is there for other settings.
    """
    if not run.any_facility:
        return
    for printable in printables(run.library):
        run.counts["statements"] += 1
        if run.search.satisfy(printable.when) is None:
            yield Failure("reached", printable.place, "no class of patient ever gets it.")
    for text in texts(run.library):
        if run.search.satisfy(text.when) is None and text.reader != "all":
            says = f"no class of patient ever gets the words for {text.reader} readers."
            yield Failure("reached", text.place, says)
    yield from _rules(run)


def _rules(run: Proving) -> Iterator[Failure]:
    """A fault for each rule that no file can meet, before the rule's own stop holds."""
    medicine = run.search.model.with_facts(VOCABULARY.medicine.values())
    deciding = {constraint.decided_by for constraint in medicine.constraints}
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
    asked = VOCABULARY.medicine if about == "medicine" else VOCABULARY.checks
    return Search(model.with_facts(asked.values()).without(rule))
