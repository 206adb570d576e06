"""Reads a patient file whole: every block, with every fault at once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from plainleaf.inputs.patient.build_patient import patient_of
from plainleaf.inputs.patient.build_patient_2 import patient_of_2
from plainleaf.inputs.patient.leaf_keys import leaf_keys
from plainleaf.inputs.patient.named_entries import Facility, names_of, note_names
from plainleaf.inputs.patient.patient_values import Patient
from plainleaf.inputs.patient.read_json import parse_json
from plainleaf.inputs.patient.read_shapes import TableReader, Values, read_values
from plainleaf.inputs.strict_yaml import Node, Unreadable, parse, read_text
from plainleaf.vocabulary.errors import Fault, PatientError
from plainleaf.vocabulary.patient_file import FORMAT_1, FORMAT_2, Table

# Where no facility's file was read: a name that points to it is a fault.
NO_FACILITY = Facility()


def load_patient(path: Path, facility: Facility = NO_FACILITY) -> Patient:
    """The patient file at a path, in YAML or JSON.

    JSON is what its name ends in, or, of a text without a name of its own, what begins with a
    brace.

    Args:
        facility: What names in a file of format 2 may point to.
    Raises:
        PatientError: With every fault found, in file order.
    """
    return read_patient(read_root(path), facility)


def read_root(path: Path) -> Node:
    """The nodes of the patient file at a path.

    Raises:
        PatientError: It is no YAML, or no JSON, or not to be read.
    """
    try:
        text = read_text(path)
    except Unreadable as error:
        raise PatientError([error.fault]) from error
    return root_of_text(text, path.name)


def root_of_text(text: str, name: str) -> Node:
    """The nodes of a text, in YAML or JSON as `load_patient` tells them apart.

    Raises:
        PatientError: It is no YAML, or no JSON.
    """
    read = parse_json if _is_json(Path(name), text) else parse
    try:
        return read(text, name)
    except Unreadable as error:
        raise PatientError([error.fault]) from error


def patient_from_text(text: str, name: str, facility: Facility = NO_FACILITY) -> Patient:
    """The patient of a text, in YAML or JSON as `load_patient` tells them apart.

    Args:
        name: What messages call the text, such as the name of its file.
        facility: What names in a text of format 2 may point to.
    Raises:
        PatientError: With every fault found, in file order.
    """
    return read_patient(root_of_text(text, name), facility)


def _is_json(path: Path, text: str) -> bool:
    return path.suffix.lower() == ".json" or (not path.suffix and text.lstrip().startswith("{"))


def read_patient(root: Node, facility: Facility = NO_FACILITY) -> Patient:
    """A patient from the nodes of a file, of format 2 where it says so and else of format 1.

    Raises:
        PatientError: With every fault found, in file order.
    """
    table = FORMAT_2 if _says_format(root) else FORMAT_1
    values = read_table(root, table)
    if table is FORMAT_1:
        return patient_of(values, root.file)
    names = names_of(values, facility)
    _raise(list(note_names(root, values, names)))
    return replace(patient_of_2(values, names, root.file), typed=leaf_keys(root))


def read_table(root: Node, table: Table) -> Values:
    """The values of a file by one table.

    Raises:
        PatientError: With every fault found, in file order.
    """
    faults: list[Fault] = []
    reader = TableReader(root, faults, table=table)
    values = read_values(reader, table.root)
    _raise(faults)
    return values


def _says_format(root: Node) -> bool:
    return isinstance(root.value, Mapping) and "format" in root.value


def _raise(faults: list[Fault]) -> None:
    if faults:
        raise PatientError(sorted(faults, key=lambda fault: fault.line))
