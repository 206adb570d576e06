"""Filled teach-back sheets for tests: what a nurse enters, and PDFs that hold it."""

from __future__ import annotations

import io
from collections.abc import Mapping
from functools import cache
from typing import Any

import pypdf
from builders import patient_with, policy
from packets import decision_from, settled_text, worded
from pypdf.generic import ArrayObject, NameObject, TextStringObject

from plainleaf.packet.sheet.form_fields import (
    SESSION_PARTS,
    SIGNATURE_PARTS,
    TICK,
    field_name,
    fields_of,
)
from plainleaf.packet.sheet.outline import (
    Outline,
    OutlineLearner,
    Signer,
    danger_of,
    items_asked,
    speech_of,
)
from plainleaf.printing.furniture import PageFurniture

Values = dict[str, str | bool]
# As a packet has one.
VERSION_OF_SHEET = "0123456789"


@cache
def sheet_outline() -> Outline:
    """What the sheet of an example asks, without building its packet."""
    base = "gj-pump-overnight"
    packet = worded(decision_from(settled_text(base=base)))
    patient = patient_with(base=base)
    learners = tuple(
        OutlineLearner(one.name, one.relation, one.language, "en", one.hands_on, one.phone)
        for one in patient.learners
    )
    return Outline(
        VERSION_OF_SHEET,
        patient.prepared_on,
        "en",
        18,
        policy().count("tries_before_plan"),
        False,
        learners,
        items_asked(packet, learners),
        ("readiness",),
        (Signer("sign.teacher", "Teacher"),),
        danger_of(packet),
        {"clinic": "1", "after_hours": "2", "emergency": "911"},
        {"en": speech_of(packet, PageFurniture("", "DRAFT", "Name, record 1", "Version v, en"))},
    )


def all_met(outline: Outline) -> Values:
    """Every item of every learner met at the first try, every step ticked."""
    values: Values = {}
    for item in outline.items:
        for number, _ in outline.takers(item):
            values[field_name(item.id, number, "try-1", "code")] = "1a"
            for step in item.ticked:
                values[field_name(item.id, number, f"step-{step}")] = True
    for number, _ in enumerate(outline.learners):
        values[field_name("learner", number, "present")] = True
    session = ("2026-03-05 10:30", "30", "Ana Peña, RN", "AP", "all")
    for part, text in zip(SESSION_PARTS, session, strict=True):
        values[field_name("session", "a", part)] = text
    signed = ("A. Peña", "Ana Peña, RN", "2026-03-05 15:30")
    for part, text in zip(SIGNATURE_PARTS, signed, strict=True):
        values[field_name("sign.teacher", part)] = text
    values["sign/discharge"] = "2026-03-05 16:00"
    return values


def open_line(line: int, row: int, learner: int, letter: str = "", words: str = "") -> Values:
    """A line of the open points; `learner` by the number on the sheet."""
    texts = {"row": str(row), "learner": str(learner), "letter": letter, "words": words}
    return {field_name("open", line, part): text for part, text in texts.items()}


def as_texts(values: Mapping[str, str | bool], outline: Outline) -> dict[str, str]:
    """The whole form as plain texts, blank where nothing was entered."""
    blank = {n: ("Off" if f.kind == TICK else "") for n, f in fields_of(outline).items()}
    entered = {n: v if isinstance(v, str) else "on" for n, v in values.items()}
    return {"packet/version": outline.version, **blank, **entered}


def field_objects(writer: Any) -> dict[str, Any]:
    """Field name → its object."""
    form = writer._root_object["/AcroForm"]
    return {str(ref.get_object()["/T"]): ref.get_object() for ref in form["/Fields"]}


def edited(data: bytes, change: Any) -> bytes:
    """A form after a change made to its field objects: `change(writer, fields)`."""
    writer = pypdf.PdfWriter(clone_from=io.BytesIO(data))
    change(writer, field_objects(writer))
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def filled(data: bytes, values: Mapping[str, str | bool]) -> bytes:
    """A form with values written into its fields, without any appearance."""

    def change(_: Any, fields: Mapping[str, Any]) -> None:
        for name, value in values.items():
            if isinstance(value, str):
                fields[name][NameObject("/V")] = TextStringObject(value)
            else:
                fields[name][NameObject("/V")] = NameObject("/on")
                fields[name][NameObject("/AS")] = NameObject("/on")

    return edited(data, change)


def _keep_only(writer: Any, names: frozenset[str]) -> None:
    """Take every other field out of the form and off the pages."""
    kept = {field.indirect_reference for n, field in field_objects(writer).items() if n in names}
    form = writer._root_object["/AcroForm"]
    form[NameObject("/Fields")] = ArrayObject(r for r in form["/Fields"] if r in kept)
    for page in writer.pages:
        page[NameObject("/Annots")] = ArrayObject(r for r in page.get("/Annots", []) if r in kept)


@cache
def bare(data: bytes, names: frozenset[str] | None = None) -> bytes:
    """A form without its print and its tags: quick to change and to read.

    Args:
        names: The fields that are kept besides the version; without it all are.
    """
    writer = pypdf.PdfWriter(clone_from=io.BytesIO(data))
    del writer._root_object["/StructTreeRoot"]
    for page in writer.pages:
        page[NameObject("/Contents")] = ArrayObject()
    if names is not None:
        _keep_only(writer, names | {"packet/version"})
    for field in field_objects(writer).values():
        for key in ("/AP", "/StructParent", "/MK"):
            field.pop(NameObject(key), None)
    writer.compress_identical_objects(remove_duplicates=False, remove_unreferenced=True)
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()
