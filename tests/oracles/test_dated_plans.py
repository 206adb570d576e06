"""Plans of the six files of format 2 against the figures of dated-plans.yaml."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml
from dated_patients import given_of_text, planned, text_of
from order_sets import given_with

from plainleaf.facts.checks.recipe_checks import recipe_does_not_fit
from plainleaf.facts.derived import DayPlan, Event
from plainleaf.facts.plans.coverage import day_after
from plainleaf.facts.supplies import supplies
from plainleaf.vocabulary.errors import PatientError
from plainleaf.vocabulary.quantities import read_quantity

ORACLES: dict[str, list[dict[str, Any]]] = yaml.load(
    Path(__file__).with_name("dated-plans.yaml").read_text("utf-8"), Loader=yaml.BaseLoader
)
FILES = sorted({row["file"] for row in ORACLES["plans"]})


def rows(table: str) -> Any:
    return pytest.mark.parametrize(
        "row", ORACLES[table], ids=lambda row: "-".join(str(v) for v in list(row.values())[:3])
    )


@cache
def plans(file: str) -> tuple[DayPlan, ...]:
    return planned(file).plans


def plan_from(file: str, first: str) -> DayPlan:
    return next(plan for plan in plans(file) if plan.first == date.fromisoformat(first))


@pytest.mark.parametrize("file", FILES)
def test_there_are_these_plans_and_no_others(file: str) -> None:
    wanted = [(r["first"], r["last"]) for r in ORACLES["plans"] if r["file"] == file]
    assert [(str(p.first), str(p.last or "none")) for p in plans(file)] == wanted


@rows("plans")
def test_what_a_day_adds_up_to(row: dict[str, str]) -> None:
    totals = plan_from(row["file"], row["first"]).totals
    assert totals.formula.value == Decimal(row["formula"])
    assert totals.water.value == Decimal(row["water"])
    assert totals.drained.value == Decimal(row.get("drained", "0"))
    if "energy" in row:
        assert totals.energy is not None
        assert round(totals.energy.to("kcal").value, 2) == Decimal(row["energy"])


@rows("weekdays")
def test_what_a_weekday_adds(row: dict[str, str]) -> None:
    added = {
        weekday.totals.water.value - plan.totals.water.value
        for plan in plans(row["file"])
        for weekday in plan.weekdays
        if weekday.day == row["day"]
    }
    assert added == {Decimal(row["more"])}


def test_a_weekday_stands_only_in_plans_that_hold_one() -> None:
    """June 5 is a Friday and June 6 a Saturday, of 2026."""
    days = [[weekday.day for weekday in plan.weekdays] for plan in plans("g-medicines-insulin")]
    assert days == [[], ["Tue", "Sat"], ["Thu", "Sat"], [], ["Tue", "Thu", "Sat"]]


def events_at(row: dict[str, Any]) -> list[Event]:
    hour = time.fromisoformat(row["at"])
    return [
        event
        for event in plans(row["file"])[-1].events
        if event.kind == row["kind"] and event.at == hour
    ]


@rows("events")
def test_what_is_done_at_a_time(row: dict[str, str]) -> None:
    events = events_at(row)
    assert events
    if "amount" in row:
        assert [e.amount.value for e in events if e.amount] == [Decimal(row["amount"])]


@rows("waters")
def test_water_by_kind(row: dict[str, str]) -> None:
    totals = plans(row["file"])[0].totals
    assert totals.water_in_formula.value == Decimal(row["in_formula"])
    for kind in ("flush", "extra_water", "mixing", "juice"):
        assert getattr(totals, kind).value == Decimal(row[kind]), kind


@rows("presence")
def test_who_may_and_is_there(row: dict[str, Any]) -> None:
    names = {
        presence.names
        for event in events_at(row)
        for presence in event.who
        if row["day"] in presence.days
    }
    assert names == {tuple(row["who"])}


@rows("supplies")
def test_what_is_used_in_a_month(row: dict[str, str]) -> None:
    lines = [line for line in supplies(planned(row["file"])) if line.id == row["id"]]
    assert [line.count for line in lines] == [int(row["count"])]
    if "left_over" in row:
        assert lines[0].left_over is not None
        assert lines[0].left_over.value == Decimal(row["left_over"])


@rows("lengths")
def test_a_length_after_a_start(row: dict[str, str]) -> None:
    number, unit = row["long"].split()
    long = read_quantity(f"{number} {unit}", "time span", ("wk", "mo"))
    assert day_after(date.fromisoformat(row["start"]), long) == date.fromisoformat(row["after"])


@rows("recipes")
def test_what_a_recipe_makes(row: dict[str, str]) -> None:
    recipe = "formulas.milk-27.recipe"
    changes = {f"{recipe}.take.0.amount": row["liquid"], f"{recipe}.makes": row["makes"]}
    wrong = recipe_does_not_fit.run(given_with("g-infant-fortified", changes))
    assert wrong.answer is (row["fits"] == "no")


def test_as_needed_water_is_in_no_sum() -> None:
    """Hospice: 20 mL before and after one dose of morphine."""
    (line,) = plans("gj-vent-hospice")[0].as_needed
    assert (line.medicine.number, line.water.value) == (1, 40)


def test_the_taper_by_date() -> None:
    """README: June 6 to 10, 11 to 15, from 16 on."""
    planner = planned("g-medicines-insulin").planner
    doses = {}
    for day in ("2026-06-05", "2026-06-06", "2026-06-10", "2026-06-11", "2026-06-15", "2026-06-16"):
        events, _ = planner.on(date.fromisoformat(day))
        medicines = [e.medicine for e in events if e.order == "medicines[2]" and e.medicine]
        doses[day[-2:]] = [str(medicine.dose.value) for medicine in medicines]
    assert doses == {"05": [], "06": ["4"], "10": ["4"], "11": ["2"], "15": ["2"], "16": ["1"]}


def test_the_patch_by_date() -> None:
    """README: June 9 and every 7 days, at 9 am, over the change of clocks on November 1 too."""
    planner = planned("g-medicines-insulin").planner
    for day in ("2026-06-09", "2026-06-16", "2026-10-27", "2026-11-03"):
        events, _ = planner.on(date.fromisoformat(day))
        assert [e.at for e in events if e.order == "medicines[6]"] == [time(9)], day
    events, _ = planner.on(date(2026, 6, 10))
    assert [e for e in events if e.order == "medicines[6]"] == []


def test_the_weight_comes_every_second_day() -> None:
    due = [[(r.order, r.due) for r in plan.recurring] for plan in plans("g-advance-refeeding")]
    wanted = [14, 16, 18, 22]
    assert due == [[], *([("watch[0]", datetime(2026, 8, day, 7))] for day in wanted)]


def test_what_changes_on_the_first_day_is_named() -> None:
    changed = [plan.changed for plan in plans("g-advance-refeeding")]
    assert changed == [(), *[("feeding[0]",)] * 3, ("medicines[0]",)]


# --- changed orders ------------------------------------------------------------------------------


def changed(file: str, *changes: tuple[str, str]) -> Any:
    text = text_of(file)
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    return given_of_text(text)


REFEEDING, HOSPICE, HOME = "g-advance-refeeding", "gj-vent-hospice", "g-change-group-home"


def test_the_last_step_with_a_length_ends_the_order() -> None:
    given = changed(REFEEDING, ("- {rate: 65 mL/h}", "- {for: 3 d, rate: 65 mL/h}"))
    formula = {str(plan.first): plan.totals.formula.value for plan in given.plans}
    assert formula["2026-08-18"] == 1040
    assert formula["2026-08-21"] == 0


def test_steps_go_on_over_the_end_of_a_month() -> None:
    given = changed(
        REFEEDING,
        ("from: 2026-08-12\n    steps", "from: 2026-08-29\n    steps"),
        ("vitamin B1, form: liquid, strength: 50 mg/5 mL", "thiamine, form: liquid"),
    )
    firsts = [str(plan.first) for plan in given.plans if "feeding[0]" in plan.changed]
    assert firsts == ["2026-08-29", "2026-08-31", "2026-09-02", "2026-09-04"]


def test_a_step_of_some_hours_is_refused() -> None:
    with pytest.raises(PatientError, match=r"feeding\[0\].steps\[0\].for: 8 h is no number"):
        changed(REFEEDING, ("- {for: 2 d, rate: 20 mL/h}", "- {for: 8 h, rate: 20 mL/h}"))


# 110 mL at 12:00 and 18:00 is the second order of the group home: four feedings by carton.
GRAVITY = 'amount: 1 carton, over: 30 min, times: ["12:30", "20:30"]'


def test_a_feeding_from_a_moment_begins_in_the_middle_of_a_day() -> None:
    given = changed(HOME, (GRAVITY, f"from: 2026-07-12 15:00, {GRAVITY}"))
    spans = [(str(p.first), str(p.last), p.totals.formula.value) for p in given.plans]
    assert spans == [
        ("2026-07-09", "2026-07-11", 711),
        ("2026-07-12", "2026-07-12", 948),
        ("2026-07-13", "None", 1185),
    ]


def test_what_is_past_when_the_packet_is_made_is_still_of_its_day() -> None:
    given = changed(HOME, (GRAVITY, f"from: 2026-07-09 12:00, {GRAVITY}"))
    assert [plan.totals.formula.value for plan in given.plans] == [1185]


def test_a_feeding_until_a_moment_ends_there() -> None:
    given = changed(HOME, (GRAVITY, f"until: 2026-07-12 15:00, {GRAVITY}"))
    formula = [(str(p.first), p.totals.formula.value) for p in given.plans]
    assert formula == [("2026-07-09", 1185), ("2026-07-12", 948), ("2026-07-13", 711)]


def test_water_every_so_many_hours_falls_into_24_hours() -> None:
    given = changed(HOME, ("water: {", 'water: {every: 5 h, each: 20 mL, starts: "06:00", '))
    every = [e.at.hour for e in given.plans[0].events if e.why == "every"]
    assert every == [6, 11, 16, 21, 2]
    assert given.plans[0].totals.water.value == Decimal("2119.85")


def test_of_a_range_the_most_is_counted() -> None:
    given = changed(HOME, ("before_feed: 40 mL", "before_feed: 30 to 40 mL"))
    assert given.plans[0].totals.water.value == Decimal("2019.85")
    least = {str(e.least) for e in given.plans[0].events if e.why == "before-feed"}
    assert least == {"30 mL"}


def test_juice_counts_as_fluid_apart_from_water() -> None:
    given = changed(HOME, ("in: 90 mL water", "in: 90 mL apple juice"))
    totals = given.plans[0].totals
    assert (totals.juice.value, totals.mixing.value) == (90, 60)
    assert totals.water.value == Decimal("2019.85")


FED = (
    "feeding: []",
    """feeding:
  - {method: gravity, through: gastric, formula: standard-10, amount: 100 mL, over: 30 min,
     times: ["21:30"]}""",
)


def test_the_port_is_closed_while_a_feeding_goes_through_it() -> None:
    given = changed(
        HOSPICE, FED, ("gastric: [drainage]", "gastric: [drainage, feeding]"),
        ("water:\n", "water:\n  before_feed: 10 mL\n  after_feed: 10 mL\n"),
    )  # fmt: skip
    events = given.plans[0].events
    turned = [(str(e.at)[:5], e.kind, e.why) for e in events if e.kind.startswith("drain")]
    assert turned == [
        ("06:00", "drain-close", ""),
        ("20:00", "drain-open", ""),
        ("21:30", "drain-close", "feed"),
        ("22:00", "drain-open", "feed"),
    ]
    totals = given.plans[0].totals
    assert totals.drained.value == 30
    assert totals.water.value == 280 + 84 + 20


def test_a_port_that_drains_all_the_time_opens_and_closes_for_nothing() -> None:
    given = changed(HOSPICE, ('times: ["20:00"]\n  for: 10 h', "times: all the time"))
    plan = given.plans[0]
    assert [e for e in plan.events if e.kind.startswith("drain")] == []
    assert (plan.totals.drained.value, plan.totals.water.value) == (60, 250)


def test_a_container_hangs_on_for_the_next_dose_of_the_day() -> None:
    """Two doses of 355.5 mL out of one bag of 1000 mL."""
    given = changed(
        HOME,
        ("formula: fiber-12, amount: 1.5 cartons", "formula: peptide-12-rth, amount: 355.5 mL"),
    )
    lines = {line.name: line for line in supplies(given) if line.id == "formula"}
    bags = lines["Peptide formula, 1.2"]
    assert (bags.count, bags.a_day) == (33, 1)


HELD = "hold_before: 10 min, hold_after: 20 min"


def test_a_hold_makes_the_run_of_a_dose_end_later() -> None:
    """Off from 8:20 to 8:50, and from 7:20 to 7:50 pm, when two minutes are still to run."""
    given = changed(
        HOME,
        ('times: ["07:30", "19:30"], prepare', f'times: ["08:30", "19:30"], {HELD}, prepare'),
    )  # fmt: skip
    stops = [str(e.at)[:5] for e in given.plans[0].events if e.kind == "pump-stop"]
    assert stops == ["10:52", "19:52"]
    assert given.plans[0].totals.formula.value == 1185


def test_each_shared_port_and_time_is_one_group() -> None:
    """Before and after one feeding: two doses and three flushes, beside the feeding's own."""
    tied = (
        "  - {name: a, form: liquid, dose: 5 mL, route: gastric, times: before each feed}\n"
        "  - {name: b, form: liquid, dose: 5 mL, route: gastric, times: after each feed}\n"
    )
    given = changed(HOME, ("medicines:\n", f"medicines:\n{tied}"))
    more = given.plans[0].totals.water.value - Decimal("2019.85")
    assert more == 4 * 3 * 30
    first = [(e.kind, e.why) for e in given.plans[0].events if str(e.at) == "12:30:00"][1:]
    assert first == [
        ("flush", "medicine"), ("medicine", "before each feed"), ("flush", "medicine"),
        ("flush", "before-feed"), ("feed", ""), ("flush", "after-feed"),
        ("medicine", "after each feed"), ("flush", "medicine"),
    ]  # fmt: skip


def test_after_a_feeding_an_additive_goes_in_before_the_flush() -> None:
    given = changed(
        HOME,
        ('place: alone, flush_before: 30 mL, flush_after: 30 mL, times: ["15:00"]',
         'place: after feed, times: ["12:30"]'),
    )  # fmt: skip
    kinds = [(e.kind, e.why) for e in given.plans[0].events if str(e.at) == "12:30:00"][1:]
    assert kinds == [
        ("flush", "before-feed"), ("feed", ""), ("additive", ""), ("flush", "after-feed"),
    ]  # fmt: skip
    assert given.plans[0].totals.water.value == Decimal("2019.85") - 60


def test_limits_look_at_the_fullest_day_and_goals_at_the_emptiest() -> None:
    plan = plans("g-medicines-insulin")[-1]
    assert plan.fullest.water.value == Decimal("1473.865")
    assert plan.emptiest.water.value == Decimal("1428.865")


def test_drink_counts_towards_water() -> None:
    given = planned("g-advance-refeeding")
    person = replace(given.patient.person, drink=None)
    without = replace(given, patient=replace(given.patient, person=person))
    assert without.plans[0].totals.water.value == Decimal("523.8")


def test_an_hour_after_midnight_is_of_the_night_before_unless_it_has_a_date() -> None:
    """The last dose of June 10 is at 2 am of June 10; what is given every night ends the page."""
    line = "  - {name: a, form: liquid, dose: 5 mL, route: gastric, times: ['02:00']"
    given = changed(
        "g-medicines-insulin",
        (
            "medicines:\n",
            f"medicines:\n{line}}}\n{line.replace('02', '03')}, until: 2026-06-10}}\n",
        ),
    )
    june_6 = next(plan for plan in given.plans if plan.first == date(2026, 6, 6))
    minutes = {e.order: e.minute for e in june_6.events if e.kind == "medicine"}
    assert (minutes["medicines[0]"], minutes["medicines[1]"]) == (26 * 60, 3 * 60)


def test_a_step_that_says_too_little_is_refused() -> None:
    given = changed(REFEEDING, ("- {for: 2 d, rate: 20 mL/h}", "- {for: 2 d}"))
    with pytest.raises(PatientError, match=r"feeding\[0\].steps: a step has no rate"):
        _ = given.plans


@pytest.mark.parametrize(
    ("old", "new", "missing"),
    [
        ("- {for: 2 d, rate: 35 mL/h}", "- {rate: 35 mL/h}", r"feeding\[0\].steps\[1\].for"),
        ("from: 2026-08-12\n    steps", "steps", r"feeding\[0\].from"),
    ],
)
def test_a_step_without_a_first_day_is_refused(old: str, new: str, missing: str) -> None:
    with pytest.raises(PatientError, match=f"{missing} is missing"):
        _ = changed(REFEEDING, (old, new)).plans
