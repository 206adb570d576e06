"""The table of the patient file and what comes of it: schema, reference of keys, JSON files.

The schema is judged by a library that knows nothing of us; the reader is the other witness.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from broken_files import CASES, broken
from builders import BASE, EXAMPLES, ROOT, text_with
from folding import each
from jsonschema import Draft202012Validator
from single_changes import REMOVE, changed, spots
from yaml_core import read_core

from plainleaf.cli.main import main
from plainleaf.inputs.key_words import example_of
from plainleaf.inputs.patient import load_patient, read_patient
from plainleaf.inputs.patient_reference import reference_of
from plainleaf.inputs.patient_schema import SCHEMA_FILE, schema_of
from plainleaf.inputs.starter import starter
from plainleaf.inputs.strict_yaml import parse
from plainleaf.vocabulary import terms
from plainleaf.vocabulary.errors import PatientError
from plainleaf.vocabulary.patient_file import FORMAT_1, TABLES, Block, Key, Table, blocks_in

SCHEMA = schema_of(FORMAT_1)
VALIDATOR = Draft202012Validator(SCHEMA)


def takes(text: str) -> bool:
    """Whether the reader takes a file."""
    try:
        read_patient(parse(text, "p.yaml"))
    except PatientError:
        return False
    return True


def example(name: str) -> str:
    return (ROOT / "examples" / f"{name}.yaml").read_text(encoding="utf-8")


def keys_of(block: Block, path: str = "") -> Iterator[tuple[str, Key]]:
    for key in block.keys:
        yield f"{path}{key.name}", key
        for inner in blocks_in(key.holds):
            yield from keys_of(inner, f"{path}{key.name}.")


KEYS = list(keys_of(FORMAT_1.root))
EVERY = [(f"{n}:{path}", key, table) for n, table in TABLES.items()
         for path, key in keys_of(table.root)]  # fmt: skip


def test_the_schema_is_one() -> None:
    Draft202012Validator.check_schema(SCHEMA)
    assert SCHEMA["$schema"] == "https://json-schema.org/draft/2020-12/schema"


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_example_passes(name: str) -> None:
    assert [error.message for error in VALIDATOR.iter_errors(read_core(example(name)))] == []


# Faults that no schema of data can see, with the reason.
BEYOND = {
    "run longer than a day": "the bound of an amount",
    "flush too often": "the bound of an amount",
    "day that is not": "the calendar",
    "far too many digits": "the reader counts them",
    "count with a point": "2.0 and 2 are one number",
    "hours that say nothing": "what is a letter in every script",
    "a name that is a list number": "what is a letter in every script",
}
# The text is no YAML, or YAML that says the same in a form that is refused.
FORMS = {
    "duplicate key", "duplicate key in one line", "alias", "alias bomb", "tag", "tag of a program",
    "tabs", "open quote", "colon in a plain text", "not UTF-8", "saved as UTF-16", "control letter",
    "two documents", "merge key", "too deep",
}  # fmt: skip
OF_DATA = [case for case in CASES["patient"] if case["name"] not in FORMS]


@pytest.mark.parametrize("case", OF_DATA, ids=lambda case: case["name"])
def test_each_broken_file_fails_as_far_as_a_schema_can_tell(case: dict[str, Any]) -> None:
    text, _ = broken("patient", case)
    assert VALIDATOR.is_valid(read_core(text)) is (case["name"] in BEYOND)


def test_what_is_beyond_a_schema_is_a_case() -> None:
    assert {*BEYOND, *FORMS} <= {case["name"] for case in CASES["patient"]}


# --- the reader and the schema judge alike ----------------------------------------------------


OTHERS: tuple[Any, ...] = (REMOVE, "x", [], {}, None, "60 mL", 7)


@pytest.mark.thorough
@pytest.mark.parametrize("name", [name for name in EXAMPLES if not name.endswith("-ready")])
def test_any_one_change_is_taken_by_both_or_by_none(name: str) -> None:
    """Read as JSON, which is what schema and reader both know."""
    data = read_core(example(name))
    differs = []
    for path in spots(data):
        for value in OTHERS:
            new = changed(data, path, value)
            valid = VALIDATOR.is_valid(new)
            if valid is not takes(json.dumps(new)):
                differs.append((path, value, valid))
    assert differs == []


# --- each key ---------------------------------------------------------------------------------


@each({f"{number} {row[0]}": row[1:] for number, row in enumerate(EVERY)})
def test_each_key_says_what_it_means_and_has_an_example_that_passes(key: Key, table: Table) -> None:
    assert key.means and not key.means.endswith(".")
    alone = Table(table.format, Block("alone", (key,)), empty_is_absent=False)
    value = read_core(f"{key.name}: {example_of(key)}")
    if not any(blocks_in(key.holds)) or key.example:
        assert Draft202012Validator(schema_of(alone)).is_valid(value), value


def test_the_reference_names_every_key() -> None:
    text = reference_of(FORMAT_1)
    rows = [line.split(" | ")[0].strip("| `") for line in text.splitlines() if "| `" in line]
    assert sorted(rows) == sorted(key.name for _, key in KEYS)
    # When a key is due is worked out from the rules.
    for row in ("| `amount` | volume with mL, L or fl oz | method is syringe or gravity |",
                "| `each` | volume with mL, L or fl oz | with every |",
                "| `formula` | keys below | unless blended |"):  # fmt: skip
        assert row in text


@pytest.mark.parametrize("kind", terms.TUBE_KINDS)
def test_the_starter_shows_every_key_and_where_its_schema_is(kind: str) -> None:
    text = starter(kind)
    assert text.startswith(f"# yaml-language-server: $schema={SCHEMA_FILE}\n")
    shown = {word for line in text.splitlines() for word in WORD.findall(line)}
    ports = set(terms.PORTS) - set(terms.PORTS_OF_KIND[kind])
    missing = {key.name for _, key in KEYS} - shown - ports
    assert missing == set()


WORD = re.compile(r"([a-z_]+):")


# --- JSON -------------------------------------------------------------------------------------


def written(folder: Path, text: str) -> Path:
    path = folder / "p.json"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize("name", EXAMPLES)
@pytest.mark.parametrize("style", [{}, {"indent": "\t"}, {"separators": (",", ":")}], ids=str)
def test_a_file_in_json_reads_the_same(name: str, style: dict[str, Any], tmp_path: Path) -> None:
    source = load_patient(ROOT / "examples" / f"{name}.yaml")
    path = written(tmp_path, json.dumps(read_core(example(name)), **style))
    assert replace(load_patient(path), file=source.file) == source


def test_letters_in_two_halves_are_one_letter(tmp_path: Path) -> None:
    """As RFC 8259, section 7 writes a letter beyond the first plane: the G clef, U+1D11E."""
    data = read_core(text_with({"patient.name": "NAME"}))
    text = json.dumps(data).replace("NAME", r"A \ud834\udd1e B \\ud834 é")
    path = written(tmp_path, text)
    # It is no letter of the packet's fonts, and is named as the one that it is.
    with pytest.raises(PatientError, match=r"print: \U0001d11e \(U\+1D11E\)\."):
        load_patient(path)


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('"size": "20 Fr"', '"size": 20', "tube.size: '20' has no unit."),
        ('"size": "20 Fr"', '"sise": "20 Fr"', "unknown key 'sise'"),
        ('"size": "20 Fr",\n', '"size": "20 Fr"\n', "cannot be read as JSON"),
        ('"size": "20 Fr"', '"size": "20 Fr", "size": "18 Fr"', "has the key 'size' twice"),
        ('"hands_on": true', '"hands_on": "true"', "Write true or false."),
    ],
)
def test_a_fault_in_json_has_its_line(old: str, new: str, says: str, tmp_path: Path) -> None:
    sound = json.dumps(read_core(example(BASE)), indent=1)
    text = sound.replace(old, new, 1)
    path = written(tmp_path, text)
    line = text[: text.index(new) + len(new)].count("\n") + 1
    with pytest.raises(PatientError) as error:
        load_patient(path)
    faults = [fault for fault in error.value.faults if says in str(fault)]
    assert [fault.line for fault in faults] == [line], str(error.value)


# --- the command ------------------------------------------------------------------------------


def test_the_command_prints_the_schema_and_the_reference(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["schema"]) == 0
    assert json.loads(capsys.readouterr().out) == SCHEMA
    assert main(["schema", "--reference"]) == 0
    assert capsys.readouterr().out == reference_of(FORMAT_1)
