"""Proof: every slot has a value and every table has a row, wherever they print."""

from __future__ import annotations

from collections.abc import Iterator

from plainleaf.authoring.prove.failures import Failure, Proving
from plainleaf.authoring.prove.guards import BLOCK_GUARDS
from plainleaf.authoring.prove.texts import printables, printed_page, texts
from plainleaf.facts import SLOTS
from plainleaf.inputs.content import Library, pointer_to, slots_in
from plainleaf.vocabulary.conditions import Condition, every, never


def prove_filled(run: Proving) -> Iterator[Failure]:
    """A fault for each slot that may be empty and each table that may have no row."""
    sure = _sure(run.library)
    for text in texts(run.library):
        for slot in slots_in(text.words):
            run.counts["slots"] += 1
            empty = every(text.when, never(sure[slot]))
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


def _sure(library: Library) -> dict[str, Condition]:
    """Slot → for whom it surely has a value; that of a page has its number where it prints."""
    pages = {pointer_to(page.id): printed_page(library, page) for page in library.pages}
    return {name: slot.sure for name, slot in SLOTS.items()} | pages
