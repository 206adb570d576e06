"""The command `plainleaf completion`: what a shell needs to complete commands and options."""

from __future__ import annotations

import argparse

import shtab

from plainleaf.cli.arguments import parser
from plainleaf.cli.streams import print_document
from plainleaf.cli.suggesting import named_input, named_path


def run(arguments: argparse.Namespace) -> int:
    """Print the script of a shell; 0."""
    whole = parser()
    _complete_names(whole)
    print_document(shtab.complete(whole, shell=arguments.shell))
    return 0


def _complete_names(parser: argparse.ArgumentParser) -> None:
    """Have names of files and folders completed, in a parser and those of its commands."""
    for action in parser._actions:
        if action.type in (named_input, named_path):
            folder = action.metavar in ("DIR", "FOLDER")
            action.complete = shtab.DIRECTORY if folder else shtab.FILE  # type: ignore[attr-defined]
        if isinstance(action, argparse._SubParsersAction):
            for command in action.choices.values():
                _complete_names(command)
