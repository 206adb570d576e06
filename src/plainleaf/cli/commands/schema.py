"""The command `plainleaf schema`: what a patient file may hold, and what a record holds."""

from __future__ import annotations

import argparse

from plainleaf.cli.streams import print_document, print_json
from plainleaf.inputs.patient_reference import reference_of
from plainleaf.inputs.patient_schema import schema_of
from plainleaf.packet.record.packet_record import PACKET_RECORD
from plainleaf.teach_back.teaching_record import TEACHING_RECORD
from plainleaf.vocabulary.patient_file import TABLES

# By their file names, as `arguments.py` offers them.
_RECORDS = {kind.file: kind.schema for kind in (PACKET_RECORD, TEACHING_RECORD)}


def run(arguments: argparse.Namespace) -> int:
    """A JSON Schema, or the reference of keys as Markdown."""
    table = TABLES[arguments.format]
    if arguments.reference:
        print_document(reference_of(table))
    elif arguments.record is not None:
        print_json(_RECORDS[arguments.record]())
    else:
        print_json(schema_of(table))
    return 0
