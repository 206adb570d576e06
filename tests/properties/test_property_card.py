"""The card of every kind of patient: one way for a tube that comes out, the day's own amounts."""

from __future__ import annotations

from builders import library
from hypothesis import given
from strategies import Made, few, patients

from plainleaf.compose.fill import Cell, SlotSource, card_day
from plainleaf.facts.derived import Phrase, Typed


@few(40)
@given(patients())
def test_exactly_one_section_tells_what_to_do_when_the_tube_comes_out(made: Made) -> None:
    carded = {
        section.id
        for module in made.worded.modules
        for section in module.sections
        if section.level and any(statement.card for statement in section.statements)
    }
    assert len(carded) == 1 and next(iter(carded)).startswith("problems.out-")


def amounts(cell: Cell) -> list[object]:
    found = []
    for value in cell:
        assert isinstance(value, Phrase) and value.id in library().phrases
        found += [v.value for name, v in value.values if name == "amount" and isinstance(v, Typed)]
    return found


@few(40)
@given(patients())
def test_the_amounts_on_the_card_are_those_of_the_day(made: Made) -> None:
    source, events = SlotSource(made.patient, made.facts), made.facts.events
    ordered = [event.amount for event in events if event.amount is not None]
    said = [amount for row in card_day(source, "all").rows for amount in amounts(row[1])]
    assert said == ordered
    grouped = card_day(source, "all", grouped=True)
    cells = [row[1] for row in grouped.rows]
    assert len(cells) == len(set(cells))
    assert {str(a) for cell in cells for a in amounts(cell)} == {str(a) for a in ordered}


@few(40)
@given(patients())
def test_every_medicine_time_stands_on_a_card_that_shows_the_day(made: Made) -> None:
    source = SlotSource(made.patient, made.facts)
    given_at = {event.at for event in made.facts.events if event.kind == "medicine"}
    for shown in ("all", "no-medicine-names"):
        rows = card_day(source, shown).rows
        told = {
            at.value
            for (at,), cell in rows
            if isinstance(at, Typed)
            and any(isinstance(v, Phrase) and v.id.startswith("card-medicine") for v in cell)
        }
        assert told == given_at
        # A pump is started again as often as it is paused, with the medicine in between.
        for _, cell in rows:
            names = [v.id for v in cell if isinstance(v, Phrase)]
            if "card-pump-pause" in names and "card-pump-resume" in names:
                pause, resume = names.index("card-pump-pause"), names.index("card-pump-resume")
                assert any(n.startswith("card-medicine") for n in names[pause:resume])


@few(40)
@given(patients())
def test_a_shorter_card_keeps_every_feeding(made: Made) -> None:
    source, events = SlotSource(made.patient, made.facts), made.facts.events
    fed = [e.amount for e in events if e.kind in ("feed", "pump-start")]
    for shown in ("no-medicine-names", "feedings"):
        said = [amount for row in card_day(source, shown).rows for amount in amounts(row[1])]
        assert all(said.count(amount) >= fed.count(amount) for amount in fed)
    assert card_day(source, "none").rows == ()
