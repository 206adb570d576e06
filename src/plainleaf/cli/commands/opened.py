"""What commands share: the settings and the patient file that the arguments name."""

from __future__ import annotations

import argparse
import os
from collections.abc import Mapping
from pathlib import Path

from plainleaf.cli.configuration import KEYS, Chosen, chosen_paths
from plainleaf.packet import build


def chosen(arguments: argparse.Namespace) -> dict[str, Chosen]:
    """The teaching folder and the policy file that somebody named, with who did.

    Raises:
        ConfigurationError: As `chosen_paths`.
    """
    options: Mapping[str, Path | None] = {key: getattr(arguments, key, None) for key in KEYS}
    try:
        folder = Path.cwd()
    except OSError:  # it was removed meanwhile
        folder = None
    return chosen_paths(options, os.environ, folder)


def settings(arguments: argparse.Namespace) -> build.Settings:
    """Where everything comes from.

    Raises:
        ConfigurationError: As `chosen_paths`.
    """
    paths = {key: named.path for key, named in chosen(arguments).items()}
    return build.Settings.default(paths.get("teaching"), paths.get("policy"))


def opened(arguments: argparse.Namespace) -> build.Case:
    """The patient file as a case, in the language and print size that were asked for.

    Raises:
        PlainleafError: As `pipeline.open_case`.
    """
    case = build.open_case(arguments.file, settings(arguments), arguments.language)
    size = getattr(arguments, "print_size", None)
    return case if size is None else build.with_print_size(case, int(size))
