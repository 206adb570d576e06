"""What commands share: the places and the patient file that the arguments name."""

from __future__ import annotations

import argparse
import os
from collections.abc import Mapping
from pathlib import Path

from plainleaf.cli.configuration import KEYS, Chosen, chosen_paths
from plainleaf.packet.places import Places
from plainleaf.packet.typed_prints import decide
from plainleaf.rules.decision import Decision


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


def places_of(arguments: argparse.Namespace) -> Places:
    """Where everything comes from.

    Raises:
        ConfigurationError: As `chosen_paths`.
    """
    paths = {key: named.path for key, named in chosen(arguments).items()}
    return Places.default(paths.get("teaching"), paths.get("policy"))


def decided(arguments: argparse.Namespace) -> Decision:
    """What is decided for the patient file, in the language and print size that were asked for.

    Raises:
        PlainleafError: As `Places.inputs`.
    """
    inputs = places_of(arguments).inputs(arguments.file, arguments.language)
    size = getattr(arguments, "print_size", None)
    return decide(inputs if size is None else inputs.with_print_size(int(size)))
