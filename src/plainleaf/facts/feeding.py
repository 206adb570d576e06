"""Facts about feeding and water: methods, ports, amounts, hang times, which water."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import time

from plainleaf.facts.day import resting_ports
from plainleaf.facts.person import age_in_days
from plainleaf.facts.record import Phrase, Typed
from plainleaf.facts.runs import A_DAY, pump_span, pump_volume, runs_all_day
from plainleaf.inputs.patient import Feed, Patient
from plainleaf.inputs.policy import Policy, days
from plainleaf.vocabulary import terms
from plainleaf.vocabulary.quantities import Quantity

# From gentle to strict; where several reasons meet, the strictest water is used.
_WATER_ORDER = ("tap", "boiled", "sterile")
# A run that covers the middle of the night is an overnight feeding; common practice, no source.
_NIGHT = 2 * 60


def _by(patient: Patient, method: str) -> list[Feed]:
    return [feed for feed in patient.feeding if feed.method == method]


def _through(feeds: Sequence[Feed]) -> str | None:
    """The one port of these feedings, `none` without any, None where they differ."""
    ports = {feed.through for feed in feeds}
    if len(ports) > 1:
        return None
    return ports.pop() if ports else "none"


def pump_pattern(feeds: Sequence[Feed]) -> str:
    """none, all-day, overnight (running at two in the morning) or part-day."""
    if not feeds:
        return "none"
    if any(runs_all_day(feed) for feed in feeds):
        return "all-day"
    covers_night = any(
        start < minute < end
        for start, end in map(pump_span, feeds)
        for minute in (_NIGHT, _NIGHT + A_DAY)
    )
    return "overnight" if covers_night else "part-day"


def strictest_water(policy: Policy, *, weak: bool, jejunum: bool, age: int) -> str:
    """Which water goes through the tube: the strictest that applies (rows water-home …).

    Args:
        age: In days.
    """
    wanted = [policy.word("water_for_most")]
    if weak:
        wanted.append(policy.word("water_for_weak_immunity"))
    if jejunum:
        wanted.append(policy.word("water_for_jejunum"))
    if age < days(policy.quantity("infant_water_until")):
        wanted.append(policy.word("water_for_infants"))
    return max(wanted, key=_WATER_ORDER.index)


def water_kind(patient: Patient, policy: Policy) -> str:
    """Which water goes through this patient's tube."""
    person = patient.person
    return strictest_water(
        policy,
        weak=bool(person.conditions & terms.WEAK_IMMUNITY),
        jejunum="jejunal" in patient.tube.ports,
        age=age_in_days(person.born, patient.prepared_on.date()),
    )


def _differ(feeds: Sequence[Feed]) -> bool:
    return len({(feed.amount, feed.over) for feed in feeds}) > 1


def _systems(patient: Patient) -> set[str]:
    return {feed.formula.system for feed in patient.feeding if feed.formula is not None}


def clog_water(patient: Patient, policy: Policy, *, child: bool) -> Quantity | None:
    """Warm water for a clog: ordered, or for adults the policy's; never an adult's for a child."""
    if patient.water.unclog is not None:
        return patient.water.unclog
    return None if child else policy.quantity("clog_water_adult")


def feeding_answers(
    patient: Patient, policy: Policy, *, child: bool
) -> dict[str, str | bool | None]:
    """Answers to the facts about feeding and water."""
    syringe, gravity, pump = (_by(patient, m) for m in ("syringe", "gravity", "pump"))
    water, systems = patient.water, _systems(patient)
    return {
        "pump_pattern": pump_pattern(pump),
        "pump_through": _through(pump),
        "syringe_through": _through(syringe),
        "gravity_through": _through(gravity),
        "fed_by_tube": bool(patient.feeding),
        "syringe_feeds": bool(syringe),
        "gravity_feeds": bool(gravity),
        "pump_feeds": bool(pump),
        "syringe_amounts_differ": _differ(syringe),
        "gravity_amounts_differ": _differ(gravity),
        "pump_plans_many": len(pump) > 1,
        "blended": any(feed.blended for feed in patient.feeding),
        "blended_into_bowel": any(f.blended and f.through == "jejunal" for f in patient.feeding),
        "formula_feeds": bool(systems),
        "open_formula": "open" in systems,
        "closed_formula": "closed" in systems,
        "powder_formula": "powder" in systems,
        "flush_by": water.by or policy.word("flush_by"),
        "water_kind": water_kind(patient, policy),
        "water_before_feed_ordered": water.before_feed is not None,
        "water_after_feed_ordered": water.after_feed is not None,
        "water_every_ordered": water.every is not None,
        "water_daily_ordered": water.daily is not None,
        "extra_water_ordered": water.extra is not None,
        "resting_port": bool(resting_ports(patient)),
        "fluid_limit": water.limit is not None,
        "fluid_goal": water.goal is not None,
        "unclog_amount_known": clog_water(patient, policy, child=child) is not None,
    }


def _clock(minute: int) -> Typed:
    return Typed("clock", time(minute % A_DAY // 60, minute % 60))


def _pump_values(patient: Patient, policy: Policy) -> dict[str, Typed]:
    pumps = _by(patient, "pump")
    if len(pumps) != 1:
        return {}
    feed = pumps[0]
    start, end = pump_span(feed)
    assert feed.rate is not None and feed.runs_for is not None
    values = {
        "pump_rate": Typed("rate", feed.rate),
        "pump_start": _clock(start),
        "pump_stop": _clock(end),
        "pump_hours": Typed("span", feed.runs_for),
        "pump_volume": Typed("volume", pump_volume(feed)),
    }
    hang = _hang_time(feed, policy)
    if hang is not None:
        values["pour_at_most"] = Typed(
            "volume", min((feed.rate * hang).to("mL"), pump_volume(feed))
        )
        values["refill_every"] = Typed("span", hang)
    return values


def _hang_time(feed: Feed, policy: Policy) -> Quantity | None:
    """Hang time of what is poured into a bag; ready-to-hang formula is not poured."""
    if feed.blended:
        return policy.quantity("hang_blended")
    assert feed.formula is not None
    names = {"open": "hang_open", "powder": "hang_powder"}
    name = names.get(feed.formula.system)
    return None if name is None else policy.quantity(name)


def _bolus_values(patient: Patient) -> dict[str, Typed]:
    values: dict[str, Typed] = {}
    for method in ("syringe", "gravity"):
        feeds = _by(patient, method)
        if not feeds:
            continue
        values[f"{method}_feed_count"] = Typed("count", sum(len(feed.times) for feed in feeds))
        if not _differ(feeds):
            assert feeds[0].amount is not None
            values[f"{method}_amount"] = Typed("volume", feeds[0].amount)
            if method == "gravity" and feeds[0].over is not None:
                values["gravity_minutes"] = Typed("span", feeds[0].over)
    return values


def _water_values(patient: Patient, policy: Policy, *, child: bool) -> dict[str, Typed]:
    water = patient.water
    amounts = {
        "water_before_feed": water.before_feed,
        "water_after_feed": water.after_feed,
        "water_with_medicine": water.medicine,
        "water_daily": water.daily,
        "water_each": water.each,
        "clog_water": clog_water(patient, policy, child=child),
        "fluid_limit_amount": water.limit,
        "fluid_goal_amount": water.goal,
    }
    values = {name: Typed("volume", a) for name, a in amounts.items() if a is not None}
    if water.every is not None:
        values["water_every"] = Typed("span", water.every)
    return values


def _port_names(patient: Patient) -> dict[str, Typed]:
    """Ports in plain words: on a tube with one port it is simply the feeding port."""
    two = len(patient.tube.ports) == 2
    names = {port: Phrase(f"port-{port}" if two else "port-only") for port in patient.tube.ports}
    values = {f"{port}_port_name": Typed("phrase", name) for port, name in names.items()}
    for use, key in (("feeding", "feeding_port_name"), ("medicines", "medicine_port_name")):
        ports = [port for port, uses in patient.tube.ports.items() if use in uses]
        if len(ports) == 1:
            values[key] = Typed("phrase", names[ports[0]])
    return values


def feeding_values(patient: Patient, policy: Policy, *, child: bool) -> dict[str, Typed]:
    """Values of the slots about feeding and water."""
    return {
        **_pump_values(patient, policy),
        **_bolus_values(patient),
        **_water_values(patient, policy, child=child),
        **_port_names(patient),
    }
