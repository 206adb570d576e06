"""The parser of the command line: what was mistyped is answered with what was meant."""

from __future__ import annotations

import argparse
from pathlib import Path

import pytest

from plainleaf.cli.arguments import parser
from plainleaf.cli.main import main
from plainleaf.cli.suggesting import named_input, named_path
from plainleaf.inputs.files import STANDARD_INPUT

# What was typed, and what the answer names.
MISTYPED = {
    "a command": (
        ["biuld", "a.yaml"],
        "'biuld' is not known. Did you mean 'build'? Write one of: st",
    ),
    "a kind": (["start", "gastrostmy"], "Did you mean 'gastrostomy'?"),
    "an action": (["locales", "chek"], "Did you mean 'check'?"),
    "a shell": (["completion", "bsh"], "Did you mean 'bash'?"),
    "an option": (
        ["review", "a.yaml", "--polcy", "b"],
        "no option --polcy. Did you mean '--policy'?",
    ),
    "an option with a value": (
        ["review", "a", "--jsn=1"],
        "no option --jsn. Did you mean '--json'?",
    ),
    "before what lacks": (["build", "a.yaml", "--uot", "b"], "Did you mean '--out'?"),
    "before the command": (["--versoin"], "Did you mean '--version'?"),
    "nothing near": (["review", "a", "--zzzz"], "there is no option --zzzz.\n"),
    "a size": (["build", "a", "--out", "b", "--print-size", "13"], "Write one of: 14, 18, 22, 28."),
    "no command": ([], "write a COMMAND"),
    "a long word": (["b" * 5_000], "'" + "b" * 60 + "…' is not known."),
}


@pytest.mark.parametrize("name", MISTYPED)
def test_what_was_mistyped_is_answered(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    words, says = MISTYPED[name]
    with pytest.raises(SystemExit) as error:
        main(words)
    assert error.value.code == 2
    output = capsys.readouterr()
    assert output.out == ""
    assert says in output.err
    assert max(map(len, output.err.splitlines())) <= 400


@pytest.mark.parametrize(
    "words",
    [
        ["why", "a.yaml", "--sentence=--what is this"],
        ["why", "a.yaml", "--sentence", "-- two words"],
        ["review", "--lang", "es", "a.yaml"],
        ["review", "--", "--a.yaml"],
    ],
)
def test_what_is_right_is_not_corrected(words: list[str]) -> None:
    assert parser().parse_args(words).command == words[0]


def test_a_dash_is_standard_input_where_a_file_is_read() -> None:
    whole = parser()
    for words in (["review", "-"], ["why", "-"], ["build", "-", "--out", "a"]):
        assert whole.parse_args(words).file == STANDARD_INPUT
    assert whole.parse_args(["start", "--from", "-"]).bundle == STANDARD_INPUT
    assert whole.parse_args(["build", "a", "--out", "-", "--replaces", "-"]).replaces == (
        STANDARD_INPUT
    )
    assert whole.parse_args(["build", "a", "--out", "-"]).out == Path("-")
    assert named_input("./-") == Path("-")


@pytest.mark.parametrize("name", ["", "a\nb", "a\x1b[2J", "a\x7f", "a\x9b"])
def test_names_that_move_a_terminal_are_refused(name: str) -> None:
    for read in (named_path, named_input):
        with pytest.raises(argparse.ArgumentTypeError):
            read(name)
