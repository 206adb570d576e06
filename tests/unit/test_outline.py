"""What a teach-back sheet asks, written into the record and read from it."""

from __future__ import annotations

from dataclasses import replace

from builders import library, policy
from returned_sheets import sheet_outline as outline
from sample_records import packet_data

from plainleaf.packet.record.packet_record import PACKET_RECORD
from plainleaf.packet.sheet.form_fields import TICK, fields_of
from plainleaf.packet.sheet.outline import SHOW, TELL, Outline
from plainleaf.packet.sheet.outline_json import outline_data, outline_of


def read_again(given: Outline) -> Outline:
    return outline_of(PACKET_RECORD.of(packet_data(teach_back=outline_data(given))))


def test_what_is_written_is_read_back_the_same() -> None:
    given = outline()
    back = read_again(given)
    assert outline_data(back) == outline_data(given)
    assert back.items == given.items
    assert back.learners == given.learners
    speech, same = back.speeches["en"], given.speeches["en"]
    assert speech.asks == same.asks
    assert speech.again == same.again
    for identity, statement in same.statements.items():
        assert speech.statements[identity].words == statement.words
        assert speech.statements[identity].block == statement.block


def test_every_question_and_skill_of_the_packet_is_an_item() -> None:
    given = outline()
    prompts = {prompt.id for module in library().modules for prompt in module.teach_back}
    skills = {skill.id for module in library().modules for skill in module.show_back}
    assert {item.id for item in given.items if item.kind == TELL} <= prompts
    assert {item.id for item in given.items if item.kind == SHOW} <= skills
    for item in given.items:
        assert all(point in given.speeches["en"].statements for point in item.points)


def test_danger_signs_are_those_of_page_one() -> None:
    danger = outline().danger
    assert "getting-help.now.out" in danger["now"]
    assert set(danger) == {"now", "us", "today"}
    assert all(ids for ids in danger.values())


def test_skills_are_asked_of_those_who_give_care() -> None:
    given = outline()
    for item in given.items:
        taken = [learner.name for _, learner in given.takers(item)]
        both = ["Marguerite Okafor", "Ifeoma Okafor"]
        assert taken == (both if item.kind == TELL else ["Ifeoma Okafor"])


def test_every_field_has_one_name_and_every_step_a_tick() -> None:
    given = outline()
    fields = fields_of(given)
    skill = next(item for item in given.items if item.kind == SHOW and item.critical)
    steps = [name for name in fields if name.startswith(skill.id.replace(".", "/") + "/1/step-")]
    assert len(steps) == len(skill.points) > 0
    assert all(fields[name].kind == TICK for name in steps)
    tries = [name for name in fields if name.endswith("/code")]
    asked = sum(len(given.takers(item)) for item in given.items)
    assert len(tries) == asked * policy().count("tries_before_plan")


def test_a_skill_that_is_not_critical_has_no_tick() -> None:
    given = outline()
    (skill, *_) = [item for item in given.items if item.kind == SHOW and not item.critical]
    assert skill.ticked == ()
    assert not [
        n for n in fields_of(given) if n.startswith(skill.id.replace(".", "/")) and "step" in n
    ]


def test_rows_are_critical_questions_then_skills_then_other_questions() -> None:
    kinds = [(item.kind, item.critical) for item in outline().items]
    order = [(TELL, True), (SHOW, True), (SHOW, False), (TELL, False)]
    assert [kind for kind in dict.fromkeys(kinds)] == order
    assert kinds == sorted(kinds, key=order.index)


def test_a_sheet_of_an_earlier_form_says_so() -> None:
    assert read_again(replace(outline(), form=1)).form == 1
