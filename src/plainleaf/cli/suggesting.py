"""A parser of the command line that says what was probably meant."""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Sequence
from difflib import get_close_matches
from itertools import takewhile
from pathlib import Path
from typing import Any, NoReturn

from plainleaf.inputs.files import STANDARD_INPUT

# Letters of a wrong word that a message repeats.
_SHOWN = 60


def suggestion(word: str, words: Iterable[str]) -> str:
    """A question that names the nearest of the words; empty where none is near.

    >>> suggestion("biuld", ["build", "review"])
    " Did you mean 'build'?"
    """
    close = get_close_matches(word, list(words), n=1)
    return f" Did you mean '{close[0]}'?" if close else ""


def _shown(word: str) -> str:
    return word if len(word) <= _SHOWN else word[:_SHOWN] + "…"


class SuggestingParser(argparse.ArgumentParser):
    """Refuses what it does not know with the nearest word that it does know."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.color = False  # newer Pythons write signs for colour into the help

    def parse_known_args(  # type: ignore[override]
        self, args: Sequence[str] | None = None, namespace: argparse.Namespace | None = None
    ) -> tuple[argparse.Namespace, list[str]]:
        """As the standard one; an option that nobody knows is refused before all else."""
        if args is not None:
            self._refuse_unknown(args)
        return super().parse_known_args(args, namespace)

    def _refuse_unknown(self, args: Sequence[str]) -> None:
        if self._subparsers is not None:  # the rest is read by the command's own parser
            args = list(takewhile(lambda word: word.startswith("-"), args))
        for word in takewhile(lambda word: word != "--", args):
            name = word.split("=")[0]
            if name.startswith("--") and " " not in word and not self._starts_option(name):
                self._refuse_option(name)

    def _starts_option(self, name: str) -> bool:
        return any(option.startswith(name) for option in self._option_string_actions)

    def _refuse_option(self, name: str) -> NoReturn:
        hint = suggestion(name, self._option_string_actions)
        self.error(f"there is no option {_shown(name)}.{hint}")

    def _check_value(self, action: argparse.Action, value: Any) -> None:
        if action.choices is None or value in action.choices:
            return
        words = [str(word) for word in action.choices]
        wrong = f"'{_shown(str(value))}' is not known.{suggestion(str(value), words)}"
        raise argparse.ArgumentError(action, f"{wrong} Write one of: {', '.join(words)}.")


def named_path(text: str) -> Path:
    """What somebody names as a file or folder.

    Raises:
        argparse.ArgumentTypeError: The name is empty or holds a control character.
    """
    if not text or any(ord(sign) < 32 or 127 <= ord(sign) < 160 for sign in text):
        raise argparse.ArgumentTypeError("the name is empty or holds a control character")
    return Path(text)


def named_input(text: str) -> Path:
    """What somebody names as a file to read; `-` is standard input.

    Raises:
        argparse.ArgumentTypeError: As `named_path`.
    """
    return STANDARD_INPUT if text == "-" else named_path(text)
