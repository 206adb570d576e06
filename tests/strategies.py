"""Legal patients of every kind of tube and feeding, drawn at random as patient files.

A drawn file loads, holds no stop, and all that needs a licensed person's word is accepted. Sizes
follow the age, so that a child never gets an adult's amounts.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cached_property
from typing import Any

import yaml
from builders import library, policy, teaching
from hypothesis import HealthCheck, assume, settings
from hypothesis import strategies as st

from plainleaf.compose.fill import FilledPacket, fill
from plainleaf.compose.word import WordedPacket, Wording, word
from plainleaf.facts import Facts
from plainleaf.inputs.catalog import load_catalog
from plainleaf.inputs.load_inputs import inputs_for
from plainleaf.inputs.patient import Patient, read_patient
from plainleaf.inputs.strict_yaml import parse
from plainleaf.rules.acceptances import credential_for
from plainleaf.rules.decision import Decision, decide
from plainleaf.rules.findings import Finding, judge
from plainleaf.rules.select import Selection
from plainleaf.vocabulary import terms

Data = dict[str, Any]
# How many times as long a run by hand may search; the suite's own run is short and always the same.
MORE = int(os.environ.get("PLAINLEAF_MORE_EXAMPLES", "1"))


def few(examples: int) -> settings:
    """Places of one property: the same examples in each run, and not many."""
    return settings(
        max_examples=examples * MORE,
        derandomize=True,
        database=None,
        deadline=None,
        suppress_health_check=list(HealthCheck),
    )


# Age in days, weight, most mL of one flush, a day's formula in mL per kg.
AGES = (
    (100, "6 kg", 8, 60),
    (250, "8 kg", 10, 60),
    (800, "12.5 kg", 20, 50),
    (1700, "17 kg", 25, 45),
    (3300, "30 kg", 40, 30),
    (5600, "52 kg", 50, 25),
    (9000, "60 kg", 60, 25),
    (16000, "176 lb", 120, 20),
    (26000, "74 kg", 60, 22),
    (32000, "48.5 kg", 60, 25),
)
TUBES = (
    ("gastrostomy", "standard", "balloon"),
    ("gastrostomy", "standard", "bumper"),
    ("gastrostomy", "standard", "stitches"),
    ("gastrostomy", "low-profile", "balloon"),
    ("gastrostomy", "low-profile", "bumper"),
    ("jejunostomy", "standard", "stitches"),
    ("jejunostomy", "standard", "balloon"),
    ("jejunostomy", "low-profile", "balloon"),
    ("gastrojejunostomy", "standard", "balloon"),
    ("gastrojejunostomy", "standard", "bumper"),
    ("gastrojejunostomy", "low-profile", "balloon"),
)
RUNS = (("21:00", "10"), ("22:00", "8.5"), ("09:30", "2"), ("00:00", "24"))
NOW = ("2026-03-05 11:00", "2026-03-08 02:30", "2026-12-31 23:59", "2027-01-01 00:00",
       "2027-02-28 12:00")  # fmt: skip
# Through the tube; none of them is a stop that nobody can accept.
MEDICINES = (
    {"name": "acetaminophen", "form": "liquid", "dose": "20 mL"},
    {"name": "levetiracetam", "form": "oral solution", "dose": "2.5 mL"},
    {"name": "vitamin D", "form": "drops", "dose": "0.5 mL"},
    {"name": "lisinopril", "form": "tablet", "dose": "1 tablet", "crush": "pharmacist-approved"},
    {"name": "sertraline", "form": "tablet", "dose": "half tablet"},
    {"name": "omeprazole", "form": "delayed-release capsule", "dose": "1 capsule"},
    {"name": "levothyroxine", "form": "tablet", "dose": "125 mcg", "crush": "pharmacist-approved"},
    {"name": "polyethylene glycol 3350", "form": "powder", "dose": "17 g", "prepare": "Ask us."},
    {"name": "ciprofloxacin", "form": "suspension", "dose": "1000 mg"},
)  # fmt: skip
OUTSIDE = (
    {"name": "insulin glargine", "form": "injection", "dose": "14 units"},
    {"name": "salbutamol", "form": "inhaler", "dose": "2 puffs"},
)
FORMULAS = (
    {"name": "Standard adult formula, 1.2", "energy": "1.2 kcal/mL", "water": "81 %",
     "container": "237 mL"},
    {"name": "Peptide formula, 1.0", "energy": "1 kcal/mL", "water": "84.5 %", "container": "1 L"},
    {"name": "Dense formula, 2.0", "energy": "2.0 kcal/mL", "water": "70 %"},
)  # fmt: skip

any_of = st.sampled_from
maybe = st.booleans()


@st.composite
def _person(draw: st.DrawFn, now: datetime, age: tuple[int, str, int, int]) -> Data:
    person: Data = {
        "name": draw(any_of(("Ona Petrauskas", "Ada Brontë-Lillo", "Jo O'Neil"))),
        "born": (now - timedelta(days=age[0])).strftime("%Y-%m-%d"),
        "record_number": "DEMO-0001",
        "weight": age[1],
        "by_mouth": draw(any_of(terms.BY_MOUTH)),
        "language": "en",
    }
    conditions = draw(st.lists(any_of(terms.CONDITIONS), max_size=3, unique=True))
    if conditions:
        person["conditions"] = conditions
    return person


@st.composite
def _tube(draw: st.DrawFn, kind: tuple[str, str, str], now: datetime, age_days: int) -> Data:
    days = draw(
        any_of([d for d in (0.2, 1, 2.9, 3.1, 10, 27, 28, 45, 83, 84, 200) if d < age_days])
    )
    placed = now - timedelta(days=days)
    older = draw(maybe) and age_days > days + 60
    size = 12 if age_days < 1000 else draw(any_of((14, 16, 18)))
    tube: Data = {
        "kind": kind[0],
        "build": kind[1],
        "held_by": kind[2],
        "placed": placed.strftime("%Y-%m-%d %H:%M"),
        "placed_by": draw(any_of(terms.PLACED_BY)),
        "size": f"{size} Fr",
        "skin_buttons": draw(any_of(("0", "1", "3"))),
        "ports": draw(_ports(kind[0])),
    }
    if older:
        tube["opening_made"] = (placed - timedelta(days=50)).strftime("%Y-%m-%d")
        if draw(maybe):
            tube["position_checked"] = {
                "by": "Dr. A", "how": "X-ray", "on": placed.strftime("%Y-%m-%d")
            }  # fmt: skip
    if kind[1] == "standard":
        tube["mark_at_skin"] = draw(any_of(("3 cm", "3.5 cm", "10 cm", "1 in")))
    elif draw(maybe):
        tube["length"] = draw(any_of(("1.7 cm", "20 mm")))
    if kind[2] == "balloon":
        tube["balloon_fill"] = draw(any_of(("4 mL", "5 mL")))
        if draw(maybe):
            tube["balloon_port_color"] = "white"
    healed = days >= 84
    if kind[0] == "gastrostomy" and healed and draw(maybe):
        order = {"by": "Dr. A", "on": now.strftime("%Y-%m-%d")}
        if kind[2] == "bumper":
            tube["turn_daily"], tube["push_in_weekly"] = True, draw(maybe)
        elif kind[2] == "balloon":
            tube["may_put_back"] = order
        tube["opening_healed"] = order
    return tube


@st.composite
def _ports(draw: st.DrawFn, kind: str) -> Data:
    vent, drain = draw(maybe), draw(maybe)
    gastric = ["medicines"] + (["venting"] if vent else []) + (["drainage"] if drain else [])
    if kind == "gastrojejunostomy":
        return {"gastric": gastric, "jejunal": ["feeding"] + (["medicines"] if vent else [])}
    if kind == "jejunostomy":
        return {"jejunal": ["feeding", "medicines"]}
    return {"gastric": ["feeding", *gastric]}


def _formula(draw: st.DrawFn, system: str) -> Data:
    formula = {**draw(any_of(FORMULAS)), "system": system}
    if system == "closed" or draw(maybe):
        formula["container"] = "1000 mL" if system == "closed" else "237 mL"
    return formula


def _food(draw: st.DrawFn, *, pump: bool) -> Data:
    systems = ("open", "powder", "closed") if pump else ("open", "powder")
    system = draw(any_of((*systems, "blended")))
    return {"blended": True} if system == "blended" else {"formula": _formula(draw, system)}


@st.composite
def _day_feed(draw: st.DrawFn, port: str, share: int) -> Data:
    times = draw(any_of((["08:00", "12:00", "16:00", "20:00"], ["07:30", "13:00", "18:30"])))
    amount = max(share // len(times) // 5 * 5, 5)
    written = draw(any_of((f"{amount} mL", f"{amount}.5 mL")))
    feed: Data = {"method": draw(any_of(("syringe", "gravity"))), "through": port,
                  **_food(draw, pump=False), "amount": written, "times": times}  # fmt: skip
    if feed["method"] == "gravity" or draw(maybe):
        feed["over"] = draw(any_of(("20 min", "30 min", "1 h")))
    return feed


@st.composite
def _pump_feed(draw: st.DrawFn, port: str, share: int) -> Data:
    starts, hours = draw(any_of(RUNS))
    rate = max(int(share / float(hours)), 2)
    feed: Data = {"method": "pump", "through": port, **_food(draw, pump=True),
                  "rate": f"{rate} mL/h", "starts": starts, "runs_for": f"{hours} h"}  # fmt: skip
    if draw(maybe):
        feed["daily_total"] = f"{rate * float(hours):g} mL"
    return feed


@st.composite
def _feeding(draw: st.DrawFn, ports: Mapping[str, list[str]], share: int) -> list[Data]:
    (port,) = (name for name, uses in ports.items() if "feeding" in uses)
    if port == "jejunal":
        feed = draw(st.one_of(_pump_feed(port, share), _pump_feed(port, share),
                              _day_feed(port, share)))  # fmt: skip
        if feed["method"] != "pump" or "blended" in feed:
            feed["ordered_by"] = "Dr. A"
        return draw(any_of(([feed], [feed], [feed], [])))
    plan = draw(any_of(("day", "pump", "both", "none")))
    feeds = []
    if plan in ("day", "both"):
        feeds.append(draw(_day_feed(port, share // (2 if plan == "both" else 1))))
    if plan in ("pump", "both"):
        feed = draw(_pump_feed(port, share // (2 if plan == "both" else 1)))
        if plan == "both" and feed["runs_for"] == "24 h":
            feed["starts"] = "05:15"
        feeds.append(feed)
    return feeds


@st.composite
def _water(draw: st.DrawFn, data: Data, most: int) -> Data:
    flush = any_of((f"{most} mL", f"{most / 2:g} mL", f"{most - 0.5:g} mL"))
    water: Data = {"medicine": draw(flush)}
    for key in ("before_feed", "after_feed", "daily", "unclog"):
        if draw(maybe):
            water[key] = draw(flush)
    if draw(maybe):
        water |= {"every": draw(any_of(("4 h", "6 h"))), "each": draw(flush), "starts": "09:00"}
    if draw(maybe):
        port, uses = draw(any_of(sorted(data["tube"]["ports"].items())))
        if {"feeding", "medicines"} & set(uses):
            water["extra"] = {"amount": f"{most} mL", "times": ["10:00", "15:00"], "through": port}
    if draw(maybe):
        water["by"] = draw(any_of(terms.FLUSH_BY))
    for key in ("goal", "limit"):
        if draw(any_of((True, False, False))):
            water[key] = draw(any_of(("1700 mL", "2 L")))
    return water


@st.composite
def _medicines(draw: st.DrawFn, ports: Mapping[str, list[str]]) -> list[Data]:
    able = [name for name, uses in ports.items() if "medicines" in uses]
    chosen = draw(st.lists(any_of(range(len(MEDICINES))), max_size=4, unique=True))
    found: list[Data] = []
    for number in chosen:
        times = draw(any_of((["09:00"], ["09:00", "21:00"], ["06:30"], "as needed")))
        found.append({**MEDICINES[number], "times": times, "through": draw(any_of(able))})
        if times == "as needed" and draw(maybe):
            found[-1] |= {"for": "pain", "at_most": "every 6 hours"}
    for one in OUTSIDE:
        if draw(any_of((True, False, False))):
            found.append({**one, "times": ["21:00"]})
    return found


def _learners(draw: st.DrawFn, name: str, *, child: bool) -> list[Data]:
    mother = {"name": "Rut Lind", "relation": "mother", "language": "en", "hands_on": True}
    father = {"name": "Per Lind", "relation": "father", "language": "en", "hands_on": True}
    alone = {"name": name, "relation": "self", "language": "en", "hands_on": True}
    if child:
        return [mother, father] if draw(maybe) else [mother]
    return draw(any_of(([alone], [{**alone, "hands_on": False}, mother], [alone, father])))


def _rest(draw: st.DrawFn, now: datetime) -> Data:
    rest: Data = {
        "contacts": {
            "clinic": {"name": "Clinic", "phone": "+1 555 010 0100", "hours": "8 am to 4 pm"},
            "after_hours": {"name": "Nurse line", "phone": "+1 555 010 0101, then 2"},
            "emergency": {"phone": "911"},
        },
        "if_feeding_stops": "Call the diabetes nurse.",
        "prepared": {"by": "A. Nurse, RN", "on": now.strftime("%Y-%m-%d %H:%M")},
    }
    if draw(maybe):
        rest["contacts"]["supplies"] = {"name": "Supply company", "phone": "555-010-0102"}
    if draw(maybe):
        rest["contacts"]["others"] = [{"name": "Home nurse", "phone": "+1 555 010 0103"}]
    if draw(maybe):
        rest["visits"] = [
            {"what": "First check", "when": (now + timedelta(days=d)).strftime("%Y-%m-%d %H:%M")}
            for d in (-3, 14)
        ]
    if draw(maybe):
        rest["other_lines"] = draw(any_of(([], ["PICC"], ["PICC", "drain"])))
    if draw(maybe):
        rest["dates"] = {"shower_from": (now + timedelta(days=2)).strftime("%Y-%m-%d %H:%M")}
    return rest


@st.composite
def files(draw: st.DrawFn) -> Data:
    """A patient file as data; what must be accepted is not yet accepted."""
    now = datetime.strptime(draw(any_of(NOW)), "%Y-%m-%d %H:%M")
    age = draw(any_of(AGES))
    data: Data = {"patient": draw(_person(now, age))}
    data["learners"] = _learners(draw, data["patient"]["name"], child=age[0] < 6570)
    data["tube"] = draw(_tube(draw(any_of(TUBES)), now, age[0]))
    ports = data["tube"]["ports"]
    kilograms = float(age[1].split()[0]) * (0.4536 if age[1].endswith("lb") else 1)
    data["feeding"] = draw(_feeding(ports, int(kilograms * age[3])))
    data["medicines"] = draw(_medicines(ports))
    data["water"] = draw(_water(data, age[2]))
    return data | _rest(draw, now)


class _Plain(yaml.SafeDumper):
    """Writes every value out; an alias is refused by the loader."""

    def ignore_aliases(self, data: object) -> bool:
        return True


def dumped(data: Data) -> str:
    """A patient file's text."""
    text: str = yaml.dump(data, Dumper=_Plain, allow_unicode=True, sort_keys=False)
    return text


def wording() -> Wording:
    """English words."""
    return Wording(library(), load_catalog(library().folder / "locales", "en"))


@dataclass(frozen=True)
class Made:
    """A patient file with everything that follows from it."""

    data: Data

    @cached_property
    def patient(self) -> Patient:
        return read_patient(parse(dumped(self.data), "patient.yaml"))

    @cached_property
    def decision(self) -> Decision:
        return decide(inputs_for(self.patient, policy(), teaching()))

    @property
    def facts(self) -> Facts:
        return self.decision.facts

    @cached_property
    def findings(self) -> tuple[Finding, ...]:
        return judge(library().rules, self.facts, self.patient)

    @property
    def selection(self) -> Selection:
        return self.decision.selection

    @cached_property
    def filled(self) -> FilledPacket:
        return fill(self.decision)

    @cached_property
    def worded(self) -> WordedPacket:
        return word(self.filled, wording())

    @property
    def blocking(self) -> list[str]:
        return [finding.id for finding in self.findings if finding.blocks]


def accept(made: Made) -> Made:
    """The same file with all accepted that may be."""
    day = made.data["prepared"]["on"][:10]
    entries = [
        {
            "finding": finding.id,
            "by": f"I. Sorel, {credential_for(finding.id)}",
            "reason": "Asked the team; as ordered.",
            "on": day,
        }
        | ({"about": finding.subject} if finding.subject else {})
        for finding in made.findings
        if finding.blocks and finding.acceptable
    ]
    return Made({**made.data, "accepted": entries}) if entries else made


@st.composite
def patients(draw: st.DrawFn) -> Made:
    """A patient from whose file a packet may be built."""
    made = accept(Made(draw(files())))
    assume(not made.blocking)
    return made
