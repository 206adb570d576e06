"""The proof of the words: each gate passes what is right and fails what is wrong."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path

import pytest
from builders import ROOT, library
from packets import decision_from, settled_text
from word_patients import BASES

from plainleaf.authoring.proofread import worded
from plainleaf.authoring.readability import Printed, WordProof, prove_words
from plainleaf.authoring.readability.cdc import cdc, cdc_remarks
from plainleaf.authoring.readability.evidence import (
    ORDER,
    evidence,
    evidence_remarks,
    standing,
)
from plainleaf.authoring.readability.formulas import NoFormulaError
from plainleaf.authoring.readability.glossary import (
    Glossary,
    OneWord,
    Term,
    first_uses,
    load_glossary,
    term_remarks,
    uses,
)
from plainleaf.authoring.readability.packet_view import Look, command, passive
from plainleaf.authoring.readability.pemat import A, U, pemat, pemat_remarks
from plainleaf.authoring.readability.print_rules import print_remarks
from plainleaf.authoring.readability.reading_level import level_remarks, packet_level
from plainleaf.compose.word import (
    Run,
    WordedBlock,
    WordedModule,
    WordedPacket,
    WordedPage,
    WordedPrompt,
    WordedSection,
    WordedStatement,
    Words,
)
from plainleaf.vocabulary.errors import ContentError

NBSP = "\u00a0"


def words(text: str, *rest: tuple[str, str]) -> Words:
    """A text, then (text, kind) of further runs."""
    return Words((Run(text), *(Run(t, kind) for t, kind in rest)))


def said(identity: str, kind: str, text: str) -> WordedStatement:
    return WordedStatement(identity, kind, words(text), None, ("practice",))


def table(identity: str, name: str, head: Sequence[str], rows: Sequence[Words]) -> WordedStatement:
    cells = tuple(((row,),) for row in rows)
    looks = "contacts" if name == "contacts_box" else "table"
    block = WordedBlock(name, looks, tuple(words(h) for h in head), cells)
    return WordedStatement(identity, "block", None, block, ("practice",))


def section(identity: str, *statements: WordedStatement, level: str | None = None) -> WordedSection:
    return WordedSection(identity, words("When to call"), level, statements)


def module(identity: str, *sections: WordedSection) -> WordedModule:
    return WordedModule(identity, words("Water for your tube"), sections, (), ())


PHONES = [words("", (f"+1{NBSP}555{NBSP}010{NBSP}014{n}", "phone")) for n in range(3)]
HELP = module(
    "help",
    section(
        "help.now",
        said("help.now.do", "say", "Stop. Call us."),
        said("help.now.bleed", "call_now", "Heavy bleeding."),
        level="now",
    ),
    section(
        "help.phones",
        said("help.phones.use", "say", "Keep this page near you."),
        table("help.phones.box", "contacts_box", ("Whom", "Phone"), PHONES),
    ),
)
WATER = module(
    "water",
    section(
        "water.how",
        said("water.how.wash", "step", "Wash your hands."),
        said("water.how.push", "step", "Push the water in."),
        said("water.how.hard", "warn", "Do not push hard. It can split the tube."),
    ),
    section(
        "water.log",
        said("water.log.use", "say", "Write down each time."),
        table("water.log.table", "day_log", ("Time", "Done"), [words("6 am")]),
    ),
)


def printed(*modules: WordedModule, language: str = "en", **more: object) -> Printed:
    taught = modules or (HELP, WATER)
    pages = tuple(
        WordedPage(topic.id, "daily", number, topic.title, topic.sections)
        for number, topic in enumerate(taught, start=1)
    )
    packet = WordedPacket(language, "ltr", taught, pages)
    return Printed("small", packet, **more)  # type: ignore[arg-type]


def look(*modules: WordedModule, html: str = "") -> Look:
    return Look(printed(*modules, html=html), ())


def with_statement(statement: WordedStatement) -> tuple[WordedModule, ...]:
    """The small packet with one statement more."""
    how = WATER.sections[0]
    changed = replace(how, statements=(*how.statements, statement))
    return HELP, replace(WATER, sections=(changed, *WATER.sections[1:]))


def _anchors(*modules: WordedModule) -> dict[str, str]:
    """Everything on page 1."""
    return {s.id: "1" for m in modules for part in m.sections for s in part.statements}


# --- reading level ------------------------------------------------------------------------------

HARD = (
    "Subsequent administration of pharmaceutical preparations necessitates considerable "
    "familiarity with gastrointestinal physiology and institutional recommendations"
)


def test_an_easy_page_passes() -> None:
    level = packet_level(printed(pages={}))
    assert not level_remarks(level)
    assert level.whole.grade < 3


def test_a_hard_page_is_named() -> None:
    modules = with_statement(said("water.how.hard-words", "say", HARD))
    anchors = {**_anchors(*modules), "water.how.hard-words": "7"}
    (remark,) = level_remarks(packet_level(printed(*modules, pages=anchors)))
    assert (remark.level, remark.where) == ("fault", "page 7")
    assert "SMOG" in remark.says and "estimate, 1 sentence" in remark.says


def test_a_hard_page_is_named_without_a_layout_too() -> None:
    hard = module("hard", section("hard.one", said("hard.one.a", "say", HARD)))
    (remark,) = level_remarks(packet_level(printed(hard)))
    assert remark.level == "fault"
    assert "hard.one" in remark.where


def test_what_is_left_out_is_listed() -> None:
    level = packet_level(printed())
    assert level.left_out == {"headings": 4, "table cells": 4, "table heads": 2, "titles": 2}


def test_phones_and_dates_inside_a_sentence_do_not_count() -> None:
    plain = said("a.b.c", "say", "Call now.")
    merged = replace(plain, words=words("Call now ", (f"Friday, March{NBSP}6", "date"), (".", "")))
    levels = [packet_level(printed(module("a", section("a.b", s)))) for s in (plain, merged)]
    assert levels[0].whole.raw == levels[1].whole.raw
    assert levels[1].left_out["date"] == 1


def test_raw_and_explained_are_both_shown() -> None:
    term = said("a.b.c", "say", "The gastrostomy ends here.")
    easy = frozenset({("gastrostomy",)})
    level = packet_level(printed(module("a", section("a.b", term))), easy)
    assert level.whole.grade > level.whole.grade_explained
    assert "raw" in str(level.whole) and "explained" in str(level.whole)


def test_another_language_gets_no_grade() -> None:
    with pytest.raises(NoFormulaError, match="no validated grade formula for 'so'"):
        packet_level(printed(language="so"))
    report = prove_words(library(), [printed(), printed(language="so")]).report()
    assert "small (so): hardest" in report
    assert "no validated formula (of 1 packets)" in report


# --- print rules --------------------------------------------------------------------------------


def test_a_violation_is_listed_with_its_statement() -> None:
    remarks = print_remarks(printed(*with_statement(said("water.how.bad", "step", "Give 60 cc."))))
    assert [(r.level, r.rule, r.where) for r in remarks] == [("fault", "DS-03", "water.how.bad")]


def test_tables_headings_and_questions_are_looked_at_too() -> None:
    prompt = WordedPrompt("water.tb.a", words("How much? 1.0 tablet"), (), words("Take 1/2."), True)
    bad = replace(
        WATER, title=words("Water > all"), prompts=(prompt,),
        sections=(section("water.t", table("water.t.a", "day_log", ("PRN",), [words("18:00")])),),
    )  # fmt: skip
    found = {(r.rule, r.where) for r in print_remarks(printed(HELP, bad))}
    assert found == {
        ("DS-13", "water"), ("DS-09", "water.t.a"), ("DS-18", "water.t.a"),
        ("DS-01", "water.tb.a"), ("DS-11", "water.tb.a"), ("DS-13", "water.tb.a"),
        ("DS-17", "water.tb.a"),
    }  # fmt: skip


def test_print_rules_hold_in_every_language() -> None:
    bad = said("water.how.bad", "step", "Dé 60 ml.")
    remarks = print_remarks(printed(*with_statement(bad), language="es"))
    assert [r.rule for r in remarks] == ["DS-03"]


# --- glossary -----------------------------------------------------------------------------------

OPENING = Term("opening", ("opening", "openings"), "the hole in the skin", (), ())
PORT = Term("port", ("port",), "where you connect", (), ("balloon port",))


def _firsts(*texts: str, term: Term = OPENING) -> list[bool]:
    statements = [said(f"a.b.s{n}", "say", text) for n, text in enumerate(texts)]
    packet = printed(module("a", section("a.b", *statements)))
    return [use.explained for use in first_uses(packet, Glossary((term,), ()))]


def test_a_term_is_explained_where_any_page_says_what_it_is() -> None:
    assert _firsts("Clean the opening, the hole in the skin.", "Dry the opening.") == [True]
    assert _firsts("Clean the opening.", "It is the hole in the skin.") == [True]
    assert _firsts("Clean the opening.", "It is a hole.") == [False]
    assert _firsts("Nothing here.") == []


def test_an_everyday_word_needs_no_explaining() -> None:
    assert _firsts("Clean the opening.", term=replace(OPENING, means=None)) == []


def test_an_excepted_phrase_is_no_use() -> None:
    assert _firsts("Open the balloon port.", term=PORT) == []
    assert _firsts("Open the port.", term=PORT) == [False]
    assert uses("The Port is here; balloon port.", ("port",), ("balloon port",)) == ("Port",)


def test_a_second_word_for_a_thing_is_a_fault() -> None:
    glossary = Glossary((), (OneWord("opening", ("stoma", "site"), ("site of work",)),))
    packet = printed(*with_statement(said("water.how.bad", "say", "Dry the Stoma.")))
    (remark,) = term_remarks(packet, glossary, [])
    assert (remark.rule, remark.where) == ("one-word", "water.how.bad")
    fine = printed(*with_statement(said("water.how.ok", "say", "Go to the site of work.")))
    assert not term_remarks(fine, glossary, [])


def test_words_of_the_patient_file_may_be_any() -> None:
    own = replace(said("a.b.c", "say", ""), words=words("See ", ("the Stoma Clinic", "text")))
    glossary = Glossary((), (OneWord("opening", ("stoma",), ()),))
    assert not term_remarks(printed(module("a", section("a.b", own))), glossary, [])


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("terms: [{id: a, words: [a]}]", "means"),
        ("terms: [{id: a, words: [a], means: b, extra: c}]", "extra"),
        ("terms: []", "empty"),
        ("one_word: []", "terms is missing"),
    ],
)
def test_a_faulty_glossary_does_not_load(tmp_path: Path, text: str, says: str) -> None:
    (tmp_path / "glossary.yaml").write_text(text, encoding="utf-8")
    with pytest.raises(ContentError, match=says):
        load_glossary(tmp_path)


# --- checklists ---------------------------------------------------------------------------------

GOOD_HTML = '<p class="flagged badge-never" id="water.how.hard">'


def test_the_small_packet_fails_nothing_but_the_picture() -> None:
    small = look(html=GOOD_HTML)
    assert pemat_remarks(pemat(small), "small") == []
    assert [r.rule for r in cdc_remarks(cdc(small), "small")] == ["CC-04"]
    assert pemat(small).score(U) == pemat(small).score(A) == 100.0


def _title(text: str) -> Callable[[], Look]:
    return lambda: look(HELP, replace(WATER, title=words(text)))


def _heading(text: str) -> Callable[[], Look]:
    bad = replace(WATER.sections[0], heading=words(text))
    return lambda: look(HELP, replace(WATER, sections=(bad, *WATER.sections[1:])))


def _more(kind: str, *texts: str) -> Callable[[], Look]:
    how = WATER.sections[0]
    more = tuple(said(f"water.how.x{n}", kind, text) for n, text in enumerate(texts))
    changed = replace(how, statements=(*how.statements, *more))
    return lambda: look(HELP, replace(WATER, sections=(changed, *WATER.sections[1:])))


def _log(head: Sequence[str], *, how: bool = True, name: str = "day_log") -> Callable[[], Look]:
    use = (said("water.log.use", "say", "Write it down."),) if how else ()
    log = section("water.log", *use, table("water.log.table", name, head, [words("6 am")]))
    return lambda: look(HELP, replace(WATER, sections=(WATER.sections[0], log)))


PEMAT_FAULTS: list[tuple[str, Callable[[], Look]]] = [
    ("PM-01", _title("Your care")),
    ("PM-05", _more("say", *["The tube is flushed by you."] * 9)),
    ("PM-06", _more("say", "Give 10 % of it.")),
    ("PM-07", _more("step", "Divide the amount by two.")),
    ("PM-08", _more("point", *["A bag."] * 8)),
    ("PM-08", _more("say", " ".join(["Rest."] * 151))),
    ("PM-09", _heading("General")),
    ("PM-11", lambda: look(replace(HELP, sections=HELP.sections[1:]), WATER)),
    ("PM-12", lambda: look(html="<p>no badge</p>")),
    ("PM-19", _log(("Time", "What", "Port", "Done", "Notes"))),
    ("PM-19", _log(("Time", "What is to be done now"))),
    ("PM-20", lambda: look(HELP)),
    ("PM-21", _more("step", "The water.")),
    ("PM-22", _more("step", "Sit up. Open it. Push it. Close it.")),
    ("PM-23", _log(("Time", "Done"), name="visits_table")),
    ("PM-25", _log(("Time", "Done"), how=False)),
]


@pytest.mark.parametrize(("item", "make"), PEMAT_FAULTS, ids=[item for item, _ in PEMAT_FAULTS])
def test_each_automatic_item_of_pemat_can_fail(item: str, make: Callable[[], Look]) -> None:
    assert item in {remark.rule for remark in pemat_remarks(pemat(make()), "small")}


def _main(*statements: WordedStatement, level: str | None = "now") -> Callable[[], Look]:
    first = section("help.now", *statements, level=level)
    return lambda: look(replace(HELP, sections=(first, HELP.sections[1])), WATER)


CALL = said("help.now.bleed", "call_now", "Heavy bleeding.")
SAY = said("help.now.do", "say", "Stop. Call us.")
CDC_FAULTS: list[tuple[str, Callable[[], Look]]] = [
    ("CC-01", _main(CALL)),
    ("CC-01", _main(SAY, replace(SAY, id="help.now.two"), CALL)),
    ("CC-02", _main(CALL, SAY)),
    ("CC-03", _main(SAY, CALL, level=None)),
    ("CC-05", lambda: look(HELP)),
    ("CC-06", _main(replace(SAY, words=words("The tube must be closed.")), CALL)),
    ("CC-08", _more("point", *["A bag."] * 8)),
    ("CC-09", _more("say", " ".join(["Rest."] * 151))),
    ("CC-10", _main(SAY)),
    ("CC-13", _more("warn", "Do not push.")),
    ("CC-14", lambda: look(replace(HELP, sections=HELP.sections[:1]), WATER)),
    ("CC-17", _more("step", "Subtract the first from the second.")),
    ("CC-18", _more("warn", "Do not push.")),
    ("CC-20", _more("say", "It goes wrong in 1 in 20 people.")),
]


@pytest.mark.parametrize(("item", "make"), CDC_FAULTS, ids=[item for item, _ in CDC_FAULTS])
def test_each_automatic_item_of_the_index_can_fail(item: str, make: Callable[[], Look]) -> None:
    assert item in {remark.rule for remark in cdc_remarks(cdc(make()), "small")}


def test_an_unexplained_short_form_fails_the_index() -> None:
    rating = cdc(_more("say", "The NPO rule.")())
    assert {i.id: r.verdict for i, r in rating.results.items()}["CC-07"] == "disagree"


def test_without_a_main_message_its_items_are_lost() -> None:
    verdicts = {i.id: r.verdict for i, r in cdc(_main(CALL)()).results.items()}
    assert [verdicts[f"CC-0{n}"] for n in (1, 2, 3, 4)] == ["disagree"] * 4


def test_the_report_says_that_it_is_an_aid_and_what_needs_a_person() -> None:
    anchors = _anchors(HELP, WATER)
    proof = WordProof(library(), Glossary((), ()))
    proof.add(printed(pages=anchors))
    report = proof.report(items=True)
    assert "not an official rating" in report
    assert "PM-02 nothing pulls away from the purpose: a person 1" in report
    assert "PEMAT-P understandability 100.0, actionability 100.0" in report


@pytest.mark.parametrize(
    ("text", "is_command"),
    [
        ("Wash your hands.", True),
        ("At night, close the clamp.", True),
        ("Then push.", True),
        ("Do not push.", True),
        ("Your hands.", False),
        ("Hot water.", False),
    ],
)
def test_commands(text: str, is_command: bool) -> None:
    assert command(text) is is_command


def test_a_state_is_no_passive() -> None:
    assert passive("The tube was pulled by a child.")
    assert not passive("The tube is clogged.")
    assert not passive("Feeding is hard work.")


# --- sources ------------------------------------------------------------------------------------


def test_a_statement_stands_as_well_as_its_best_published_source() -> None:
    place = library().modules[0]
    one = place.sections[0].statements[0]

    def best(*sources: str) -> str:
        return standing(place, replace(one, sources=sources), library()).best

    facts = library().claims
    named = {
        status: next((n for n, f in facts.items() if f.status == status), "") for status in ORDER
    }
    assert best(named["memory"], named["seen"]) == "seen"
    assert best(named["memory"], "practice") == "memory"
    assert best("patient-file", named["memory"]) == "memory"
    assert best("patient-file") == "policy"
    assert best("policy.fever") == "policy"


def test_what_a_clinician_looks_at_first_is_advice_and_calls_on_weak_ground() -> None:
    every = [statement.id for module in library().modules for _, statement in module.statements()]
    looks = evidence(library(), dict.fromkeys(every, 1)).first_looks()
    assert looks
    assert all(look.best in ("memory", "common-practice") and look.acts for look in looks)
    assert [look.urgency for look in looks] == sorted(look.urgency for look in looks)
    assert looks[0].statement.kind == "call_now"


def test_a_printed_statement_without_a_source_is_a_fault() -> None:
    first = library().modules[0]
    bare = replace(first.sections[0].statements[0], sources=())
    sections = (replace(first.sections[0], statements=(bare,)), *first.sections[1:])
    changed = replace(library(), modules=(replace(first, sections=sections),))
    (remark,) = evidence_remarks(evidence(changed, {bare.id: 1}))
    assert remark.level == "fault"


# --- the shipped content ------------------------------------------------------------------------


@pytest.mark.parametrize("base", BASES)
def test_the_words_of_the_examples_hold(base: str) -> None:
    proof = prove_words(library(), [worded(decision_from(settled_text(base=base)), base)])
    assert [str(remark) for remark in proof.faults] == []


def test_one_word_of_the_content_changed_is_caught() -> None:
    """Mutations of the shipped packet: each is caught by the rule that is there for it."""
    decision = decision_from(settled_text())
    good = worded(decision, "good")
    glossary = load_glossary(ROOT / "teaching")
    for wrong, right, rule in (
        ("stoma", "opening", "one-word"),
        ("a powder", "a medicine that loosens stool", "PM-04"),
        (f"1.0{NBSP}cm", f"1{NBSP}cm", "DS-01"),
        ("60 mL", f"60{NBSP}mL", "DS-05"),
    ):
        changed = _replaced(good, right, wrong)
        assert changed != good, right
        proof = WordProof(library(), glossary)
        proof.add(changed)
        assert rule in {remark.rule for remark in proof.faults}, rule


def _replaced(packet: Printed, old: str, new: str) -> Printed:
    def runs(text: Words) -> Words:
        return Words(tuple(replace(run, text=run.text.replace(old, new)) for run in text.runs))

    def statement(one: WordedStatement) -> WordedStatement:
        return replace(one, words=runs(one.words) if one.words else None)

    pages = tuple(
        replace(
            page,
            sections=tuple(
                replace(s, statements=tuple(statement(st) for st in s.statements))
                for s in page.sections
            ),
        )
        for page in packet.packet.pages
    )
    return replace(packet, packet=replace(packet.packet, pages=pages))
