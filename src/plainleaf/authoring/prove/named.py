"""Proof: no words name a port, part, method, medicine or age that is not this patient's."""

from __future__ import annotations

from collections.abc import Iterator

from plainleaf.authoring.prove.failures import Failure, Proving
from plainleaf.authoring.prove.texts import ProvedText, texts
from plainleaf.authoring.readability.glossary import uses
from plainleaf.vocabulary.conditions import ALWAYS, Condition, every, never


def prove_named(run: Proving) -> Iterator[Failure]:
    """A fault for each text with a term of the glossary that some of its readers lack."""
    needing = [term for term in run.terms if term.needs != ALWAYS]
    run.counts["terms with a need"] = len(needing)
    for text in texts(run.library):
        run.counts["texts"] += 1
        for term in needing:
            if uses(text.words, term.words, term.exceptions):
                says = f"names '{term.id}' to a patient without it ({term.needs})."
                yield from _mention(run, text, term.needs, says)
        for kept in run.duties.kept:
            here = not kept.modules or text.module in kept.modules
            for words in uses(text.words, kept.words, ()) if here else ():
                says = f"{kept.id}: '{words}', read by a patient for whom it is not ({kept.needs})."
                yield from _mention(run, text, kept.needs, says)


def _mention(run: Proving, text: ProvedText, needs: Condition, says: str) -> Iterator[Failure]:
    run.counts["mentions"] += 1
    lacking = every(text.when, never(needs))
    if run.search.satisfy(lacking) is not None:
        yield Failure("named", text.place, says, run.search.smallest(lacking))
