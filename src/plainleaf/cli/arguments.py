"""The command line: what may be given to each command, and the help a nurse reads."""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from typing import TypeAlias

from plainleaf.cli.guard import DEBUG
from plainleaf.cli.suggesting import SuggestingParser, named_input, named_path
from plainleaf.vocabulary import terms
from plainleaf.vocabulary.patient_file import TABLES

_Commands: TypeAlias = "argparse._SubParsersAction[SuggestingParser]"
_STATUS = """exit status:
  0    done: a packet can be built, or was; no fault was found
  1    it cannot: a stop, a question not yet accepted, or a fault
  2    a file cannot be read or written, or what was typed cannot be understood
  130  stopped with Ctrl-C"""
_RECORD_STATUS = """exit status:
  0    everyone who gives care met everything critical: ready, as far as taught
  1    something critical is open, or a fault in the finished print
  2    a file cannot be read or written, or the sheet belongs to another packet
  130  stopped with Ctrl-C"""
_SCHEMA_STATUS = """exit status:
  0    printed
  2    what was typed cannot be understood
  130  stopped with Ctrl-C"""
_SHELLS = ("bash", "zsh", "fish")
# Commands that report something, which programs may want too.
_REPORTING = (
    "review",
    "build",
    "why",
    "record",
    "affected",
    "lint",
    "prove",
    "locales",
    "reviewed",
)
_LOCALES_ACTIONS = ("status", "extract", "update", "check", "reviewed")


def parser() -> SuggestingParser:
    """What the command line understands."""
    whole = SuggestingParser(
        prog="plainleaf",
        description="Turns one patient file into the teaching packet for a new feeding tube. "
        "It supports the nurse and never replaces an order or the care team.",
        epilog="First steps:  plainleaf start gastrostomy > patient.yaml, fill it in, then "
        "plainleaf review patient.yaml, then plainleaf build patient.yaml --out packet",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    whole.add_argument(
        "--version", dest="command", action="store_const", const="versions",
        help="name the program, the teaching content and the settings, each with its version",
    )  # fmt: skip
    whole.add_argument(DEBUG, action="store_true", help=argparse.SUPPRESS)
    commands = whole.add_subparsers(dest="command", metavar="COMMAND")
    _patient_commands(commands)
    _teaching_commands(commands)
    _settings_arguments(commands.choices.values())
    for name in _REPORTING:
        commands.choices[name].add_argument(
            "--json", action="store_true", help="print the same as data, for programs"
        )
    shell = _command(commands, "completion", "print what a shell needs to complete commands")
    shell.add_argument("shell", choices=_SHELLS, metavar="SHELL", help="bash, zsh or fish")
    return whole


def _patient_commands(commands: _Commands) -> None:
    """What a nurse runs: from the patient file to the packet and back."""
    _start_arguments(
        _command(commands, "start", "print a patient file to fill in, for a kind of tube")
    )
    keys = "print the JSON Schema of the patient file, for editors and programs"
    schema = _command(commands, "schema", keys, _SCHEMA_STATUS)
    schema.add_argument(
        "--format", type=int, choices=tuple(TABLES), default=1, metavar="N",
        help="which format of the patient file: 1, or 2, which can order more",
    )  # fmt: skip
    other = schema.add_mutually_exclusive_group()
    other.add_argument(
        "--reference", action="store_true", help="print a table of all keys as Markdown instead"
    )
    other.add_argument(
        "--record",
        choices=("packet.json", "record.json"),
        help="print the JSON Schema of a record that plainleaf writes instead",
    )
    later = "print a patient file of format 1 in format 2, with <…> where that asks more"
    _command(commands, "upgrade", later, _SCHEMA_STATUS).add_argument(
        "file", type=named_input, metavar="FILE", help="the patient file; - reads standard input"
    )
    look = _command(commands, "review", "show the findings, the day, the totals and the dates")
    _pages(look)
    make = _command(commands, "build", "write the packet: handout, teach-back sheet and record")
    _build_arguments(make)
    ask = _command(commands, "why", "show why each statement is in or out")
    ask.add_argument(
        "--sentence", metavar="TEXT", help="only what stands behind a printed sentence, or a part"
    )
    for command in (look, make, ask):
        command.add_argument(
            "file", type=named_input, metavar="FILE",
            help="the patient file; - reads standard input",
        )  # fmt: skip
        command.add_argument("--language", metavar="TAG", help="another handout language, as in en")
    back = "read a filled teach-back sheet into a record"
    _record_arguments(_command(commands, "record", back, _RECORD_STATUS))


def _teaching_commands(commands: _Commands) -> None:
    """What those who own the words run."""
    records = _command(commands, "affected", "show which records of packets a change touches")
    records.add_argument(
        "folder", type=named_path, metavar="FOLDER", help="holds packet.json records"
    )
    _command(commands, "lint", "read all teaching content and list every fault")
    proof = _command(commands, "prove", "prove the content for every kind of patient there can be")
    proof.add_argument(
        "--out", type=named_path, metavar="DIR",
        help="folder for the patient files that show the faults",
    )  # fmt: skip
    proof.add_argument(
        "--seal", action="store_true",
        help="where everything holds, write the seal beside the policy file; build takes only what "
        "is sealed",
    )  # fmt: skip
    _reviewed_arguments(
        _command(commands, "reviewed", "show who has read what, or write down that somebody has")
    )
    words = _command(commands, "locales", "show how far each language is, and help translators")
    _locales_arguments(words)


def _settings_arguments(commands: Iterable[argparse.ArgumentParser]) -> None:
    for command in commands:
        command.add_argument(
            "--policy", type=named_path, metavar="FILE",
            help="the facility's settings (else PLAINLEAF_POLICY, else policy in plainleaf.toml)",
        )  # fmt: skip
        command.add_argument(
            "--teaching", type=named_path, metavar="DIR",
            help="another teaching folder (else PLAINLEAF_TEACHING, else teaching in "
            "plainleaf.toml)",
        )  # fmt: skip
        command.add_argument(
            DEBUG, action="store_true",
            help="after a fault of the program show where it arose; it may show patient data",
        )  # fmt: skip


def _pages(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--pages", action="store_true", help="lay out all pages too, and say what a build refuses"
    )


def _build_arguments(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--out", type=named_path, required=True, metavar="DIR", help="folder to write into"
    )
    _print_size(command)
    command.add_argument(
        "--more",
        action="store_true",
        help="also the pages that are printed on request: more about the tube, supplies, daily "
        "life, questions, a log to copy",
    )
    command.add_argument(
        "--replaces",
        type=named_input,
        metavar="PACKET",
        help="packet.json of the packet given out before",
    )


def _start_arguments(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "kind", nargs="?", choices=terms.TUBE_KINDS, metavar="KIND",
        help=f"where the tube leads: {', '.join(terms.TUBE_KINDS)}",
    )  # fmt: skip
    command.add_argument(
        "--format", type=int, choices=tuple(TABLES), default=1, metavar="N",
        help="which format of the patient file: 1, or 2, which can order more",
    )  # fmt: skip
    command.add_argument(
        "--from", dest="bundle", type=named_input, metavar="BUNDLE",
        help="a FHIR R4 Bundle in JSON: what it says for sure is filled in; - reads standard "
        "input",
    )  # fmt: skip


def _command(
    commands: _Commands,
    name: str,
    does: str,
    status: str = _STATUS,
) -> SuggestingParser:
    return commands.add_parser(
        name,
        help=does,
        description=does[0].upper() + does[1:] + ".",
        epilog=status,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )


def _print_size(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--print-size",
        choices=[size.split()[0] for size in terms.PRINT_SIZES],
        metavar="POINTS",
        help="print of the family's pages: 14, 18, 22 or 28",
    )


def _record_arguments(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "file", type=named_path, metavar="FILE.pdf", help="the filled teach-back.pdf"
    )
    command.add_argument(
        "--packet", type=named_input, metavar="DIR",
        help="the packet's folder or its packet.json (else beside FILE.pdf)",
    )  # fmt: skip
    command.add_argument(
        "--out", type=named_path, metavar="DIR", help="folder to write into (else beside FILE.pdf)"
    )


def _reviewed_arguments(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "names", nargs="*", metavar="NAME",
        help="a module, phrases, a file of rules, or a line of the settings as policy.NAME; "
        "without one all are shown",
    )  # fmt: skip
    command.add_argument("--by", metavar="NAME", help="who has read or approved it")
    command.add_argument("--credential", metavar="WORD", help="this person's credential, as in RN")
    command.add_argument("--on", metavar="DATE", help="the day, as in 2026-03-04")
    command.add_argument("--again-by", metavar="DATE", help="the last day on which it counts")


def _locales_arguments(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "action",
        nargs="?",
        choices=_LOCALES_ACTIONS,
        default="status",
        help="status: how far each language is (the default); extract: print a template of all "
        "texts; update: bring the catalogs up to the English of today, or begin a language; "
        "check: list every fault; reviewed: write down that a qualified person has read the words "
        "of a module",
    )
    command.add_argument("module", nargs="?", metavar="MODULE", help="reviewed: which module")
    command.add_argument("--by", metavar="NAME", help="reviewed: who has read it")
    command.add_argument(
        "--qualification", metavar="TEXT", help="reviewed: on what this person's skill rests"
    )
    command.add_argument("--on", metavar="DATE", help="reviewed: the day, as in 2026-03-04")
    command.add_argument("--language", metavar="TAG", help="one language, as in es")
