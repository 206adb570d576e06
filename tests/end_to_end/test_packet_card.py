"""The tube card: one page, large, the handout's own words, and true about where the rest stands."""

from __future__ import annotations

import re
from datetime import datetime

import page as validator
import pytest
from packets import Packet, context_of, decision_from, packet_with, settled_text
from pdf_reading import pages, sheets, squeezed, tag_tree
from plainleaf.packet.papers.card import make_card
from test_packet_print import LARGE_PRINT, UNPRINTABLE, furniture

from plainleaf.packet.papers import make_handout

TUBE_OUT = re.compile(r"problems\.out-(new|bowel|healed|trained)\.")
MEDICINES = [
    {"name": f"medicine number {n}", "form": "liquid", "dose": "5 mL", "through": "gastric",
     "times": [f"{n + 6:02}:{15 * (n % 4):02}"]}
    for n in range(15)
]  # fmt: skip


def card(packet: Packet) -> bytes:
    return packet.files["card.pdf"]


def text(packet: Packet) -> str:
    (only,) = pages(card(packet))
    return only


@pytest.fixture(scope="session")
def crowded() -> Packet:
    """A day that no single page of large print can hold."""
    changes = {"medicines": MEDICINES}
    return packet_with(settled_text(changes, "g-balloon-syringe"), "crowded")


def test_it_is_one_page_of_large_print(packet: Packet) -> None:
    (sheet,) = sheets(card(packet))
    assert min(letter.size for letter in sheet.letters) >= LARGE_PRINT - 0.01
    for letter in sheet.letters:
        assert letter.left >= UNPRINTABLE and letter.right <= sheet.width - UNPRINTABLE
        assert letter.top >= UNPRINTABLE and letter.bottom <= sheet.height - UNPRINTABLE


def test_the_validator_finds_no_fault_of_pdf_ua(packet: Packet) -> None:
    report = validator.validate_pdf_bytes(card(packet), profile="ua1")
    assert [str(failure) for failure in report.failures] == []
    assert report.is_compliant


def test_it_says_whose_it_is_and_which_version(packet: Packet) -> None:
    for part in furniture(packet):
        assert squeezed(part) in text(packet)


def test_all_phones_of_the_first_page_are_on_it(packet: Packet) -> None:
    contacts = packet.source["contacts"]
    for name in ("emergency", "clinic", "after_hours"):
        assert squeezed(contacts[name]["phone"]) in text(packet)


def test_a_tube_that_comes_out_has_the_words_of_the_handout(packet: Packet) -> None:
    says = {s["id"]: s["says"] for s in packet.record["statements"] if TUBE_OUT.match(s["id"])}
    assert len({identity.split(".")[1] for identity in says}) == 1
    found = [identity for identity, words in says.items() if squeezed(words) in text(packet)]
    acts = {
        (advice.act, advice.stance)
        for module in packet.decision.library.modules
        for _, statement in module.statements()
        if statement.id in found
        for advice in statement.advice
    }
    # Rows out-new, out-g-mature and out-gj-j of the facts: whom to reach, nothing fed, covered.
    assert ("stop-feed-tube-out", "do") in acts
    assert acts & {("go-to-emergency-tube-out", "do"), ("call-at-once-tube-out", "do")}
    assert {act for act, _ in acts} & {"put-tube-back"}


def test_the_tube_is_the_one_of_the_file(packet: Packet) -> None:
    tube = packet.source["tube"]
    for key in ("size", "mark_at_skin", "length", "balloon_fill"):
        if key in tube:
            assert squeezed(tube[key]) in text(packet)
    assert ("Balloonport" in text(packet)) is (tube["held_by"] == "balloon")


def test_every_feeding_stands_at_its_time(packet: Packet) -> None:
    for event in packet.record["schedule"]:
        fed = event["what"].startswith(("Feeding", "Start the pump", "New start"))
        if fed and event["amount_ml"] is not None:
            at = datetime.strptime(event["at"], "%H:%M")
            clock = {"12:00": "noon", "00:00": "midnight"}.get(
                event["at"], f"{at:%I}".lstrip("0") + (f":{at:%M}" if at.minute else "")
            )
            assert clock in text(packet)
            assert f"{event['amount_ml']:,}mL" in text(packet)


def _pages_named(packet: Packet) -> dict[str, int]:
    """Words after `More in the handout` → the page that they name."""
    _, _, rest = text(packet).partition("Moreinthehandout:")
    return {name: int(number) for name, number in re.findall(r"([A-Za-z]+):page(\d+)\.", rest)}


def _stands_on(packet: Packet, number: int, words: str) -> bool:
    return squeezed(words) in pages(packet.handout)[number - 1]


def test_the_pages_that_it_names_hold_what_it_says(packet: Packet) -> None:
    named = _pages_named(packet)
    assert _stands_on(packet, named["Atubethatcomesout"], "The tube comes out")
    if packet.source["medicines"]:
        first = packet.source["medicines"][0]["name"]
        number = named["Medicinesandhowmuchofeach"]
        assert any(_stands_on(packet, n, first) for n in (number, number + 1))


def test_what_does_not_fit_is_named_and_print_stays_large(crowded: Packet) -> None:
    (sheet,) = sheets(card(crowded))
    assert min(letter.size for letter in sheet.letters) >= LARGE_PRINT - 0.01
    named = _pages_named(crowded)
    left_out = [m["name"] for m in MEDICINES if squeezed(m["name"]) not in text(crowded)]
    assert left_out
    begins = [n for n, page in enumerate(pages(crowded.handout), 1) if "Dotheseinorder" in page]
    assert named["Thewholedaybytheclock"] == begins[0]
    assert "Medicinesandhowmuchofeach" in named
    # Feedings and the tube that comes out are the last to go.
    assert "Feedingbysyringe,355mL" in text(crowded)
    assert "Thetubeisout." in text(crowded)


def test_its_headings_begin_with_one_title(packet: Packet) -> None:
    kinds = [tag.kind for tag in tag_tree(card(packet)).every() if tag.kind.startswith("/H")]
    assert kinds[0] == "/H1" and kinds.count("/H1") == 1


@pytest.mark.parametrize("language", ["es", "ar"])
@pytest.mark.parametrize("base", ["g-balloon-syringe", "j-surgical-continuous"])
def test_no_word_or_number_is_torn_in_a_narrow_cell(
    base: str, language: str, fonts: object
) -> None:
    """Times and amounts in a cell keep their words whole: no `2,0` above `40 mL`."""
    decision = decision_from(settled_text(base=base), language)
    context = context_of(decision)
    context = context.with_paper("handout.pdf", make_handout(context, language))
    paper = make_card(context, language)
    assert paper.faults(paper.laid.pdf()) == []
