"""What may go in the mouth: the words of the order, how thick, how much, until when."""

from __future__ import annotations

from collections.abc import Iterator

from plainleaf.compose.fill.filled_packet import Cell, FilledBlock
from plainleaf.compose.fill.source import SlotSource, say, text_of, volume_of
from plainleaf.facts.derived import Phrase, Typed
from plainleaf.inputs.patient import Person


def _rows(person: Person) -> Iterator[tuple[str, Cell]]:
    words = [word for word in person.mouth if word != "nothing"]
    if words:
        yield "mouth-what", tuple(Phrase(f"mouth-{word.replace(' ', '-')}") for word in words)
    if person.thickness is not None:
        yield "mouth-thick", (Phrase(f"thick-{person.thickness.replace(' ', '-')}"),)
    if person.mouth_each is not None:
        yield "mouth-each", (volume_of(person.mouth_each),)
    if person.mouth and person.drink is not None:
        yield "mouth-drink", (volume_of(person.drink),)
    if person.mouth_until is not None:
        yield "mouth-until", (say("mouth-until-day", day=Typed("date", person.mouth_until)),)
    if person.mouth_by is not None:
        yield "mouth-by", (text_of(person.mouth_by),)


def mouth_table(source: SlotSource) -> FilledBlock:
    """All that may pass the lips, with its limits, as ordered."""
    rows = tuple(((Phrase(label),), cell) for label, cell in _rows(source.patient.person))
    return FilledBlock("mouth_table", "table", ("head-by-mouth", "head-your-order"), rows)
