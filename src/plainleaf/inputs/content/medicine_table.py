"""Reads the table of medicines: what each may be called, and what is known of it by tube."""

from __future__ import annotations

from collections.abc import Mapping

from plainleaf.inputs.content.loader import Loader, strings_at
from plainleaf.inputs.content.medicine_parts import (
    NO_MEDICINES,
    ROW_KINDS,
    MedicineLists,
    MedicineRow,
    Substance,
    WordEntry,
)
from plainleaf.inputs.strict_yaml import Reader
from plainleaf.vocabulary import terms
from plainleaf.vocabulary.doses import read_dose
from plainleaf.vocabulary.quantities import Quantity, read_quantity

# Units of an amount of a liquid or of what is in it.
_PER = ("mL", "mg")


def read_medicine_lists(loader: Loader) -> MedicineLists:
    """The word lists and the table of medicines."""
    words = _read_words(loader)
    reader = loader.open("rules/medicines.yaml")
    if reader is None:
        return NO_MEDICINES
    salts, besides = reader.child("salts"), reader.child("besides")
    lists = MedicineLists(
        words,
        tuple(_substance(each) for each in reader.children("substances", required=True)),
        _lists_in(salts),
        tuple(word for words_ in _lists_in(besides).values() for word in words_),
    )
    _note_names_twice(reader, lists)
    reader.close()
    return lists


def _lists_in(reader: Reader | None) -> Mapping[str, tuple[str, ...]]:
    return {} if reader is None else {key: strings_at(reader, key) for key in reader.mapping}


def _substance(reader: Reader) -> Substance:
    substance = Substance(
        reader.text("name", required=True) or "",
        strings_at(reader, "also"),
        reader.text("group", required=True) or "",
        tuple(_row(each) for each in reader.children("rows")),
    )
    reader.close()
    return substance


def _row(reader: Reader) -> MedicineRow:
    def amount(key: str, kind: str) -> Quantity | None:
        return reader.convert(key, lambda text: read_quantity(text, kind))

    row = MedicineRow(
        kind=reader.choice("kind", ROW_KINDS, required=True) or "known",
        says=reader.text("says", required=True) or "",
        sources=strings_at(reader, "source", required=True),
        status=reader.choice("status", terms.SOURCE_STATUSES, required=True) or "memory",
        forms=strings_at(reader, "forms"),
        unless=strings_at(reader, "unless"),
        only=strings_at(reader, "only"),
        after_feed=amount("after_feed", "time span"),
        before_feed=amount("before_feed", "time span"),
        water=amount("water", "volume"),
        least_fr=amount("least_fr", "tube size"),
        grams=amount("grams", "weight"),
        per=reader.convert("per", lambda text: read_dose(text, _PER)),
        a_day=amount("a_day", "weight"),
    )
    reader.close()
    return row


def _note_names_twice(reader: Reader, lists: MedicineLists) -> None:
    """A name of two medicines would be read as either."""
    owner: dict[str, str] = {}
    for substance in lists.substances:
        for name in (substance.name, *substance.also):
            other = owner.setdefault(name.casefold(), substance.name)
            if other != substance.name:
                reader.note(reader.node, f"'{name}' is a name of {other} and {substance.name}.")


def _read_words(loader: Loader) -> Mapping[str, tuple[WordEntry, ...]]:
    """The word lists, by name."""
    reader = loader.open("rules/medicine-words.yaml")
    if reader is None:
        return {}
    return {key: tuple(_word_entry(r) for r in reader.children(key)) for key in reader.mapping}


def _word_entry(reader: Reader) -> WordEntry:
    entry = WordEntry(
        match=reader.text("match", required=True) or "",
        kind=reader.choice("kind", ("word", "suffix"), required=True) or "word",
        why=reader.text("why", required=True) or "",
        sources=strings_at(reader, "source", required=True),
        status=reader.choice("status", terms.SOURCE_STATUSES, required=True) or "memory",
        unless=(*strings_at(reader, "unless"), *strings_at(reader, "except")),
        only_forms=strings_at(reader, "only_forms"),
        side=reader.text("side"),
        what=reader.text("what"),
        who_settles=reader.text("who_settles"),
        level=reader.text("level"),
    )
    reader.close()
    return entry
