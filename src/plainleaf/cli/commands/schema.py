"""The command `plainleaf schema`: what a patient file may hold, for editors and for readers."""

from __future__ import annotations

import argparse

from plainleaf.cli.streams import print_document, print_json
from plainleaf.inputs.patient_reference import reference_of
from plainleaf.inputs.patient_schema import schema_of
from plainleaf.vocabulary.patient_file import FORMAT_1


def run(arguments: argparse.Namespace) -> int:
    """A JSON Schema, or the reference of keys as Markdown."""
    if arguments.reference:
        print_document(reference_of(FORMAT_1))
    else:
        print_json(schema_of(FORMAT_1))
    return 0
