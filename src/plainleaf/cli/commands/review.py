"""The command `plainleaf review`: the findings, the day, the totals and the dates."""

from __future__ import annotations

import argparse
from collections.abc import Sequence

from plainleaf.cli import screen_text
from plainleaf.cli.commands.opened import decided, places_of
from plainleaf.cli.streams import print_json, say, say_text
from plainleaf.compose.word import wording_of
from plainleaf.packet import build
from plainleaf.packet.record import review_data
from plainleaf.rules.decision import Decision
from plainleaf.vocabulary.errors import CheckError, LocaleError, RenderError

_NOT_TRIED = (
    "Not looked at: the finished pages. plainleaf review --pages lays them out, some seconds, and "
    "says what a build would refuse; plainleaf build does the same and writes nothing then."
)
_PRINTABLE = "The pages were laid out and checked, and nothing is wrong with them."


def run(arguments: argparse.Namespace) -> int:
    """Print the review; the exit status.

    Raises:
        PlainleafError: A file cannot be read or written, or the content does not load.
    """
    decision = decided(arguments)
    tried = arguments.pages and not decision.stopped
    faults, untidy = _page_faults(decision, arguments) if tried else ([], [])
    if arguments.json:
        data = review_data.decision_data(decision, wording_of(decision))
        print_json(data | ({"pages": faults, "untidy": untidy} if tried else {}))
    else:
        say_text(screen_text.review(decision))
        if not decision.stopped:
            say([*(faults or [_PRINTABLE if tried else _NOT_TRIED]), *untidy])
    return 1 if decision.stopped or faults else 0


def _page_faults(
    decision: Decision, arguments: argparse.Namespace
) -> tuple[Sequence[str], Sequence[str]]:
    """What a build would refuse in the finished pages, and what it would only say."""
    arguments.progress("laying out and checking the pages")
    try:
        packet = build.build(decision, places_of(arguments), arguments.workers)
    except CheckError as error:
        return error.faults, ()
    except (LocaleError, RenderError) as error:
        return str(error).splitlines(), ()
    return (), packet.untidy
