"""Proof: every slot has a value and every table has a row, wherever they print."""

from __future__ import annotations

from collections.abc import Iterator

from plainleaf.authoring.prove.failures import Failure, Proving
from plainleaf.authoring.prove.guards import BLOCK_GUARDS
from plainleaf.authoring.prove.texts import printables, texts
from plainleaf.facts import SLOTS
from plainleaf.inputs.content import slots_in
from plainleaf.vocabulary.conditions import every, never


def prove_filled(run: Proving) -> Iterator[Failure]:
    """A fault for each slot that may be empty and each table that may have no row."""
    for text in texts(run.library):
        for slot in slots_in(text.words):
            run.counts["slots"] += 1
            empty = every(text.when, never(SLOTS[slot].sure))
            if run.search.satisfy(empty) is not None:
                says = f"'{{{slot}}}' may have no value here."
                yield Failure("filled", text.place, says, run.search.smallest(empty))
    for printable in printables(run.library):
        if printable.statement.kind == "block":
            run.counts["tables"] += 1
            empty = every(printable.when, never(BLOCK_GUARDS[printable.statement.text]))
            if run.search.satisfy(empty) is not None:
                says = f"the table '{printable.statement.text}' may have no row here."
                yield Failure("filled", printable.place, says, run.search.smallest(empty))
