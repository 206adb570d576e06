"""A filled sheet is read back as it was filled, by whatever program and in whatever shape."""

from __future__ import annotations

import io
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from typing import Any

import pypdf
import pytest
from packets import packet_of
from pdfium_filling import filled_in_a_viewer
from pypdf.generic import (
    ArrayObject,
    ByteStringObject,
    DecodedStreamObject,
    DictionaryObject,
    NameObject,
    NumberObject,
    TextStringObject,
)
from returned_sheets import all_met, bare, edited, filled

from plainleaf.packet.record.packet_record import PACKET_RECORD
from plainleaf.packet.sheet.form_fields import TICK, fields_of
from plainleaf.packet.sheet.outline import Outline
from plainleaf.packet.sheet.outline_json import outline_of
from plainleaf.teach_back.answers import Returned, read_answers
from plainleaf.teach_back.read_form import read_filled
from plainleaf.vocabulary.errors import SheetError

NAME = "gj-pump-overnight"
WORDS = "sign/goal"
TICKED = "learner/1/present"


@cache
def outline() -> Outline:
    return outline_of(PACKET_RECORD.of(packet_of(NAME).record))


@cache
def short() -> Outline:
    """What one item asks of everyone, and the rest of the sheet."""
    items = tuple(item for item in outline().items if item.id == "flushing.tb.when")
    assert len(items) == 1
    return replace(outline(), items=items)


@cache
def sheet() -> bytes:
    """The fields of a short sheet alone; the tests of whole sheets name `printed_sheet`."""
    return bare(printed_sheet(), frozenset(fields_of(short())))


def printed_sheet() -> bytes:
    return packet_of(NAME).sheet


def answers(data: bytes, asked: Outline | None = None) -> Returned:
    filled_in = read_filled(data, "filled.pdf")
    return read_answers(filled_in, asked or short(), "filled.pdf", "packet.json")


TEXTS = [
    ("ascii", "Before and after each feeding."),
    ("accents", "Señora Peña: «antes y después», ça va, Žofie"),
    ("Arabic", "قبل التغذية وبعدها 60 mL"),
    ("other scripts", "喂食前后 · кормление · 🙂"),
    ("signs of the format", r"a (b) \c) <</V 1>> % 100 %"),
    ("lines", "first line\nsecond line"),
    ("long", "Every row of the table, read with a finger. " * 60),
]


@pytest.mark.parametrize("text", [t[1] for t in TEXTS], ids=[t[0] for t in TEXTS])
def test_words_come_back_as_they_were_written(text: str) -> None:
    given = filled(sheet(), {WORDS: text})
    assert read_filled(given, "x").values[WORDS] == text
    assert answers(given).sign["goal"] == text.strip()


def test_a_whole_sheet_filled_by_a_library_comes_back_equal() -> None:
    values = all_met(outline())
    for number, name in enumerate(values):
        if name.endswith("/words"):
            values[name] = f"Words {number}, así"
    writer = pypdf.PdfWriter(clone_from=io.BytesIO(printed_sheet()))
    given = {n: v if isinstance(v, str) else "/on" for n, v in values.items()}
    for page in writer.pages:
        writer.update_page_form_field_values(page, given, auto_regenerate=False)
    out = io.BytesIO()
    writer.write(out)
    read = read_filled(out.getvalue(), "x").values
    assert {n: read[n] for n in values} == {
        n: v if isinstance(v, str) else "on" for n, v in values.items()
    }
    kinds = fields_of(outline())
    rest = {n: v for n, v in read.items() if n not in values and n != "packet/version"}
    assert all(v == ("Off" if kinds[n].kind == TICK else "") for n, v in rest.items())


def test_a_sheet_filled_in_a_viewer_comes_back_equal() -> None:
    values: dict[str, str | bool] = {
        TICKED: True,
        "flushing/sb/gravity/1/step-2": True,
        "flushing/tb/when/1/try-1/code": "3a",
        "session/a/start": "2026-03-05 14:30",
        WORDS: "Před jídlem, ça va, شكرا",
        "open/1/row": "4",
        "open/1/learner": "2",
        "open/1/letter": "B",
        "sign/goal": r"to sit (in the garden) \ with family",
    }
    read = read_filled(filled_in_a_viewer(printed_sheet(), values), "x")
    assert {n: read.values[n] for n in values} == {
        n: v if isinstance(v, str) else "on" for n, v in values.items()
    }
    entered = {n for n, v in read.values.items() if v not in ("", "Off")}
    assert entered == {*values, "packet/version"}


def _raw(value: Any) -> Callable[[Any, Any], None]:
    def change(_: Any, fields: Any) -> None:
        fields[WORDS][NameObject("/V")] = value

    return change


def _stream(writer: Any, fields: Any) -> None:
    stream = DecodedStreamObject()
    stream.set_data("déjà vu".encode("utf-16"))
    fields[WORDS][NameObject("/V")] = writer._add_object(stream)


def _above(writer: Any, fields: Any) -> None:
    """The field split into a parent that holds name and value, and a widget below it."""
    widget = fields[WORDS]
    parent = DictionaryObject(
        {
            NameObject("/T"): widget["/T"],
            NameObject("/FT"): NameObject("/Tx"),
            NameObject("/V"): TextStringObject("déjà vu"),
            NameObject("/Kids"): ArrayObject([widget.indirect_reference]),
        }
    )
    reference = writer._add_object(parent)
    for key in ("/T", "/FT", "/V"):
        del widget[key]
    widget[NameObject("/Parent")] = reference
    form = writer._root_object["/AcroForm"]
    form["/Fields"].remove(widget.indirect_reference)
    form["/Fields"].append(reference)


ENCODINGS: list[tuple[str, Callable[[Any, Any], None]]] = [
    ("UTF-16 with its mark", _raw(ByteStringObject(b"\xfe\xff" + "déjà vu".encode("utf-16-be")))),
    ("UTF-16, little end", _raw(ByteStringObject("déjà vu".encode("utf-16")))),
    ("UTF-8 with its mark", _raw(ByteStringObject(b"\xef\xbb\xbf" + "déjà vu".encode()))),
    ("one byte a letter", _raw(ByteStringObject("déjà vu".encode("latin-1")))),
    ("a text stream", _stream),
    ("a name", _raw(NameObject("/déjà vu"))),
    ("a value on the parent", _above),
]


@pytest.mark.parametrize("change", [e[1] for e in ENCODINGS], ids=[e[0] for e in ENCODINGS])
def test_every_way_to_write_a_text(change: Callable[[Any, Any], None]) -> None:
    assert read_filled(edited(sheet(), change), "x").values[WORDS] == "déjà vu"


def _tick(key: str, value: Any) -> Callable[[Any, Any], None]:
    def change(_: Any, fields: Any) -> None:
        field = fields[TICKED]
        for name in ("/V", "/AS"):
            field.pop(NameObject(name), None)
        field[NameObject(key)] = value

    return change


TICKS: list[tuple[str, Callable[[Any, Any], None], bool | None]] = [
    ("our own state", _tick("/V", NameObject("/on")), True),
    ("Yes", _tick("/V", NameObject("/Yes")), True),
    ("On", _tick("/V", NameObject("/On")), True),
    ("1", _tick("/V", NameObject("/1")), True),
    ("a text", _tick("/V", TextStringObject("Yes")), True),
    ("drawn only", _tick("/AS", NameObject("/on")), True),
    ("off", _tick("/V", NameObject("/Off")), None),
    ("drawn off", _tick("/AS", NameObject("/Off")), None),
    ("an empty text", _tick("/V", TextStringObject("")), None),
    ("nothing at all", _tick("/MK", DictionaryObject()), None),
]


@pytest.mark.parametrize(("change", "is_"), [t[1:] for t in TICKS], ids=[t[0] for t in TICKS])
def test_every_way_to_tick_a_box(change: Callable[[Any, Any], None], is_: bool | None) -> None:
    assert answers(edited(sheet(), change)).people[1].present is is_


@pytest.mark.parametrize("no", ["No", "/No", "false", "0"])
def test_a_written_no_is_said_and_is_a_blank(no: str) -> None:
    value = NameObject(no) if no.startswith("/") else TextStringObject(no)
    read = answers(edited(sheet(), _tick("/V", value)))
    assert read.people[1].present is None
    assert any(TICKED in line and "holds a no" in line for line in read.troubles)


# --- fields that are gone, renamed or strange ----------------------------------------------------


def _without(*names: str) -> Callable[[Any, Any], None]:
    """Some fields flattened: they are neither in the form nor on the page."""

    def change(writer: Any, fields: Any) -> None:
        gone = {fields[name].indirect_reference for name in names}
        form = writer._root_object["/AcroForm"]
        form[NameObject("/Fields")] = ArrayObject(r for r in form["/Fields"] if r not in gone)
        for page in writer.pages:
            kept = ArrayObject(r for r in page.get("/Annots", []) if r not in gone)
            page[NameObject("/Annots")] = kept

    return change


def test_flattened_fields_are_named_and_count_as_blank() -> None:
    given = filled(sheet(), all_met(short()))
    gone = ("flushing/tb/when/1/try-1/code", TICKED)
    read = answers(edited(given, _without(*gone)))
    assert set(read.missing) == set(gone)
    assert read.people[1].present is None
    (one,) = (a for a in read.answers if (a.item.id, a.learner) == ("flushing.tb.when", 1))
    assert one.tries == ()
    assert not set(gone) & set(read.blanks)


TRIED = "flushing/tb/when/1/try-1/code"


def _hidden(flag: int) -> Callable[[Any, Any], None]:
    def change(_: Any, fields: Any) -> None:
        fields[TRIED][NameObject("/F")] = NumberObject(flag)

    return change


def _no_room(_: Any, fields: Any) -> None:
    fields[TRIED][NameObject("/Rect")] = ArrayObject([NumberObject(9)] * 4)


def _off_the_pages(writer: Any, fields: Any) -> None:
    gone = fields[TRIED].indirect_reference
    for page in writer.pages:
        kept = ArrayObject(r for r in page.get("/Annots", []) if r != gone)
        page[NameObject("/Annots")] = kept


UNSEEN = {"hidden": _hidden(2), "not on a screen": _hidden(32), "without room": _no_room,
          "on no page": _off_the_pages}  # fmt: skip


@pytest.mark.parametrize("change", UNSEEN.values(), ids=UNSEEN)
def test_what_the_sheet_does_not_show_is_gone(change: Callable[[Any, Any], None]) -> None:
    """A code that nobody sees was not given: the row counts as not checked."""
    read = answers(edited(filled(sheet(), all_met(short())), change))
    assert read.missing == (TRIED,)
    assert not any(a.tries for a in read.answers if a.learner == 1)


def test_a_box_that_is_drawn_empty_is_not_ticked() -> None:
    def change(_: Any, fields: Any) -> None:
        fields[TICKED][NameObject("/AS")] = NameObject("/Off")

    read = answers(edited(filled(sheet(), {TICKED: True}), change))
    assert read.people[1].present is None
    assert TICKED in read.blanks


def _joined(writer: Any, fields: Any) -> None:
    """A second sheet's page, whose fields the form does not list."""
    field = fields[TRIED].clone(writer, force_duplicate=True)
    field[NameObject("/V")] = TextStringObject("1a")
    writer.pages[-1]["/Annots"].append(writer._add_object(field))


def test_a_field_of_a_second_sheet_is_seen_where_the_form_does_not_list_it() -> None:
    with pytest.raises(SheetError, match=f"field {TRIED} stands twice"):
        read_filled(edited(filled(sheet(), {TRIED: "3a"}), _joined), "x")


def test_a_record_that_asks_less_than_its_sheet_is_refused() -> None:
    """Else a critical row could be struck out of the record, and nobody would miss it."""
    fewer = replace(short(), items=())
    with pytest.raises(SheetError, match=r"asks what packet\.json does not know"):
        answers(sheet(), fewer)


def test_a_renamed_field_is_missing_under_its_name_and_unknown_under_the_other() -> None:
    def change(_: Any, fields: Any) -> None:
        fields[WORDS][NameObject("/T")] = TextStringObject("Text17")

    read = answers(edited(filled(sheet(), {WORDS: "said"}), change))
    assert read.missing == (WORDS,)
    assert read.unknown == ("Text17",)


def test_the_version_is_read_from_the_print_where_its_field_is_gone() -> None:
    read = answers(edited(printed_sheet(), _without("packet/version")), outline())
    assert (read.missing, read.unknown) == ((), ())


# --- what is not this sheet -----------------------------------------------------------------------


def _bare() -> bytes:
    writer = pypdf.PdfWriter()
    writer.add_blank_page(200, 200)
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def _other_form() -> bytes:
    def change(_: Any, fields: Any) -> None:
        for number, field in enumerate(fields.values()):
            field[NameObject("/T")] = TextStringObject(f"Text{number}")

    return edited(sheet(), change)


def _version(text: str) -> Callable[[Any, Any], None]:
    def change(_: Any, fields: Any) -> None:
        fields["packet/version"][NameObject("/V")] = TextStringObject(text)

    return change


def _locked(user: str, owner: str) -> bytes:
    writer = pypdf.PdfWriter(clone_from=io.BytesIO(sheet()))
    writer.encrypt(user, owner, algorithm="RC4-128")
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


FAULTS: list[tuple[str, Callable[[], bytes], str]] = [
    ("empty", lambda: b"", "is not a PDF"),
    ("a picture", lambda: b"\x89PNG\r\n\x1a\n" + bytes(500), "is not a PDF"),
    ("cut off", lambda: printed_sheet()[: len(printed_sheet()) // 3], "is damaged"),
    ("only a head", lambda: b"%PDF-1.7\n", "is damaged"),
    ("scrambled", lambda: printed_sheet()[:200] + bytes(len(printed_sheet()) - 200), "is damaged"),
    ("no form", _bare, "holds no form fields"),
    ("the handout", lambda: packet_of(NAME).handout, "holds no form fields"),
    ("another form", _other_form, "is not a teach-back sheet"),
    ("a password", lambda: _locked("secret", "other"), "is locked with a password"),
    ("another version", lambda: edited(sheet(), _version("0123456789")),
     "belongs to packet version 0123456789"),
    ("another patient", lambda: packet_of("g-balloon-syringe").sheet, "belongs to packet version"),
    ("another patient by its print",
     lambda: edited(packet_of("g-balloon-syringe").sheet, _without("packet/version")),
     "belongs to packet version"),
    ("flattened but the version",
     lambda: edited(sheet(), _without(*fields_of(short()))), "has lost all fields"),
]  # fmt: skip


@pytest.mark.parametrize(("make", "part"), [f[1:] for f in FAULTS], ids=[f[0] for f in FAULTS])
def test_what_is_not_this_sheet_is_refused_in_one_line(
    make: Callable[[], bytes], part: str
) -> None:
    with pytest.raises(SheetError) as caught:
        answers(make())
    message = str(caught.value)
    assert part in message
    assert message.startswith("filled.pdf: ")
    assert "\n" not in message
    assert message.count(".") >= 2  # what is wrong, and what to do
    for learner in outline().learners:
        assert not any(name in message for name in learner.name.split())


def test_a_sheet_that_only_forbids_changes_is_read() -> None:
    writer = pypdf.PdfWriter(clone_from=io.BytesIO(filled(sheet(), {WORDS: "said"})))
    writer.encrypt("", "owner", algorithm="RC4-128")
    out = io.BytesIO()
    writer.write(out)
    assert read_filled(out.getvalue(), "x").values[WORDS] == "said"


def test_a_form_whose_fields_point_at_each_other_is_walked_once() -> None:
    def change(_: Any, fields: Any) -> None:
        one, two = fields[WORDS], fields[TICKED]
        one[NameObject("/Kids")] = ArrayObject([two.indirect_reference])
        two[NameObject("/Kids")] = ArrayObject([one.indirect_reference])

    assert len(read_filled(edited(bare(printed_sheet()), change), "x").values) > 100
