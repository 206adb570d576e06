"""What is asked of whom: only what is a learner's own duty, and all of that."""

from __future__ import annotations

from dataclasses import replace

import pytest
import yaml
from builders import _words, library, policy, teaching
from format_2 import GROUP_HOME, HOSPICE, data_with, patient_of, with_codes
from returned_sheets import all_met, sheet_outline
from sample_records import packet_data

from plainleaf.compose.word import WordedPacket, Wording
from plainleaf.inputs.catalog import Catalog
from plainleaf.inputs.load_inputs import inputs_for
from plainleaf.inputs.patient import read_patient
from plainleaf.inputs.strict_yaml import parse
from plainleaf.packet.build import word_only
from plainleaf.packet.record.packet_record import PACKET_RECORD
from plainleaf.packet.sheet.form_fields import fields_of
from plainleaf.packet.sheet.outline import Outline, OutlineLearner, items_asked
from plainleaf.packet.sheet.outline_json import outline_data, outline_of
from plainleaf.packet.sheet.sheet_rows import sheet_sessions, statement_words
from plainleaf.rules.decision import Decision, decide
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
    "drainage": ("keeping-safe.sb.checks", "flushing.tb.when"),
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


# --- the sheets of two order sets, whole -------------------------------------------------------


def sheet_of(base: str) -> tuple[Decision, WordedPacket, Outline]:
    """An order set with its decisions, worded, and what its sheet asks of whom."""
    text = yaml.safe_dump(_words(with_codes(data_with(base=base))), sort_keys=False)
    patient = read_patient(parse(text, "patient.yaml"), policy().named)
    decision = decide(inputs_for(patient, policy(), teaching(), "en"))
    packet, _ = word_only(decision, "en")
    learners = tuple(
        OutlineLearner(x.name, x.relation, x.language, "en", x.hands_on, x.phone, x.duties)
        for x in patient.learners
    )
    sheet = replace(sheet_outline(), items=items_asked(packet, learners), learners=learners)
    return decision, packet, sheet


def test_the_sheet_of_the_group_home_names_no_medicine_to_the_weekend_person_but_one() -> None:
    _, packet, sheet = sheet_of(GROUP_HOME)
    ty = next(n for n, learner in enumerate(sheet.learners) if learner.name == "Ty Greer")
    mine = [item for item in sheet.items if ty in [who for who, _ in sheet.takers(item)]]
    assert {i.id for i in mine if i.module == "medicines"} == {"medicines.tb.seizure"}
    words = " ".join(
        str(statement_words(packet.statements()[name])) for item in mine for name in item.points
    )
    assert "midazolam" in words
    assert "lamotrigine" not in words
    assert "lactulose" not in words
    others = [item for item in sheet.items if item.id == "medicines.sb.give"]
    assert [learner.name for _, learner in sheet.takers(others[0])] == ["Olga Marsh", "June Abara"]


def test_the_two_sessions_of_the_hospice_are_filled_in() -> None:
    decision, _, sheet = sheet_of(HOSPICE)
    wording = Wording(library(), Catalog("en", {}))
    first, second, *others = sheet_sessions(sheet, decision.patient, wording)
    assert str(first.plan[0]).startswith("Session 1: Thursday, September")
    assert str(second.plan[0]).startswith("Session 2: Friday, September")
    assert first.start < second.start
    assert first.rows
    assert second.rows
    assert not any(line.start or line.rows for line in others)
