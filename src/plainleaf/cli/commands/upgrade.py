"""The command `plainleaf upgrade`: a patient file of format 1, written in format 2."""

from __future__ import annotations

import argparse

from plainleaf.cli.streams import print_document
from plainleaf.inputs.patient import read_root
from plainleaf.inputs.patient_upgrade import upgraded


def run(arguments: argparse.Namespace) -> int:
    """What format 2 asks besides stays a blank; nothing is filled in.

    Raises:
        PatientError: The file cannot be read, or is no sound file of format 1.
    """
    print_document(upgraded(read_root(arguments.file)))
    return 0
