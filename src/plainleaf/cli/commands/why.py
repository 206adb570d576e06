"""The command `plainleaf why`: why each statement is in or out."""

from __future__ import annotations

import argparse

from plainleaf.authoring.provenance.why_sentence import why_sentence
from plainleaf.cli import screen_text
from plainleaf.cli.commands.opened import decided
from plainleaf.cli.report_data import FORMAT, Data
from plainleaf.cli.streams import print_json, say, say_text
from plainleaf.packet.record import review_data
from plainleaf.rules.select import Selection
from plainleaf.vocabulary.conditions import Answer


def run(arguments: argparse.Namespace) -> int:
    """Print the reasons; the exit status.

    Raises:
        PlainleafError: A file cannot be read or written, or the content does not load.
    """
    decision = decided(arguments)
    if arguments.sentence is not None:
        answer = why_sentence(decision, arguments.sentence)
        if arguments.json:
            print_json({"format": FORMAT, **answer.data()})
        else:
            say(answer.lines())
    elif arguments.json:
        print_json(_data(decision.selection))
    else:
        say_text(screen_text.why(decision))
    return 0


def _data(selection: Selection) -> Data:
    """Every statement as in packet.json; `in` is null where a fact is not known."""
    pairs = zip(review_data.rulings_data(selection), selection.rulings, strict=True)
    rows = []
    for row, ruling in pairs:
        unknown = ruling.answer is Answer.UNKNOWN
        sources = list(ruling.sources)
        rows.append(row | {"in": None if unknown else row["in"], "sources": sources})
    return {"format": FORMAT, "statements": rows}
