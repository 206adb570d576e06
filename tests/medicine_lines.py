"""Medicine lines as nurses type them, and which kinds of finding the rules raise about each.

The lines stand in tests/oracles/medicine-lines/lines.yaml. They were written from general pharmacy
knowledge, before whoever wrote them had opened the table of medicines, the closed list of findings
or the code, and were then frozen. That writer mended the program afterwards: the figure of the
first run is the honest one; that of the last run says what holds now.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from functools import cache
from hashlib import sha256
from typing import Any

import yaml
from builders import ROOT, changed_text, library, policy
from order_sets import facility

from plainleaf.facts import noting
from plainleaf.inputs.patient import read_patient
from plainleaf.inputs.strict_yaml import parse
from plainleaf.rules.raised import raise_all

LINES = ROOT / "tests" / "oracles" / "medicine-lines" / "lines.yaml"
FROZEN = "0bff8578570abd3ccd354c4d900c0d60c5d184c6b2076457ba1985bccf5c952e"
# Where the tip sits → a fed patient with such a tube, and the port.
BASES = {
    "stomach": ("tests/oracles/format-2/patients/g-change-group-home.yaml", "gastric"),
    "bowel": ("tests/oracles/dictated/j-alone-parkinson.yaml", "jejunal"),
}
# Kind of finding that a pharmacist would want → findings that say it.
SAID_BY = {
    "do-not-crush": {"crush-modified-release", "opioid-modified-release", "never-through-tube"},
    "not-for-tube": {"never-through-tube"},
    "hazardous": {"hazardous-medicine"},
    "hold-feed": {"clashes-with-feeding", "levodopa-and-feeding", "lump-with-feeding"},
    "dilute": {"mix-water-missing", "thin-before-giving"},
    "osmolality": {"fails-in-bowel"},
    "tip-site": {"fails-in-bowel"},
    "sorbitol": {"sorbitol-liquids"},
    "bore": {"tube-narrow-for-medicines", "dispersible-form", "lump-with-feeding"},
    "name": {"name-read-as", "name-not-known"},
}
# Words of a line → the form that is picked from the closed list, first that fits; else a tablet.
_FORMS = (
    (r"\bodt\b|\bfilm\b", "melting tablet"),
    (r"\bsl\b", "sublingual tablet"),
    (r"\b(packet|pkt)\b", "powder packet"),
    (r"\b(susp)\b", "suspension"),
    (r"\b(syr|elix|elixir|liq|liquid|soln)\b|/ ?5|mg/ml|ml\b", "liquid"),
    (r"\bperles?\b", "softgel"),
    (r"\b(cap|caps|sprinkles?)\b", "capsule"),
)


def lines() -> Mapping[str, list[dict[str, Any]]]:
    """The frozen lines: those that should say something (`loud`), and those that should not."""
    text = LINES.read_bytes()
    assert sha256(text).hexdigest() == FROZEN, "the lines were changed after they were frozen"
    return yaml.safe_load(text)


def _form(line: str) -> str:
    low = line.casefold()
    return next((form for words, form in _FORMS if re.search(words, low)), "tablet")


@cache
def raised_by(line: str, tip: str) -> frozenset[str]:
    """Ids of all findings that name this medicine, or the list of which it is the only one."""
    base, port = BASES[tip]
    form = _form(line)
    wet = form in ("liquid", "suspension")
    medicine = {
        "name": line,
        "form": form,
        "dose": "5 mL" if wet else "1 packet" if "packet" in form else "1 tablet",
        "route": port,
        "times": ["09:00"],
    }
    if not wet:
        opened = form in ("capsule", "powder packet", "melting tablet")
        medicine |= {"prepare": "open and do not crush" if opened else "crush", "in": "15 mL water"}
    text = changed_text(ROOT / base, {"medicines": [medicine]})
    patient = read_patient(parse(text, "line.yaml"), facility())
    noted = noting(patient, policy(), library().medicine_words)
    return frozenset(r.finding.id for r in raise_all(library().rules, noted, patient))


def kinds_of(raised: Collection[str]) -> set[str]:
    """The kinds that some findings say."""
    return {kind for kind, ids in SAID_BY.items() if ids & set(raised)}


def wanted(entry: Mapping[str, Any]) -> list[set[str]]:
    """What should come out, each as the kinds of which one is enough."""
    asked = [set(kind.split("|")) for kind in entry["expect"]]
    return asked + ([{"name"}] if "means" in entry else [])
