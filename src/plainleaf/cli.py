"""The commands: arguments in, one pipeline call, words and an exit status out."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path

from plainleaf import pipeline, report, screen, terms
from plainleaf.affected import affected
from plainleaf.chain import replacing
from plainleaf.content import load_library
from plainleaf.delivery import deliver
from plainleaf.errors import ExchangeError, PlainleafError
from plainleaf.exchange import begin
from plainleaf.fonts import default_cache, use_own_fonts
from plainleaf.lint import lint
from plainleaf.policy import load_policy
from plainleaf.press import Presses
from plainleaf.proofread import covering, proofread
from plainleaf.prove import examples, lines, prove
from plainleaf.returned import command as record_command
from plainleaf.starter import starter
from plainleaf.trace import why_sentence
from plainleaf.translate import command as translate_command
from plainleaf.zones import zone

_STATUS = """exit status:
  0  done: a packet can be built, or was
  1  it cannot: a stop, a question not yet accepted, or a fault in the finished print
  2  a file cannot be read or written"""


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="plainleaf",
        description="Turns one patient file into the teaching packet for a new feeding tube. "
        "It supports the nurse and never replaces an order or the care team.",
        epilog="First steps:  plainleaf start gastrostomy > patient.yaml, fill it in, then "
        "plainleaf review patient.yaml, then plainleaf build patient.yaml --out packet",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action="version", version=pipeline.program_version())
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")
    first = _command(commands, "start", "print a patient file to fill in, for a kind of tube")
    _start_arguments(first)
    look = _command(commands, "review", "show the findings, the day, the totals and the dates")
    look.add_argument("--json", action="store_true", help="print the same for programs")
    make = _command(commands, "build", "write the packet: handout, teach-back sheet and record")
    _build_arguments(make)
    ask = _command(commands, "why", "show why each statement is in or out")
    ask.add_argument(
        "--sentence", metavar="TEXT", help="only what stands behind a printed sentence, or a part"
    )
    for command in (look, make, ask):
        command.add_argument("file", type=Path, metavar="FILE", help="the patient file")
        command.add_argument("--language", metavar="TAG", help="another handout language, as in en")
    back = _command(
        commands, "record", "read a filled teach-back sheet into a record", record_command.STATUS
    )
    record_command.add_arguments(back)
    records = _command(commands, "affected", "show which records of packets a change touches")
    records.add_argument("folder", type=Path, metavar="FOLDER", help="holds packet.json records")
    _command(commands, "lint", "read all teaching content and list every fault")
    proof = _command(commands, "prove", "prove the content for every kind of patient there can be")
    proof.add_argument(
        "--out", type=Path, metavar="DIR", help="folder for the patient files that show the faults"
    )
    words = _command(commands, "locales", "show how far each language is, and help translators")
    translate_command.add_arguments(words)
    _settings_arguments(commands.choices.values())
    return parser


def _settings_arguments(commands: Iterable[argparse.ArgumentParser]) -> None:
    for command in commands:
        command.add_argument("--policy", type=Path, metavar="FILE", help="the facility's settings")
        command.add_argument("--teaching", type=Path, metavar="DIR", help="another teaching folder")


def _build_arguments(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--out", type=Path, required=True, metavar="DIR", help="folder to write into"
    )
    _print_size(command)
    command.add_argument(
        "--replaces", type=Path, metavar="PACKET", help="packet.json of the packet given out before"
    )


def _start_arguments(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "kind", nargs="?", choices=terms.TUBE_KINDS, metavar="KIND",
        help=f"where the tube leads: {', '.join(terms.TUBE_KINDS)}",
    )  # fmt: skip
    command.add_argument(
        "--from", dest="bundle", type=Path, metavar="BUNDLE",
        help="a FHIR R4 Bundle in JSON: what it says for sure is filled in",
    )  # fmt: skip


def _command(
    commands: argparse._SubParsersAction[argparse.ArgumentParser],
    name: str,
    does: str,
    status: str = _STATUS,
) -> argparse.ArgumentParser:
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


def _case(arguments: argparse.Namespace) -> pipeline.Case:
    settings = pipeline.Settings.default(arguments.teaching, arguments.policy)
    case = pipeline.open_case(arguments.file, settings, arguments.language)
    size = getattr(arguments, "print_size", None)
    return case if size is None else pipeline.with_print_size(case, int(size))


def _start(arguments: argparse.Namespace) -> int:
    """What a bundle could not say goes to standard error too; the file says it in its head."""
    if arguments.bundle is None:
        if arguments.kind is None:
            raise ExchangeError(f"start: write a kind of tube: {', '.join(terms.TUBE_KINDS)}.")
        sys.stdout.write(starter(arguments.kind))
        return 0
    policy = load_policy(pipeline.Settings.default(arguments.teaching, arguments.policy).policy)
    begun = begin(arguments.bundle, arguments.kind, zone(policy.word("time_zone")))
    sys.stdout.write(begun.text)
    sys.stderr.writelines(f"{note}\n" for note in begun.notes)
    sys.stderr.write(f"Still to write: {', '.join(begun.blanks)}.\n")
    return 0


def _review(arguments: argparse.Namespace) -> int:
    case = _case(arguments)
    if arguments.json:
        data = report.review_data(case.facts, case.findings, case.wording)
        sys.stdout.write(json.dumps(data, ensure_ascii=False, indent=1) + "\n")
    else:
        sys.stdout.write(screen.review(case))
    return 1 if case.stopped else 0


def _build(arguments: argparse.Namespace) -> int:
    record_command.keep_filled_sheet(arguments.out)
    use_own_fonts(default_cache())
    with arguments.presses as presses:
        case = _case(arguments)
        if case.stopped:
            sys.stderr.write(screen.blocked(case))
            return 1
        if arguments.replaces is not None:
            case, says = replacing(case, arguments.replaces)
            sys.stdout.write(f"{says}\n")
        files = pipeline.build(case, presses)
    deliver(files, arguments.out)
    sys.stdout.write(screen.delivered(case, files, arguments.out))
    return 0


def _why(arguments: argparse.Namespace) -> int:
    case = _case(arguments)
    if arguments.sentence is None:
        sys.stdout.write(screen.why(case))
    else:
        sys.stdout.write(why_sentence(case, arguments.sentence)[0])
    return 0


def _record(arguments: argparse.Namespace) -> int:
    settings = pipeline.Settings.default(arguments.teaching, arguments.policy)
    return record_command.run(arguments, settings)


def _affected(arguments: argparse.Namespace) -> int:
    settings = pipeline.Settings.default(arguments.teaching, arguments.policy)
    sys.stdout.write(affected(arguments.folder, settings))
    return 0


def _lint(arguments: argparse.Namespace) -> int:
    folder = arguments.teaching or pipeline.shipped("teaching")
    library, faults = lint(folder)
    for fault in faults:
        sys.stdout.write(f"{fault}\n")
    if library is None or faults:
        return 1
    count = sum(1 for module in library.modules for _ in module.statements())
    sys.stdout.write(f"{len(library.modules)} modules, {count} statements, no faults.\n")
    return 0


def _locales(arguments: argparse.Namespace) -> int:
    return translate_command.run(arguments, arguments.teaching or pipeline.shipped("teaching"))


def _prove(arguments: argparse.Namespace) -> int:
    """Without --policy the proof holds for every setting that a facility may choose."""
    settings = pipeline.Settings.default(arguments.teaching, arguments.policy)
    library = load_library(settings.teaching)
    policy = load_policy(settings.policy)
    fixed = None if arguments.policy is None else policy
    outcome = prove(library, fixed, lambda step: print(f"prove: {step}", file=sys.stderr))
    if arguments.out is not None and not outcome.proved:
        deliver(examples(outcome, policy, library, any_facility=fixed is None), arguments.out)
    sys.stdout.writelines(f"{line}\n" for line in lines(outcome))
    print("prove: the words", file=sys.stderr)
    words = proofread(library, covering(library, policy, settings, outcome.search))
    sys.stdout.write(f"\n{words.report(items=True)}")
    return 0 if outcome.proved and not words.faults else 1


_COMMANDS: dict[str, Callable[[argparse.Namespace], int]] = {
    "start": _start,
    "review": _review,
    "build": _build,
    "why": _why,
    "record": _record,
    "affected": _affected,
    "lint": _lint,
    "locales": _locales,
    "prove": _prove,
}
# Errors of the finished packet are status 1: the files were read, but no packet may go out.
_NOT_FIT = ("CheckError", "RenderError", "LocaleError", "ReplaceError")


def main(argv: Sequence[str] | None = None, presses: Presses | None = None) -> int:
    """Run one command; messages of expected errors go to standard error, one line a fault.

    Args:
        presses: Those that run already; without them a command that prints starts its own.
    """
    arguments = _parser().parse_args(argv)
    arguments.presses = presses or Presses()
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="replace")
    try:
        return _COMMANDS[arguments.command](arguments)
    except PlainleafError as error:
        sys.stderr.write(f"{error}\n")
        return 1 if type(error).__name__ in _NOT_FIT else 2
    except BrokenPipeError:
        return 0
