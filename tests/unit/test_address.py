"""Variants of a message for her or for him: which one prints, and that none is lost."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from builders import patient_with

from plainleaf.authoring.translation.messages import English, variants_of
from plainleaf.authoring.translation.pofile import read_po_file
from plainleaf.authoring.translation.status import rows
from plainleaf.authoring.translation.update import updated
from plainleaf.compose.word.packet import reader_address
from plainleaf.inputs.catalog import Catalog, Message, load_catalog, variant_of
from plainleaf.vocabulary.errors import LocaleError

ENGLISH = ("You are ready.",)


def catalog(*ids: str) -> Catalog:
    return Catalog("es", {name: Message(ENGLISH, (f"<{name}>",), "es/a.po", 1) for name in ids})


EVERY = ("a.b", "a.b@patient-her", "a.b@reader-him", "a.b@patient-her@reader-him")


@pytest.mark.parametrize(
    ("patient", "reader", "ids", "printed"),
    [
        (None, None, EVERY, "a.b"),
        ("neutral", "neutral", EVERY, "a.b"),
        ("her", None, EVERY, "a.b@patient-her"),
        ("her", "him", EVERY, "a.b@patient-her@reader-him"),
        ("her", "him", EVERY[:3], "a.b@patient-her"),
        ("her", "her", EVERY, "a.b@patient-her"),
        ("him", "him", EVERY, "a.b@reader-him"),
        ("him", "her", EVERY, "a.b"),
        ("her", "him", ("a.b",), "a.b"),
    ],
)
def test_the_closest_variant_prints(
    patient: str | None, reader: str | None, ids: tuple[str, ...], printed: str
) -> None:
    assert catalog(*ids).addressed(patient, reader).text("a.b", *ENGLISH) == f"<{printed}>"


def test_english_has_no_variant() -> None:
    assert Catalog("en", {}).addressed("her", "him").text("a.b", *ENGLISH) == ENGLISH[0]


def test_a_variant_of_an_older_english_stops() -> None:
    old = Message(("You were ready.",), ("x",), "es/a.po", 1)
    made = replace(catalog("a.b"), messages={**catalog("a.b").messages, "a.b@patient-her": old})
    with pytest.raises(LocaleError, match="translated from another English text"):
        made.addressed("her", None).text("a.b", *ENGLISH)


@pytest.mark.parametrize(
    ("identity", "message"),
    [
        ("a.b@patient-him", "a.b"), ("phrase:x@reader-her", "phrase:x"), ("a.b", None),
        ("a.b@patient-her@reader-him", "a.b"), ("a.b@reader-him@patient-her", None),
        ("a.b@patient-neutral", None), ("a.b@her", None),
    ],
)  # fmt: skip
def test_what_is_a_variant(identity: str, message: str | None) -> None:
    assert variant_of(identity) == message


@pytest.mark.parametrize(
    ("addresses", "reader"),
    [(("her", "her"), "her"), (("her", "him"), None), (("her", None), None), ((None, None), None)],
)
def test_readers_who_are_not_alike_are_addressed_as_neither(
    addresses: tuple[str | None, ...], reader: str | None
) -> None:
    first = patient_with().learners[0]
    learners = tuple(
        replace(first, name=f"L{n}", language="ar", address=how) for n, how in enumerate(addresses)
    )
    other = replace(first, name="O", language="en", address="him")
    patient = replace(patient_with(), learners=(*learners, other))
    assert reader_address(patient, "ar", ("en", "es", "ar")) == reader


PO = """msgid ""
msgstr ""
"Content-Type: text/plain; charset=utf-8\\n"

msgctxt "a.b"
msgid "You are ready."
msgstr "Ya."

msgctxt "a.b@patient-her"
msgid "You are ready."
msgstr "Está lista."
"""


def test_a_variant_is_kept_and_marked_when_the_english_changes(tmp_path: Path) -> None:
    (tmp_path / "es").mkdir()
    (tmp_path / "es" / "a.po").write_text(PO, encoding="utf-8")
    same = {"a": (English("a.b", ENGLISH, "a.yaml", 1, ()),)}
    kept = updated(same, tmp_path, "es")["a.po"]
    assert kept.count("Está lista.") == 1
    assert "#~" not in kept
    changed = {"a": (English("a.b", ("You are set.",), "a.yaml", 1, ()),)}
    (tmp_path / "es" / "a.po").write_text(updated(changed, tmp_path, "es")["a.po"], "utf-8")
    entries = {e.id: e for e in read_po_file(tmp_path / "es" / "a.po", "a.po").entries}
    assert entries["a.b@patient-her"].fuzzy
    (row,) = rows(changed, tmp_path, "es")
    assert row.states == {"a.b": "fuzzy", "a.b@patient-her": "fuzzy"}


def test_a_variant_is_read_from_the_catalog(tmp_path: Path) -> None:
    (tmp_path / "es").mkdir()
    (tmp_path / "es" / "a.po").write_text(PO, encoding="utf-8")
    read = load_catalog(tmp_path, "es").addressed("her", None)
    assert read.text("a.b", *ENGLISH) == "Está lista."


def test_variants_belong_to_their_message() -> None:
    message = English("a.b", ENGLISH, "a.yaml", 1, ())
    found = variants_of(message, ["a.b", "a.b@reader-her", "a.bc@reader-her"])
    assert [one.id for one in found] == ["a.b@reader-her"]
