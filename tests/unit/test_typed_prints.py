"""Of each value that was typed it is known which statement, table or paper prints it."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

import pytest
import yaml
from builders import ROOT, Changes, _words, policy, teaching
from format_2 import HOSPICE, NAMES, RESTING, data_with, patient_of, with_codes
from packets import decision_from, settled_text

import plainleaf
from plainleaf.compose.fill import SlotSource
from plainleaf.compose.fill.filled_packet import FilledBlock
from plainleaf.compose.fill.filling import BLOCKS
from plainleaf.inputs.load_inputs import inputs_for
from plainleaf.packet.build import build
from plainleaf.packet.places import Places
from plainleaf.packet.typed_prints import (
    CALENDAR,
    EVERY_PAGE,
    SHEET,
    shown_by_a_rule,
    typed_keys,
)
from plainleaf.rules.decision import Decision, decide
from plainleaf.rules.typed_keys import TYPED_NOT_PRINTED
from plainleaf.vocabulary.errors import StoppedError


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


def test_page_two_the_sheet_and_the_reminders_have_keys_of_their_own() -> None:
    prints = _resting()
    assert "your-tube.card.card" in prints["tube.size"]
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


def decided(name: str) -> Decision:
    """What a review and a build go by, of a given file with the codes of its decisions."""
    text = yaml.safe_dump(_words(with_codes(data_with(base=name))), allow_unicode=True)
    return plainleaf.decide(text, teaching(), policy(), language="en")


@pytest.mark.parametrize("name", NAMES)
def test_all_that_is_typed_in_the_given_files_prints(name: str) -> None:
    decision = decided(name)
    assert [f.subject for f in decision.findings if f.id == TYPED_NOT_PRINTED] == []
    assert {typed.key for typed in decision.typed} == set(decision.patient.typed)


def test_what_no_table_prints_any_more_stops_review_and_build(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def empty(source: SlotSource) -> FilledBlock:
        return FilledBlock("medicine_table", "table", ("head-medicine",), ())

    # the day by the clock and the chart of medicines say the same
    for name in ("medicine_table", "day_schedule"):
        monkeypatch.setitem(BLOCKS, name, empty)
    decision = decided(HOSPICE)
    stops = {f.subject: f for f in decision.findings if f.id == TYPED_NOT_PRINTED}
    assert {"medicines[1].between", "medicines[3].between"} <= set(stops)
    assert stops["medicines[1].between"].concerns == ("medicines[1].between",)
    with pytest.raises(StoppedError, match=TYPED_NOT_PRINTED):
        build(decision, Places.default())


def test_while_something_else_stops_nothing_is_said_of_it() -> None:
    """A file without the codes of its decisions is asked those first."""
    text = yaml.safe_dump(_words(data_with(base=HOSPICE)), allow_unicode=True)
    decision = plainleaf.decide(text, teaching(), policy(), language="en")
    assert decision.stopped and decision.typed == ()
    assert TYPED_NOT_PRINTED not in {finding.id for finding in decision.findings}


def test_nothing_is_said_of_a_file_of_format_1() -> None:

    assert typed_keys(decision_from(settled_text())) == ()


def test_what_a_decision_takes_back_and_what_is_ordered_beside_another_line_are_printed() -> None:
    text = (ROOT / "tests/oracles/dictated/g-school-child.yaml").read_text(encoding="utf-8")
    data = with_codes(yaml.load(text, Loader=yaml.BaseLoader))
    decision = decide(inputs_for(patient_of(data), policy(), teaching(), "en"))
    prints = {typed.key: typed.prints for typed in typed_keys(decision)}
    assert prints["tube.may_put_back.who"] == (SHEET,)
    assert "living.wash.bath-now" in prints["dates.bath_from"]
    assert "living.swim.ask-now" in prints["dates.swim_from"]
