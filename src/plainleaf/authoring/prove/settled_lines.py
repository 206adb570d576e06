"""The invented decisions in the file of a class: a line for each finding that may be settled."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from plainleaf.inputs.patient import Patient
from plainleaf.rules.line_faults import values_read_again
from plainleaf.rules.outcomes import says_everything, shown
from plainleaf.rules.raised import RaisedFinding
from plainleaf.vocabulary.settling import ROLES, SETTLED_BY, TWO_FOR_HARM

Data = dict[str, Any]
Wanted = Mapping[str, tuple[str, Mapping[str, Any]]]
# Outcome → what it says, where it says more than its name; invented.
_FIELDS: dict[str, Data] = {
    "prepare": {"prepare": "dissolve", "in": "10 mL water"},
    "pharmacy-prepares": {"as": "packets", "in": "10 mL water"},
    "hold": {"before": "1 h", "after": "1 h"},
    "no-hold": {"watch": "symptoms"},
    "drink": {"amount": "100 mL"},
    "backup": {"who": "Example Neighbor", "phone": "555 010 0109"},
    "bilingual-staff": {"who": "Example Nurse", "language": "es"},
    "throw-away": {"after": "4 h"},
    "by-mouth": {"cleared_by": "S. Invented, SLP"},
    "checked-by": {"who": "Example Nurse"},
    "call-instead": {"contact": "after_hours"},
    "name-means": {"name": "levetiracetam"},
}


def settled_lines(
    raised: Sequence[RaisedFinding], patient: Patient, day: str, wanted: Wanted
) -> list[Data]:
    """A block of `settled` with one line, for each finding that may be settled.

    Args:
        wanted: Finding → outcome with its fields, where the class asks for one.
    """
    return [
        {**_signers(question), "date": day, "decided": [_line(question, patient, day, wanted)]}
        for question in raised
        if question.finding.blocks and question.finding.acceptable
    ]


def _signers(question: RaisedFinding) -> Data:
    settling = SETTLED_BY[question.finding.id]
    roles = settling.roles if settling.both else settling.roles[:1]
    if question.harmful and not settling.both:
        roles += tuple(role for role in TWO_FOR_HARM.roles if role not in roles)[:1]
    first, *others = (f"{role.title()} Invented, {ROLES[role][0]}" for role in roles)
    return {"by": first, **({"with": others[0]} if others else {})}


def _line(question: RaisedFinding, patient: Patient, day: str, wanted: Wanted) -> Data:
    finding = question.finding
    do, fields = wanted.get(finding.id) or _outcome(question, patient, day)
    about = {"about": finding.subject} if finding.subject else {}
    return {"finding": finding.id, **about, "do": do, **fields, "code": finding.code}


def _outcome(question: RaisedFinding, patient: Patient, day: str) -> tuple[str, Data]:
    """The outcome that changes the file least: the order stands where it may."""
    never = {"drink"} if "nothing" in patient.person.mouth else set()
    outcomes = [do for do in SETTLED_BY[question.finding.id].outcomes if do not in never]
    told = all(says_everything(medicine) for medicine in question.medicines)
    stands = [do for do in ("as-ordered", "checked-by-hand", "no-hold") if do in outcomes and told]
    made_ready = any(medicine.prepare is not None for medicine in question.medicines)
    ready = ["prepare"] if made_ready and "prepare" in outcomes else []
    do = (*stands, *ready, *outcomes)[0]
    if do == "read-again":
        return do, {"value": next(iter(values_read_again(question, patient).values()))}
    if do == "prepare":
        return do, _as_written(question)
    if do in ("later", "shown"):
        return do, {"date": day}
    return do, _FIELDS.get(do, {})


def _as_written(question: RaisedFinding) -> Data:
    """How the order says that it is made ready, where it says so."""
    for medicine in question.medicines:
        if medicine.prepare is not None:
            mixed = {} if medicine.mix is None else {"in": shown(medicine.mix)}
            return {"prepare": medicine.prepare, **mixed}
    return _FIELDS["prepare"]
