"""`plainleaf --version`: the program, the teaching content and the settings that it works with."""

from __future__ import annotations

import argparse
from collections.abc import Mapping

from plainleaf.cli.commands.opened import chosen, places_of
from plainleaf.cli.configuration import Chosen
from plainleaf.cli.streams import say
from plainleaf.facts import VOCABULARY
from plainleaf.inputs.content import load_library
from plainleaf.inputs.policy import load_policy
from plainleaf.vocabulary.version import program_version


def run(arguments: argparse.Namespace) -> int:
    """Each with the version or digest by which packets name it, and who chose it.

    Raises:
        PlainleafError: The content or the settings cannot be read.
    """
    say([f"plainleaf {program_version()}"])
    named, given = chosen(arguments), places_of(arguments)
    library = load_library(given.teaching, VOCABULARY)
    say([f"teaching  {library.digest}  {given.teaching} ({_chosen_by(named, 'teaching')})"])
    policy = load_policy(given.policy)
    example = ", an invented example" if policy.example else ""
    say(
        [
            f"policy    {policy.digest}  {given.policy} ({_chosen_by(named, 'policy')})",
            f"          {policy.facility}{example}; holds from {policy.holds_from}",
        ]
    )
    return 0


def _chosen_by(named: Mapping[str, Chosen], key: str) -> str:
    """Who named a path; without anyone it ships, or lies in the teaching folder that was named."""
    if key in named:
        return named[key].by
    return "of that teaching folder" if named else "shipped"
