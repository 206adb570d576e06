"""Of each value that was typed it is known which statement, table or paper prints it."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from builders import Changes, policy, teaching
from format_2 import RESTING, data_with, patient_of, with_codes
from packets import decision_from, settled_text

from plainleaf.inputs.load_inputs import inputs_for
from plainleaf.packet.typed_prints import (
    CALENDAR,
    CARD,
    EVERY_PAGE,
    SHEET,
    shown_by_a_rule,
    typed_keys,
)
from plainleaf.rules.decision import decide


@cache
def _resting() -> Mapping[str, tuple[str, ...]]:
    return prints_with(None)


def prints_with(changes: Changes | None, base: str = RESTING) -> Mapping[str, tuple[str, ...]]:
    """Typed key → what prints it, of a given file with some keys changed."""
    patient = patient_of(with_codes(data_with(changes, base)))
    decision = decide(inputs_for(patient, policy(), teaching(), "en"))
    return {typed.key: typed.prints for typed in typed_keys(decision)}


def test_what_is_on_every_page_is_read_for_every_page() -> None:
    prints = _resting()
    for key in ("patient.name", "patient.record_number", "patient.language", "prepared.at"):
        assert EVERY_PAGE in prints[key], key


def test_the_card_the_sheet_and_the_reminders_have_keys_of_their_own() -> None:
    prints = _resting()
    assert CARD in prints["tube.size"]
    for key in ("learners[1].there", "ordered.by", "ordered.date", "prepared.by"):
        assert SHEET in prints[key], key
    assert CALENDAR in prints["visits[0].when"]


def test_a_statement_prints_what_its_slots_read_and_what_its_rule_asks() -> None:
    prints = _resting()
    named = [name for name in prints["tube.outside_length"] if name.startswith("your-tube")]
    assert named or any("skin" in name for name in prints["tube.outside_length"])
    assert any("." in name for name in prints["tube.kind"])


def test_each_of_several_orders_is_told_apart() -> None:
    prints = _resting()
    assert prints["medicines[0].days"] and "medicines[1].days" not in prints


def test_a_rule_alone_shows_words_flags_and_dates_but_no_amount() -> None:
    for key in ("tube.kind", "tube.turn_daily", "tube.skin_buttons", "patient.born"):
        assert key in shown_by_a_rule()
    for key in ("water.unclog", "medicines.dose", "contacts.clinic", "learners.name"):
        assert key not in shown_by_a_rule()


def test_nothing_is_said_of_a_file_of_format_1() -> None:

    assert typed_keys(decision_from(settled_text())) == ()
