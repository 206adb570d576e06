"""Orders in words: on their topic's page, each in the language of the page."""

from __future__ import annotations

from dataclasses import replace

import pytest
from builders import library, patient_with
from packets import decision_from, settled_text

from plainleaf.compose.fill import fill
from plainleaf.compose.fill.ordered_words import ordered_section
from plainleaf.compose.word import Wording, word
from plainleaf.facts.derived import TextByLanguage, Typed
from plainleaf.inputs.catalog import Catalog
from plainleaf.inputs.patient.order_values import WordedOrder
from plainleaf.vocabulary.words_2 import TOPICS

SAY = {"en": "Keep the bed low.", "es": "Mantenga la cama baja."}
WORDS = Wording(library(), Catalog("en", {}))


def orders(*topics: str) -> tuple[WordedOrder, ...]:
    return tuple(WordedOrder(topic, None, None, SAY) for topic in topics)


@pytest.mark.parametrize("topic", TOPICS)
def test_each_topic_takes_its_order_and_no_other(topic: str) -> None:
    patient = replace(patient_with(), orders=orders(topic))
    found = {
        module: ordered_section(module, TOPICS, patient, library().phrases) for module in TOPICS
    }
    assert [name for name, sections in found.items() if sections] == [topic]
    (section,) = found[topic]
    assert section.heading.text == "Ordered for you"


def test_an_order_whose_page_is_not_printed_stands_with_living() -> None:
    patient = replace(patient_with(), orders=orders("first-days"))
    printed = [topic for topic in TOPICS if topic != "first-days"]
    (section,) = ordered_section("living", printed, patient, library().phrases)
    assert section.id == "living.orders"


@pytest.mark.parametrize(
    ("language", "text"), [("en", SAY["en"]), ("es", SAY["es"]), ("es-MX", SAY["es"])]
)
def test_each_reader_gets_the_own_words(language: str, text: str) -> None:
    assert TextByLanguage(tuple(SAY.items())).text(language) == text
    wording = Wording(library(), Catalog(language, {}))
    value = Typed("said", TextByLanguage(tuple(SAY.items())))
    assert wording.value(value).plain == text


def test_a_packet_prints_it_as_a_section_of_its_topic() -> None:
    decision = decision_from(settled_text(base="g-balloon-syringe"))
    patient = replace(decision.patient, orders=orders("medicines"))
    changed = replace(decision, inputs=replace(decision.inputs, patient=patient))
    packet = word(fill(changed), WORDS)
    (section,) = [s for m in packet.modules for s in m.sections if s.id.endswith(".orders")]
    assert section.id == "medicines.orders"
    block = section.statements[0].block
    assert block is not None
    assert [cell[0].plain for row in block.rows for cell in row] == [SAY["en"]]
