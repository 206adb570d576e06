"""The dated plans of a patient file of format 2 as data: further keys of `review --json`."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from plainleaf.compose.word import Wording
from plainleaf.facts.derived import (
    AsNeededWater,
    DayPlan,
    Event,
    Facts,
    Recurring,
    Supply,
    TimelineEntry,
    Totals,
)
from plainleaf.packet.record.event_lines import event_line
from plainleaf.packet.record.exact_numbers import exact

Data = dict[str, Any]


def plans_data(facts: Facts, wording: Wording) -> Data:
    """The plans; schedule and totals of the first stand beside them under the keys of format 1."""
    two_ports = facts.answers["two_ports"] == "true"
    plans = [_plan(plan, wording, two_ports) for plan in facts.plans]
    return {
        "plans": plans,
        "totals": plans[0]["totals"],
        "schedule": plans[0]["schedule"],
        "supplies": [_supply(supply) for supply in facts.supplies],
    }


def _plan(plan: DayPlan, wording: Wording, two_ports: bool) -> Data:
    """One plan; `changed`: keys of what begins, ends or changes on its first day."""

    def schedule(events: Sequence[Event]) -> list[Data]:
        return [_event(event, wording, two_ports) for event in events]

    def recurring(line: Recurring) -> Data:
        return {
            "order": line.order,
            "at": _minute(line.due),
            "every": str(line.every),
            "schedule": schedule(line.events),
        }

    return {
        "from": plan.first.isoformat(),
        "until": None if plan.last is None else plan.last.isoformat(),
        "changed": list(plan.changed),
        "schedule": schedule(plan.events),
        "totals": dated_totals_data(plan.totals),
        "weekdays": [
            {
                "day": weekday.day,
                "schedule": schedule(weekday.events),
                "totals": dated_totals_data(weekday.totals),
            }
            for weekday in plan.weekdays
        ],
        "recurring": [recurring(line) for line in plan.recurring],
        "as_needed_ml": [_as_needed(line) for line in plan.as_needed],
    }


def _minute(moment: datetime) -> str:
    return moment.strftime("%Y-%m-%dT%H:%M")


def _as_needed(line: AsNeededWater) -> Data:
    """What one dose with its flushes adds to no sum."""
    return {"order": f"medicines[{line.medicine.number}]", "one_dose_ml": exact(line.water)}


def _event(event: Event, wording: Wording, two_ports: bool) -> Data:
    """One line of a schedule; `at` is null where no time is set."""
    return {
        "at": event.at.strftime("%H:%M") if event.timed else None,
        "what": event_line(event, wording, two_ports),
        "kind": event.kind,
        "through": None if event.through == "none" else event.through,
        "amount_ml": exact(event.amount),
        "least_ml": exact(event.least),
        "order": event.order or None,
        "duty": event.duty or None,
        "who": [{"days": list(who.days), "names": list(who.names)} for who in event.who],
    }


def dated_totals_data(totals: Totals) -> Data:
    """Totals of one day; all plain water by the clock, flushes and extra, is `flush_ml`."""
    return {
        "formula_ml": exact(totals.formula),
        "blended_ml": exact(totals.blended),
        "energy_kcal": exact(totals.energy, "kcal"),
        "water_in_formula_ml": exact(totals.water_in_formula),
        "flush_ml": exact(totals.flush_and_extra),
        "extra_water_ml": 0,
        "mixing_ml": exact(totals.mixing),
        "juice_ml": exact(totals.juice),
        "drink_ml": exact(totals.drink),
        "drained_flush_ml": exact(totals.drained),
        "water_ml": exact(totals.water),
        "goal_ml": exact(totals.goal),
        "limit_ml": exact(totals.limit),
    }


def _supply(supply: Supply) -> Data:
    """One line of the list; `left_over_ml` is thrown away in the whole time."""
    return {
        "id": supply.id,
        "name": supply.name,
        "count": supply.count,
        "unit": supply.unit or None,
        "a_day": supply.a_day,
        "left_over_ml": exact(supply.left_over),
    }


def dated_entry_data(entry: TimelineEntry) -> Data:
    """What a line of the timeline says besides: how often it comes again."""
    return {"every": None if entry.every is None else str(entry.every)}
