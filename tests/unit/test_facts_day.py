"""The printed day: order of doing, midnight, flushes, rounds of medicines, totals."""

from __future__ import annotations

from datetime import time
from typing import Any

import pytest
from builders import REMOVE, facts_with, patient_with, policy_with

from plainleaf.facts.derived import Facts
from plainleaf.facts.plans import resting_ports
from plainleaf.facts.runs import minute_of, minutes_in
from plainleaf.vocabulary.quantities import read_quantity

A, B, C = "g-balloon-syringe", "g-bumper-blended", "g-button-child"
GJ, J = "gj-pump-overnight", "j-surgical-continuous"


def lines(facts: Facts) -> list[str]:
    """The day as short lines: 18:00 pump-start jejunal 900 mL."""
    return [
        " ".join(
            part
            for part in (
                f"{event.at:%H:%M}", event.kind, event.why, event.through,
                str(event.amount) if event.amount else "",
                event.medicine.name if event.medicine else "",
            )
            if part
        )
        for event in facts.events
    ]  # fmt: skip


# The day of each example, by hand from its file: flush, feed, flush; medicines before feedings.
DAYS: dict[str, list[str]] = {
    GJ: [
        "06:00 pump-stop jejunal",
        "06:00 flush after-feed jejunal 60 mL",
        "06:30 flush medicine gastric 15 mL",
        "06:30 medicine gastric levothyroxine",
        "06:30 flush medicine gastric 15 mL",
        "09:00 flush medicine gastric 15 mL",
        "09:00 medicine gastric levetiracetam",
        "09:00 flush medicine gastric 15 mL",
        "18:00 flush before-feed jejunal 60 mL",
        "18:00 pump-start jejunal 900 mL",
        "21:00 flush medicine gastric 15 mL",
        "21:00 medicine gastric levetiracetam",
        "21:00 flush medicine gastric 15 mL",
    ],
    C: [
        "07:00 flush medicine gastric 5 mL",
        "07:00 medicine gastric vitamin D",
        "07:00 flush medicine gastric 5 mL",
        *(
            line
            for hour in ("07", "11", "15", "19")
            for line in (
                f"{hour}:00 flush before-feed gastric 10 mL",
                f"{hour}:00 feed gastric 180 mL",
                f"{hour}:00 flush after-feed gastric 10 mL",
            )
        ),
    ],
    J: [
        "08:00 flush every jejunal 30 mL",
        "09:00 pump-pause medicine jejunal",
        "09:00 flush medicine jejunal 15 mL",
        "09:00 medicine jejunal sertraline",
        "09:00 flush medicine jejunal 15 mL",
        "09:00 pump-resume medicine jejunal",
        "12:00 flush every jejunal 30 mL",
        "16:00 flush every jejunal 30 mL",
        "20:00 flush every jejunal 30 mL",
        "00:00 flush every jejunal 30 mL",
        "00:00 pump-start jejunal 2040 mL",
        "04:00 flush every jejunal 30 mL",
    ],
}


@pytest.mark.parametrize("base", DAYS)
def test_the_day_of_an_example(base: str) -> None:
    assert lines(facts_with(base=base)) == DAYS[base]


def test_a_medicine_outside_the_tube_has_no_flush() -> None:
    of_night = [line for line in lines(facts_with(base=B)) if line.startswith("21:00")]
    assert of_night == ["21:00 medicine none insulin glargine"]


def test_the_day_begins_where_the_policy_says() -> None:
    facts = facts_with(base=GJ, rules_of=policy_with(day_starts="07:00"))
    assert lines(facts)[0] == "09:00 flush medicine gastric 15 mL"
    assert [f"{event.at:%H:%M}" for event in facts.events][-4:] == [
        "06:00",
        "06:30",
        "06:30",
        "06:30",
    ]
    assert [event.minute for event in facts.events] == sorted(e.minute for e in facts.events)


def medicines(*given: tuple[str, str, str]) -> list[dict[str, Any]]:
    return [
        {"name": name, "form": form, "dose": "5 mL" if form == "liquid" else "1 tablet",
         "times": [at], "through": "gastric"}
        for name, form, at in given
    ]  # fmt: skip


# Row o-nmed: n medicines have n + 1 flushes, or 2n where the policy says so.
@pytest.mark.parametrize("count", [1, 2, 3, 4])
@pytest.mark.parametrize(
    ("policy_word", "flushes"),
    [("before-between-after", lambda n: n + 1), ("before-and-after-each", lambda n: 2 * n)],
)
def test_flushes_of_a_round(count: int, policy_word: str, flushes: Any) -> None:
    given = medicines(*((f"m{n}", "liquid", "10:00") for n in range(count)))
    facts = facts_with({"medicines": given}, rules_of=policy_with(medicine_flushes=policy_word))
    of_round = [e for e in facts.events if e.minute == 600]
    assert sum(event.kind == "flush" for event in of_round) == flushes(count)
    assert of_round[0].kind == of_round[-1].kind == "flush"


def test_liquids_come_before_solids() -> None:  # row med-liquid
    given = medicines(("tab", "tablet", "10:00"), ("liq", "liquid", "10:00"))
    events = facts_with({"medicines": given}).events
    names = [event.medicine.name for event in events if event.medicine is not None]
    assert names == ["liq", "tab"]


def test_a_medicine_during_a_pump_run_says_to_pause_it() -> None:
    through = {"medicines.0.through": "jejunal", "medicines.0.times": ["17:59", "18:00", "21:00"]}
    events = facts_with(through, GJ).events
    paused = [f"{e.at:%H:%M} {e.through}" for e in events if e.kind == "pump-pause"]
    assert paused == ["21:00 jejunal"]


def at_one_time(clock: str, changes: dict[str, Any], base: str) -> list[str]:
    """The doings of one time without time, port and amount."""
    hour, minute = map(int, clock.split(":"))
    events = facts_with(changes, base).events
    return [
        f"{event.kind} {event.why}".strip() for event in events if event.at == time(hour, minute)
    ]


GIVEN = ["flush medicine", "medicine", "flush medicine"]
PAUSED = ["pump-pause medicine", *GIVEN, "pump-resume medicine"]
PUMP_ROW, HELD_ROW = {"medicines.0.times": ["12:00"]}, {"medicines.0.times": ["10:00"]}
# Rows med-flush and cp-med: feeding stops, water, medicine, water, feeding starts again.
ROUNDS: dict[str, tuple[str, dict[str, Any], str, list[str]]] = {
    "a pump that runs": ("09:00", {}, J, PAUSED),
    "a pump that runs, flush by the clock at the same time":
        ("12:00", PUMP_ROW, J, [PAUSED[0], "flush every", *PAUSED[1:]]),
    "a pump whose run begins anew":
        ("00:00", {"medicines.0.times": ["00:00"]}, J,
         [PAUSED[0], "flush every", *GIVEN, "pump-start"]),
    "a pump that starts": ("18:00", {"medicines.0.through": "jejunal",
                                     "medicines.0.times": ["18:00"]}, GJ,
                           [*GIVEN, "flush before-feed", "pump-start"]),
    "a pump that ends": ("06:00", {"medicines.0.through": "jejunal",
                                   "medicines.0.times": ["06:00"]}, GJ,
                         ["pump-stop", "flush after-feed", *GIVEN]),
    "a hold that begins": ("10:00", HELD_ROW | {"medicines.0.hold_after": "1 h"}, J,
                           ["pump-hold", *GIVEN]),
    "a hold that ends": ("10:00", HELD_ROW | {"medicines.0.hold_before": "1 h"}, J,
                         [*GIVEN, "pump-resume"]),
    "a feeding by gravity": ("07:00", {}, C,
                             [*GIVEN, "flush before-feed", "feed", "flush after-feed"]),
    "a feeding by syringe": ("08:00", {"medicines.1.times": ["08:00"]}, B,
                             [*GIVEN, "flush before-feed", "feed", "flush after-feed"]),
}  # fmt: skip


@pytest.mark.parametrize("name", ROUNDS)
def test_the_order_of_a_round_at_one_time(name: str) -> None:
    clock, changes, base, expected = ROUNDS[name]
    assert at_one_time(clock, changes, base) == expected


def test_as_needed_medicines_have_no_place_in_the_day() -> None:
    assert not any("acetaminophen" in line for line in lines(facts_with()))


EVERY: list[tuple[str, dict[str, Any], list[str]]] = [
    # a run with its own flush before and after gets the ones between
    ("during a run", {"water.every": "4 h", "water.each": "30 mL"}, ["22:00", "02:00"]),
    ("longer than the run", {"water.every": "13 h", "water.each": "30 mL"}, []),
    ("half an hour", {"water.every": "30 min", "water.each": "5 mL", "feeding.0.runs_for": "2 h"},
     ["18:30", "19:00", "19:30"]),
]  # fmt: skip


@pytest.mark.parametrize(("name", "changes", "at"), EVERY, ids=[row[0] for row in EVERY])
def test_flushes_every_so_many_hours(name: str, changes: dict[str, Any], at: list[str]) -> None:
    events = facts_with(changes, GJ).events
    assert [f"{e.at:%H:%M}" for e in events if e.why == "every"] == at


def test_without_a_pump_they_go_round_the_clock_from_their_start() -> None:
    changes = {"water.every": "6 h", "water.each": "30 mL", "water.starts": "07:00"}
    events = facts_with(changes).events
    assert [f"{e.at:%H:%M}" for e in events if e.why == "every"] == [
        "07:00",
        "13:00",
        "19:00",
        "01:00",
    ]
    without = facts_with({"water.every": "6 h", "water.each": "30 mL"}).events
    assert not [e for e in without if e.why == "every"]


def test_a_resting_port_is_flushed_once_at_the_policys_time() -> None:
    changes = {"medicines": []}
    assert resting_ports(patient_with(changes, GJ)) == ("gastric",)
    daily = [line for line in lines(facts_with(changes, GJ)) if " daily " in line]
    assert daily == ["09:00 flush daily gastric 60 mL"]
    none = facts_with({**changes, "water.daily": REMOVE}, GJ)
    assert not [line for line in lines(none) if " daily " in line]


def test_extra_water_stands_between_medicines_and_feedings() -> None:
    changes = {
        "water.extra": {"amount": "100 mL", "times": ["08:00"], "through": "gastric"},
        "medicines.0.times": ["08:00"],
    }
    at_eight = [line.split()[1] for line in lines(facts_with(changes)) if line.startswith("08:00")]
    assert at_eight == ["flush", "medicine", "flush", "extra-water", "flush", "feed", "flush"]


# Sums by hand from the files: volume × density, volume × share of water, all flushes.
TOTALS = [
    # 4 × 355 mL; 1.2 kcal/mL; 81 %; 4 × (60 + 60) + 2 × 15
    (A, {"formula": "1420", "energy": "1704", "water_in_formula": "1150.2", "flush": "510",
         "water": "1660.2"}),
    # 75 mL/h for 12 h; 1.5 kcal/mL; 76 %; 60 + 60 + 3 rounds of 2 × 15 (row o-cyc)
    (GJ, {"formula": "900", "energy": "1350", "water_in_formula": "684", "flush": "210",
          "water": "894"}),
    # 85 mL/h for 24 h; 84 %; 6 × 30 + 2 × 15
    (J, {"formula": "2040", "energy": "2040", "water_in_formula": "1713.6", "flush": "210",
         "water": "1923.6"}),
    # 4 × 180 mL; 85 %; 4 × (10 + 10) + 2 × 5
    (C, {"formula": "720", "energy": "720", "water_in_formula": "612", "flush": "90",
         "water": "702"}),
    # 3 × 300 mL of blended food, whose energy and water no label tells; 3 × (30 + 60) + 2 × 30
    (B, {"formula": "0", "blended": "900", "water_in_formula": "0", "flush": "330",
         "water": "330"}),
]  # fmt: skip


@pytest.mark.parametrize(("base", "sums"), TOTALS, ids=[row[0] for row in TOTALS])
def test_totals_of_an_example(base: str, sums: dict[str, str]) -> None:
    totals = facts_with(base=base).totals
    found = {name: str(getattr(totals, name)).split()[0] for name in sums}
    assert found == sums


def test_the_energy_of_blended_food_is_not_known() -> None:
    assert facts_with(base=B).totals.energy is None


@pytest.mark.parametrize("base", [A, B, C, GJ, J])
def test_totals_are_the_sum_of_the_printed_lines(base: str) -> None:
    facts = facts_with(base=base)
    flushes = [e.amount for e in facts.events if e.kind == "flush" and e.amount is not None]
    assert sum(amount.to("mL").value for amount in flushes) == facts.totals.flush.value


def test_flush_water_by_port() -> None:
    events = facts_with(base=GJ).events
    for port, millilitres in {"jejunal": 120, "gastric": 90}.items():
        given = [e.amount for e in events if e.kind == "flush" and e.through == port]
        assert sum(amount.to("mL").value for amount in given if amount) == millilitres


def test_minutes() -> None:
    assert minute_of(time(23, 59)) == 1439
    assert minutes_in(read_quantity("1.5 h", "time span")) == 90
