"""The library that other programs call; `plainleaf` gives the names of this file.

Every function takes all that it needs and keeps nothing: with the same inputs the same comes out,
in whatever thread.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from plainleaf.compose.word import wording_of
from plainleaf.facts import VOCABULARY
from plainleaf.inputs.load_inputs import Teaching, inputs_for, load_teaching
from plainleaf.inputs.patient import patient_from_text
from plainleaf.inputs.policy import Policy, load_policy
from plainleaf.packet import build as building
from plainleaf.packet import typed_prints
from plainleaf.packet.build import Packet
from plainleaf.packet.places import Places
from plainleaf.packet.record.review_data import decision_data
from plainleaf.rules.decision import Decision
from plainleaf.rules.findings import Finding
from plainleaf.vocabulary.errors import PlainleafError

__all__ = [
    "Decision",
    "Finding",
    "Packet",
    "PlainleafError",
    "Policy",
    "Teaching",
    "build",
    "decide",
    "open_policy",
    "open_teaching",
    "review",
]


def open_teaching(folder: Path | None = None) -> Teaching:
    """The words and rules of a teaching folder, in every language that it has.

    It takes most of a second: open it once.

    Args:
        folder: Your own content; without it, what ships.
    Raises:
        ContentError, LocaleError: The folder cannot be read as it stands.
    """
    return load_teaching(Places.default(teaching=folder).teaching, VOCABULARY)


def open_policy(file: Path | None = None) -> Policy:
    """The settings of a facility.

    Args:
        file: Your own settings; without it, the invented example that ships.
    Raises:
        PolicyError: The file cannot be read as it stands.
    """
    return load_policy(Places.default(policy=file).policy)


def decide(
    text: str,
    teaching: Teaching,
    policy: Policy,
    *,
    language: str | None = None,
    name: str = "patient",
) -> Decision:
    """What follows from a patient file's text: facts, findings, and which statements hold.

    Args:
        text: A patient file in YAML, or in JSON where it begins with a brace.
        language: Tag of another handout language than the patient's, such as `es`.
        name: What messages call the text; a name that ends in `.json` says that it is JSON.
    Raises:
        PatientError: The text cannot be used; it holds every fault with its line.
    """
    inputs = inputs_for(patient_from_text(text, name, policy.named), policy, teaching, language)
    return typed_prints.decide(inputs)


def review(decision: Decision) -> dict[str, Any]:
    """Findings, totals, the day, dates and supplies as plain data: the keys of `review --json`."""
    return decision_data(decision, wording_of(decision))


def build(decision: Decision, *, templates: Path | None = None, more: bool = False) -> Packet:
    """The packet of a decision, laid out, checked and held in memory; it takes some seconds.

    Args:
        templates: Your own pages; without it, those that ship.
        more: With the pages that are printed only on request.
    Raises:
        StoppedError: Open findings block it.
        RenderError, CheckError, LocaleError, ContentError: It is not fit to hand out.
    """
    places = Places.default()
    if templates is not None:
        places = Places(places.teaching, templates, places.policy, places.cache)
    return building.build(decision, places, more=more)
