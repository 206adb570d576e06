"""The command `plainleaf reviewed`: who has read what, written down and shown."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from datetime import date
from difflib import get_close_matches

from plainleaf.cli.commands.opened import places_of
from plainleaf.cli.report_data import FORMAT
from plainleaf.cli.streams import print_json, say
from plainleaf.facts import VOCABULARY
from plainleaf.inputs.content import load_library
from plainleaf.inputs.policy import Policy, load_policy
from plainleaf.inputs.reviews import Review, reviews_beside, reviews_text
from plainleaf.inputs.strict_yaml import read_date
from plainleaf.packet.delivery import replace_file
from plainleaf.rules.reviewed import readable
from plainleaf.vocabulary.errors import ConfigurationError, Fault, UnitError
from plainleaf.vocabulary.settling import CREDENTIALS

_ASKED = ("by", "credential", "on", "again_by")


def run(arguments: argparse.Namespace) -> int:
    """Write a record for each name; without a name, show them all.

    Raises:
        PlainleafError: A file cannot be read or written, or a record lacks something.
    """
    places = places_of(arguments)
    teaching = readable(load_library(places.teaching, VOCABULARY))
    policy = load_policy(places.policy)
    whole = {**teaching, **policy.lines}
    if arguments.names:
        records = _records(arguments, whole, teaching)
        text = reviews_text({**policy.reviews, **records})
        replace_file(reviews_beside(places.policy), text, places.policy)
        policy = load_policy(places.policy)
        whole = {name: whole[name] for name in records}
    rows = [_row(name, digest, policy) for name, digest in whole.items()]
    if arguments.json:
        print_json({"format": FORMAT, "reviews": rows})
    else:
        say(_line(row) for row in rows)
    return 0


def _row(name: str, digest: str, policy: Policy) -> dict[str, str | None]:
    """One thing with its record, as today counts it."""
    review = policy.reviews.get(name)
    if review is None:
        return {"of": name, "state": "draft"} | dict.fromkeys(_ASKED)
    return {
        "of": name,
        "state": review.lapsed(digest, date.today()) or "reviewed",
        "by": review.by,
        "credential": review.credential,
        "on": review.on.isoformat(),
        "again_by": review.again_by.isoformat() if review.again_by else None,
    }


def _line(row: Mapping[str, str | None]) -> str:
    if row["by"] is None:
        return f"{row['of']:32}draft"
    record = f"{row['by']}, {row['credential']}, {row['on']}, again by {row['again_by']}"
    state = row["state"] if row["state"] == "reviewed" else f"draft again: {row['state']}"
    return f"{row['of']:32}{state} ({record})"


def _records(
    arguments: argparse.Namespace, whole: Mapping[str, str], teaching: Mapping[str, str]
) -> dict[str, Review]:
    lacking = [f"--{key.replace('_', '-')}" for key in _ASKED if not getattr(arguments, key)]
    if lacking:
        raise _error("A review names who, with which credential, on which day, and until when.",
                     f"Write also: {' '.join(lacking)}.")  # fmt: skip
    for name in arguments.names:
        _must_be_there(name, whole)
        if name in teaching and arguments.credential not in CREDENTIALS:
            raise _error(f"'{arguments.credential}' is no credential that is known.",
                         f"Write one of: {', '.join(CREDENTIALS)}.")  # fmt: skip
    on, again_by = _day(arguments.on, "--on"), _day(arguments.again_by, "--again-by")
    if on > date.today():
        raise _error(f"--on {on} is a day to come.", "Write the day on which it was read.")
    if again_by <= on:
        raise _error(f"--again-by {again_by} is not after {on}.", "Write the day it ends.")
    by, credential = (" ".join(getattr(arguments, key).split()) for key in ("by", "credential"))
    return {
        name: Review(name, by, credential, on, again_by, whole[name]) for name in arguments.names
    }


def _must_be_there(name: str, whole: Mapping[str, str]) -> None:
    if name not in whole:
        close = get_close_matches(name, whole, n=1)
        hint = f"Did you mean '{close[0]}'? " if close else ""
        raise _error(f"There is no '{name}' to be reviewed.",
                     f"{hint}plainleaf reviewed lists every name.")  # fmt: skip


def _day(text: str, option: str) -> date:
    try:
        return read_date(text)
    except UnitError as error:
        raise _error(f"{option}: {error.wrong}", error.instead) from error


def _error(wrong: str, instead: str) -> ConfigurationError:
    return ConfigurationError([Fault("reviewed", 0, wrong, instead)])
