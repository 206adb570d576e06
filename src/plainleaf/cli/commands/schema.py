"""The command `plainleaf schema`: what a patient file may hold, for editors and for readers."""

from __future__ import annotations

import argparse
import json
import sys

from plainleaf.inputs.patient_reference import reference_of
from plainleaf.inputs.patient_schema import schema_of
from plainleaf.vocabulary.patient_file import FORMAT_1


def run(arguments: argparse.Namespace) -> int:
    """A JSON Schema, or the reference of keys as Markdown."""
    if arguments.reference:
        sys.stdout.write(reference_of(FORMAT_1))
    else:
        sys.stdout.write(json.dumps(schema_of(FORMAT_1), indent=1) + "\n")
    return 0
