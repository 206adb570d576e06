"""Orders in words, on the page of their topic: each in the language of the page."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from plainleaf.compose.fill.filled_packet import (
    FilledBlock,
    FilledSection,
    FilledStatement,
    FilledText,
)
from plainleaf.facts.derived import TextByLanguage, Typed
from plainleaf.inputs.patient import Patient
from plainleaf.inputs.patient.order_values import WordedOrder

# Where an order stands whose own topic this patient's handout does not have.
_ELSEWHERE = "living"
HEADING = "orders-in-words"


def ordered_section(
    module: str,
    printed: Collection[str],
    patient: Patient,
    phrases: Mapping[str, tuple[str, str | None]],
) -> tuple[FilledSection, ...]:
    """The section with the orders in words of one topic; none where there are none.

    Args:
        printed: The topics that the handout has.
        phrases: The phrase file, for the heading.
    """
    rows = tuple(
        ((Typed("said", TextByLanguage(tuple(order.say.items()))),),)
        for order in _orders_of(module, printed, patient)
    )
    if not rows:
        return ()
    heading = FilledText(f"phrase:{HEADING}", phrases[HEADING][0], ())
    block = FilledBlock("orders_list", "list", ("head-orders-in-words",), rows)
    statement = FilledStatement(f"{module}.orders.list", "block", None, block, ("patient-file",))
    return (FilledSection(f"{module}.orders", heading, None, (statement,)),)


def _orders_of(module: str, printed: Collection[str], patient: Patient) -> Iterator[WordedOrder]:
    for order in patient.orders:
        topic = order.topic if order.topic in printed else _ELSEWHERE
        if topic == module:
            yield order
