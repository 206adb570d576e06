"""Reads a patient file whole: every block, with every fault at once."""

from __future__ import annotations

from pathlib import Path

from plainleaf.inputs.patient.build_records import patient_of
from plainleaf.inputs.patient.read_json import parse_json
from plainleaf.inputs.patient.read_shapes import read_values
from plainleaf.inputs.patient.records import Patient
from plainleaf.inputs.strict_yaml import Node, Reader, Unreadable, parse, read_text
from plainleaf.vocabulary.errors import Fault, PatientError
from plainleaf.vocabulary.patient_file import FORMAT_1


def load_patient(path: Path) -> Patient:
    """The patient file at a path, in YAML or JSON.

    JSON is what its name ends in, or, of a text without a name of its own, what begins with a
    brace.

    Raises:
        PatientError: With every fault found, in file order.
    """
    try:
        text = read_text(path)
    except Unreadable as error:
        raise PatientError([error.fault]) from error
    return patient_from_text(text, path.name)


def patient_from_text(text: str, name: str) -> Patient:
    """The patient of a text, in YAML or JSON as `load_patient` tells them apart.

    Args:
        name: What messages call the text, such as the name of its file.
    Raises:
        PatientError: With every fault found, in file order.
    """
    read = parse_json if _is_json(Path(name), text) else parse
    try:
        root = read(text, name)
    except Unreadable as error:
        raise PatientError([error.fault]) from error
    return read_patient(root)


def _is_json(path: Path, text: str) -> bool:
    return path.suffix.lower() == ".json" or (not path.suffix and text.lstrip().startswith("{"))


def read_patient(root: Node) -> Patient:
    """A patient from the nodes of a file.

    Raises:
        PatientError: With every fault found, in file order.
    """
    faults: list[Fault] = []
    values = read_values(Reader(root, faults), FORMAT_1.root)
    if faults:
        raise PatientError(sorted(faults, key=lambda fault: fault.line))
    return patient_of(values, root.file)
