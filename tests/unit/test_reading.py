"""Strict reading: scalars stay the text they were, and every odd form is refused with its line."""

from __future__ import annotations

from datetime import date, datetime, time
from pathlib import Path

import pytest

from plainleaf.inputs import strict_yaml
from plainleaf.inputs.strict_yaml import (
    Reader,
    Unreadable,
    parse,
    read_clock,
    read_date,
    read_moment,
)
from plainleaf.vocabulary.errors import Fault, UnitError

# YAML 1.1 turns each of these into a number, a date or a truth value (YAML type repository:
# sexagesimal `int`, octal, `timestamp`, `bool`); here they stay what was written.
PLAIN = ("08:00", "18:30:00", "1.0", "0233", "0x1F", "1_000", "2026-03-04", "no", "on", "1e3", ".5")


@pytest.mark.parametrize("text", PLAIN)
def test_a_plain_scalar_stays_its_text(text: str) -> None:
    inner = parse(f"key: {text}\nlist: [{text}, {text}]\n", "f.yaml").value
    assert isinstance(inner, dict)
    assert inner["key"].value == text
    assert [node.value for node in inner["list"].value] == [text, text]


@pytest.mark.parametrize("text", ["", "~", "null", "NULL"])
def test_an_empty_value_is_none(text: str) -> None:
    assert parse(f"key: {text}\n", "f.yaml").value["key"].value is None  # type: ignore[index]


def test_a_quoted_null_is_a_text() -> None:
    node = parse('key: "null"\n', "f.yaml").value["key"]  # type: ignore[index]
    assert (node.value, node.quoted) == ("null", True)


def test_values_know_their_line() -> None:
    root = parse("# comment\na: 1\nb:\n  - x\n  - y\n", "f.yaml").value
    assert root["a"].line == 2  # type: ignore[index]
    assert [node.line for node in root["b"].value] == [4, 5]  # type: ignore[index]


REFUSED = {
    "duplicate key": ("a: 1\nb: 2\na: 3\n", 3, "has the key 'a' twice"),
    "duplicate key within": ("a:\n  b: 1\n  b: 2\n", 3, "has the key 'b' twice"),
    "alias": ("b: 0\na: &x 1\nb2: *x\n", 2, "alias"),
    "alias as key": ("b: 0\na: &x b\n*x : c\n", 2, "alias"),
    "alias of itself": ("a: &x [*x]\n", 1, "alias"),
    "own tag": ("a: 1\nb: !mine x\n", 2, "tag (!mine)"),
    "tag on a block": ("a: !mine\n  b: 1\n", 1, "tag (!mine)"),
    "tag on a list": ("a: !mine [1]\n", 1, "tag (!mine)"),
    "tag of a program": ("a: !!python/name:os.system x\n", 1, "tag (tag:yaml.org,2002:python"),
    "binary tag": ("a: !!binary aGk=\n", 1, "tag (tag:yaml.org,2002:binary)"),
    "merge": ("a: 1\nb: {<<: {c: d}}\n", 2, "not a word"),
    "list as key": ("? [a, b]\n: 1\n", 1, "not a word"),
    "several documents": ("a: 1\n---\nb: 2\n", 2, "another document"),
    "tab": ("a:\n\tb: 1\n", 2, "cannot be read as YAML"),
    "open quote": ('a: "b\nc: 1\n', 3, "cannot be read as YAML"),
    "control letter": ("a: b\x07\n", 1, "cannot be read as YAML"),
    "empty": ("", 1, "is empty"),
    "only comments": ("# a\n# b\n", 1, "is empty"),
    "too deep": ("a: " + "[" * 60 + "]" * 60, 1, "nested too deeply"),
    "far too deep": ("a: " + "[" * 100_000, 1, "nesting"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_an_odd_form_is_refused_with_its_line(name: str) -> None:
    text, line, wrong = REFUSED[name]
    with pytest.raises(Unreadable) as error:
        parse(text, "f.yaml")
    fault = error.value.fault
    assert (fault.file, fault.line) == ("f.yaml", line)
    assert wrong in fault.wrong


def test_read_text_takes_a_byte_order_mark_off(tmp_path: Path) -> None:
    (tmp_path / "f").write_bytes(b"\xef\xbb\xbfa: 1")
    assert strict_yaml.read_text(tmp_path / "f") == "a: 1"


def test_read_text_refuses_what_is_not_utf8_with_its_line(tmp_path: Path) -> None:
    (tmp_path / "f").write_bytes("a: 1\nb: é\n".encode("latin-1"))
    with pytest.raises(Unreadable) as error:
        strict_yaml.read_text(tmp_path / "f")
    assert error.value.fault.line == 2
    assert error.value.fault.instead == "Save the file as UTF-8."


@pytest.mark.parametrize("what", ["missing", "folder", "large"])
def test_read_text_refuses_what_it_cannot_open(
    what: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "f"
    words = {"missing": "No such file", "folder": "is a folder", "large": "too large"}
    if what == "folder":
        path.mkdir()
    if what == "large":
        monkeypatch.setattr(strict_yaml.nodes, "LARGEST_TEXT", 3)
        path.write_text("1234")
    with pytest.raises(Unreadable, match=words[what]):
        strict_yaml.read_text(path)


# ISO 8601 calendar dates and 24-hour times; leap years by the Gregorian rule (2000 yes, 2100 no).
DATES = {
    "2026-03-04": date(2026, 3, 4),
    " 2024-02-29 ": date(2024, 2, 29),
    "2000-02-29": date(2000, 2, 29),
    "1900-01-01": date(1900, 1, 1),
}
NO_DATES = (
    "03/04/2026", "4 March 2026", "2026-3-4", "2026-02-29", "2100-02-29", "1899-12-31",
    "2101-01-01", "9999-12-31", "0001-01-01", "2026-13-01", "20260304", "２０２６-03-04", "",
)  # fmt: skip


@pytest.mark.parametrize("text", DATES)
def test_dates(text: str) -> None:
    assert read_date(text) == DATES[text]


@pytest.mark.parametrize("text", NO_DATES)
def test_a_text_that_is_no_date(text: str) -> None:
    with pytest.raises(UnitError) as error:
        read_date(text)
    assert error.value.instead in ("Write year-month-day: 2026-03-04.", "Check the year.")


@pytest.mark.parametrize(
    ("text", "is_"), [("00:00", time(0)), ("08:00", time(8)), ("23:59", time(23, 59))]
)
def test_clocks(text: str, is_: time) -> None:
    assert read_clock(text) == is_


@pytest.mark.parametrize("text", ["8:00", "24:00", "08:60", "8 am", "08:00:00", "0800", "٠٨:٠٠"])
def test_a_text_that_is_no_clock(text: str) -> None:
    with pytest.raises(UnitError, match="24-hour"):
        read_clock(text)


@pytest.mark.parametrize("text", ["2026-03-04 10:30", "2026-03-04T10:30", "2026-03-04 10:30:00"])
def test_moments(text: str) -> None:
    assert read_moment(text) == datetime(2026, 3, 4, 10, 30)


@pytest.mark.parametrize("text", ["2026-03-04", "10:30", "2026-03-04 10:30:15", "2026-02-30 10:30"])
def test_a_text_that_is_no_moment(text: str) -> None:
    with pytest.raises(UnitError):
        read_moment(text)


def reader(text: str) -> Reader:
    return Reader(parse(text, "f.yaml"), [], "place")


def only_fault(of: Reader) -> Fault:
    assert len(of.faults) == 1, of.faults
    return of.faults[0]


# Each hides what a reader sees: Unicode bidirectional marks and embeddings (UAX #9), format
# letters without shape, and the byte order mark.
HIDDEN = {
    "left-to-right mark": "\u200e", "right-to-left mark": "\u200f", "arabic letter mark": "\u061c",
    "embedding": "\u202a", "override": "\u202e", "isolate": "\u2066", "pop isolate": "\u2069",
    "zero width space": "\u200b", "soft hyphen": "\u00ad", "word joiner": "\u2060",
    "byte order mark": "\ufeff", "line separator": "\u2028", "tag letter": "\U000e0041",
}  # fmt: skip


@pytest.mark.parametrize("name", HIDDEN)
def test_a_hidden_letter_is_refused(name: str) -> None:
    of = reader(f'k: "a{HIDDEN[name]}b"\n')
    assert of.text("k") is None
    assert only_fault(of).wrong == "place.k holds a hidden control character."


@pytest.mark.parametrize("text", ["Nuñez", "نور حداد", "Ng\u1ec5n", "O'Hara-Smith"])
def test_letters_of_any_language_are_kept(text: str) -> None:
    of = reader(f'k: "{text}"\n')
    assert of.text("k") == text
    assert not of.faults


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ('k: "  "', "is empty"),
        ("k: <name>", "is still a blank"),
        ('k: "<your name and credential>"', "is still a blank"),
        ("k: " + "a" * 401, "longer than 400"),
        ("k: [a]", "holds a list"),
    ],
)
def test_a_text_that_cannot_be_printed(text: str, wrong: str) -> None:
    of = reader(text)
    assert of.text("k") is None
    assert wrong in only_fault(of).wrong


def test_spaces_of_a_text_are_made_single() -> None:
    assert reader("k: |\n  a   b\n  c\n").text("k") == "a b c"


@pytest.mark.parametrize(
    ("text", "is_", "faults"),
    [("k: true", True, 0), ("k: false", False, 0), ("j: 1", False, 0), ("k: yes", False, 1),
     ('k: "true"', False, 1), ("k: True", False, 1), ("k: 1", False, 1)],
)  # fmt: skip
def test_flags_are_true_or_false_and_nothing_else(text: str, is_: bool, faults: int) -> None:
    of = reader(text)
    assert of.flag("k") is is_
    assert [fault.instead for fault in of.faults] == ["Write true or false."] * faults


@pytest.mark.parametrize(
    ("text", "is_"), [("0", 0), ("8", 8), ("9", None), ("-1", None), ("2.0", None), ("٣", None)]
)
def test_counts_are_whole_and_within_bounds(text: str, is_: int | None) -> None:
    of = reader(f"k: {text}")
    assert of.count("k", low=0, high=8) == is_
    assert len(of.faults) == (is_ is None)


def test_a_word_that_is_not_known_shows_the_nearest_and_the_list() -> None:
    of = reader("k: baloon")
    assert of.choice("k", ("balloon", "bumper")) is None
    assert only_fault(of).instead == "Did you mean 'balloon'? Write one of: balloon, bumper."


def test_a_list_of_words_holds_each_once() -> None:
    of = reader("k: [a, b, a]")
    assert of.words("k", ("a", "b")) == ("a", "b")
    assert only_fault(of).wrong == "place.k: 'a' stands twice."


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("k: []", "place.k is an empty list."),
        ("k: a", "place.k is not a list."),
        ("j: a", "place.k is missing."),
    ],
)
def test_a_required_list_holds_something(text: str, wrong: str) -> None:
    of = reader(text)
    assert of.items("k", required=True) == ()
    assert only_fault(of).wrong == wrong


def test_an_empty_list_that_is_not_required_is_fine() -> None:
    of = reader("k: []")
    assert (of.items("k"), of.faults) == ((), [])


def test_close_notes_each_key_that_nobody_asked_for() -> None:
    of = reader("name: a\nnmae: b\nfoo: c\n")
    of.text("name")
    of.close()
    assert [(f.line, f.instead) for f in of.faults] == [
        (2, "Did you mean 'name'?"),
        (3, "Known: name."),
    ]


def test_a_child_is_named_by_its_place() -> None:
    of = reader("k:\n  - a: 1\n  - b: 2\n")
    inner = list(of.children("k"))
    assert [one.name("b") for one in inner] == ["place.k[0].b", "place.k[1].b"]


def test_what_is_no_mapping_is_a_fault() -> None:
    assert "is not a list of 'key: value' lines" in only_fault(reader("[a]")).wrong
