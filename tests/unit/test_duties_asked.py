"""What is asked of whom: only what is a learner's own duty, and all of that."""

from __future__ import annotations

from dataclasses import replace

import pytest
from builders import library
from format_2 import GROUP_HOME, HOSPICE, data_with, patient_of
from returned_sheets import all_met, sheet_outline
from sample_records import packet_data

from plainleaf.packet.record.packet_record import PACKET_RECORD
from plainleaf.packet.sheet.form_fields import fields_of
from plainleaf.packet.sheet.outline import Outline, OutlineLearner
from plainleaf.packet.sheet.outline_json import outline_data, outline_of
from plainleaf.teach_back.answers import read_answers
from plainleaf.teach_back.filled_form import Filled
from plainleaf.teach_back.verdict import Verdict, judge_sheet, ready_to_go_home
from plainleaf.vocabulary.asked_of import AskedOf
from plainleaf.vocabulary.words_2 import DUTIES

ITEMS = {item.id: item for module in library().modules for item in module.asked()}
# Asked of nobody alone: who may do everything, and what is everybody's.
EVERYBODYS = {name for name, item in ITEMS.items() if not item.asked_of.duty}


def asked(*duties: str) -> set[str]:
    """What is asked of who has these duties."""
    return {name for name, item in ITEMS.items() if item.asked_of.asks(duties)}


# Duty → something that must be asked of who has it, and something that must not.
OWN = {
    "feeding": ("feeding.tb.plan", "medicines.tb.water"),
    "flushing": ("flushing.tb.when", "feeding.tb.plan"),
    "medicines": ("medicines.sb.give", "medicines.tb.seizure"),
    "rescue": ("medicines.tb.seizure", "medicines.tb.water"),
    "injections": ("medicines.tb.injection", "medicines.sb.give"),
    "sugar-checks": ("problems.tb.stopped", "feeding.tb.plan"),
    "site-care": ("skin-care.sb.clean", "flushing.tb.when"),
    "drainage": ("keeping-safe.sb.mark", "flushing.tb.when"),
    "venting": ("problems.sb.vent", "feeding.tb.plan"),
    "balloon": ("skin-care.sb.balloon", "skin-care.sb.clean"),
    "put-back": ("problems.tb.put-back", "skin-care.sb.balloon"),
}


@pytest.mark.parametrize("duty", DUTIES)
def test_who_has_one_duty_is_asked_that_and_what_is_everybodys(duty: str) -> None:
    own, others = OWN[duty]
    mine = asked(duty)
    assert own in mine
    assert others not in mine
    assert mine >= EVERYBODYS
    assert "your-day.tb.day" not in mine


def test_who_has_every_duty_is_asked_everything_and_who_has_none_nothing() -> None:
    assert asked(*DUTIES) == set(ITEMS)
    assert asked() == set()


def test_a_topic_of_a_session_is_a_duty_or_one_of_the_open_ones() -> None:
    assert AskedOf(("feeding", "flushing")).belongs_to(["flushing"])
    assert AskedOf((), "emergencies").belongs_to(["emergencies"])
    assert not AskedOf(("feeding",)).belongs_to(["emergencies"])
    assert not AskedOf().belongs_to(["feeding", "emergencies"])


def test_the_weekend_person_is_asked_of_no_medicine_but_the_nasal_spray() -> None:
    duties = patient_of(data_with(base=GROUP_HOME)).learners[1].duties
    assert duties == ("feeding", "flushing", "site-care", "rescue")
    mine = asked(*duties)
    assert {name for name in mine if name.startswith("medicines.")} == {"medicines.tb.seizure"}


def test_a_daughter_who_drains_and_flushes_is_asked_no_medicine_and_no_skin() -> None:
    mine = asked(*(patient_of(data_with(base=HOSPICE)).learners[1].duties or ()))
    assert "flushing.sb.gravity" in mine
    assert not {name for name in mine if name.startswith(("medicines.", "skin-care.", "feeding."))
                and ITEMS[name].asked_of.duty}  # fmt: skip


def outline(*duties: tuple[str, ...]) -> Outline:
    """The sheet of an example, asked of learners with these duties."""
    base = sheet_outline()
    items = tuple(
        replace(item, duty=ITEMS[item.id].asked_of.duty, topic=ITEMS[item.id].asked_of.topic)
        for item in base.items
    )
    learners = tuple(
        OutlineLearner(f"Helper {n}", "friend", "en", "en", bool(own), None, own)
        for n, own in enumerate(duties)
    )
    return replace(base, items=items, learners=learners)


def verdicts(given: Outline, *blank: str) -> tuple[Verdict, ...]:
    """The judgement of a sheet on which everything is met but some items."""
    values = {
        name: "" if name.startswith(blank) else value
        for name, value in all_met(given).items()
    } if blank else all_met(given)  # fmt: skip
    filled = Filled({k: str(v) for k, v in values.items()}, (given.version,))
    return judge_sheet(read_answers(filled, given, "sheet.pdf", "packet.json"), given)


def test_an_aide_who_feeds_and_gives_no_medicines_can_be_ready() -> None:
    (aide,) = verdicts(outline(("feeding", "flushing")))
    assert aide.ready is True
    assert not any(s.item.id.startswith("medicines.") for s in aide.standings)
    assert any(s.item.id == "flushing.tb.when" for s in aide.standings)


def test_what_is_the_aides_own_still_decides() -> None:
    given = outline(("feeding", "flushing"), ("medicines",))
    aide, other = verdicts(given, "flushing/tb/when/0")
    assert (aide.ready, other.ready) == (False, True)
    assert [s.item.id for s in aide.critical] == ["flushing.tb.when"]
    assert not ready_to_go_home((aide, other))


def test_who_has_no_duty_has_no_fields_and_decides_nothing() -> None:
    given = outline(("feeding",), ())
    assert not [name for name in fields_of(given) if "/1/try-" in name]
    feeder, watcher = verdicts(given)
    assert watcher.ready is None
    assert watcher.standings == ()
    assert ready_to_go_home((feeder, watcher))


def test_duties_are_read_back_from_the_record() -> None:
    given = outline(("feeding", "flushing"), ())
    back = outline_of(PACKET_RECORD.of(packet_data(teach_back=outline_data(given))))
    assert back.learners == given.learners
    assert back.items == given.items
