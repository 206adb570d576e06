"""What commands share: the settings and the patient file that the arguments name."""

from __future__ import annotations

import argparse

from plainleaf.packet import build


def settings(arguments: argparse.Namespace) -> build.Settings:
    """Where everything comes from."""
    return build.Settings.default(arguments.teaching, arguments.policy)


def opened(arguments: argparse.Namespace) -> build.Case:
    """The patient file as a case, in the language and print size that were asked for.

    Raises:
        PlainleafError: As `pipeline.open_case`.
    """
    case = build.open_case(arguments.file, settings(arguments), arguments.language)
    size = getattr(arguments, "print_size", None)
    return case if size is None else build.with_print_size(case, int(size))
