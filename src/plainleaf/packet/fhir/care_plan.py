"""The plan of a packet as plain data: feeding orders by reference, water, visits.

R4 has no field for flushes, so they stand in the CarePlan under codes of our own.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from plainleaf.inputs.fhir.codes import own, quantity
from plainleaf.inputs.patient import Visit
from plainleaf.packet.fhir.context import Making, Resource, clock


def _detail(kind: str, name: str, description: str, **more: Any) -> Resource:
    return {
        "detail": {"kind": kind, "code": own(name), "status": "scheduled",
                   "description": description, **more}
    }  # fmt: skip


def _water(making: Making) -> Iterator[Resource]:
    water = making.patient.water
    amounts = (
        ("water-before-feed", "Flush before each feeding", water.before_feed),
        ("water-after-feed", "Flush after each feeding", water.after_feed),
        ("water-medicine", "Flush with medicines", water.medicine),
        ("water-daily", "Flush a port that is not used", water.daily),
        ("water-unclog", "Water to open a clog", water.unclog),
        ("water-goal", "All water of a day, goal", water.goal),
        ("water-limit", "All fluid of a day, limit", water.limit),
    )
    for name, says, amount in amounts:
        if amount is not None:
            yield _detail("ServiceRequest", name, says, quantity=quantity(amount))
    if water.every is not None and water.each is not None:
        repeat: Resource = {"frequency": 1, "period": water.every.value,
                            "periodUnit": water.every.unit}  # fmt: skip
        timing = {"scheduledTiming": {"repeat": repeat}, "quantity": quantity(water.each)}
        yield _detail("ServiceRequest", "water-every", "Flush every so often", **timing)
    if water.starts is not None:
        timing = {"scheduledTiming": {"repeat": {"timeOfDay": [clock(water.starts)]}}}
        yield _detail("ServiceRequest", "water-starts", "First of these flushes", **timing)
    if water.extra is not None:
        repeat = {"timeOfDay": [clock(moment) for moment in water.extra.times]}
        yield _detail(
            "ServiceRequest", "water-extra", f"Extra water, {water.extra.through} port",
            scheduledTiming={"repeat": repeat}, quantity=quantity(water.extra.amount),
            productCodeableConcept=own(water.extra.through),
        )  # fmt: skip


def _visit_timing(making: Making, visit: Visit) -> Resource:
    """When a visit is: at a moment, on a day, or again and again from a day on."""
    if visit.every is None:
        event = visit.day.isoformat() if visit.day is not None else making.moment(visit.when)
        return {"scheduledTiming": {"event": [event]}}
    bounds = {"start": visit.begins, "end": visit.ends}
    repeat = {
        "boundsPeriod": {key: day.isoformat() for key, day in bounds.items() if day is not None},
        "frequency": 1,
        "period": visit.every.value,
        "periodUnit": visit.every.unit,
    }
    return {"scheduledTiming": {"repeat": repeat}}


def _orders(making: Making) -> Iterator[Resource]:
    """What drains, what lets air out, and the plans for low sugar and for feeding that is off."""
    patient = making.patient
    if patient.drainage is not None:
        drain = patient.drainage
        when = ", ".join(clock(at)[:5] for at in drain.times) or "all the time"
        lasting = f" for {drain.lasts}" if drain.lasts is not None else ""
        says = f"{drain.through} port drains into a {drain.into}: {when}{lasting}"
        yield _detail("ServiceRequest", "drainage", says, quantity=quantity(drain.call_over))
    if patient.venting is not None:
        vent = patient.venting
        says = f"{vent.through} port, by {vent.how}, {', '.join(vent.when)}, for {vent.lasts}"
        yield _detail("ServiceRequest", "venting", says)
    if patient.low_sugar is not None:
        low = patient.low_sugar
        says = (
            f"Below {low.below}: {low.give}, {low.route}; again after {low.recheck}, "
            f"{low.tries} tries, then call {low.then_call}"
        )
        yield _detail("ServiceRequest", "low-sugar", says)
    if patient.feeding_stops is not None:
        off = patient.feeding_stops
        held = f"; hold {', '.join(off.hold)}" if off.hold else ""
        says = f"Off for {off.after}: check {', '.join(off.check)}{held}; call {off.call}"
        yield _detail("ServiceRequest", "feeding-stops", says)


def care_plan(making: Making) -> Resource:
    """The plan: what is ordered, when visits are, what to do if feeding stops."""
    patient = making.patient
    activities: list[Resource] = [
        {"reference": making.ref(f"feeding-{feed.number}")} for feed in patient.feeding
    ]
    activities += _water(making)
    for visit in patient.visits:
        timing = _visit_timing(making, visit)
        activities.append(_detail("Appointment", "visit", visit.what, **timing))
    activities += _orders(making)
    if patient.if_feeding_stops is not None:
        says = patient.if_feeding_stops
        activities.append(_detail("ServiceRequest", "if-feeding-stops", says))
    plan = {
        "resourceType": "CarePlan",
        "status": "active",
        "intent": "plan",
        "title": "Tube feeding at home",
        "subject": making.ref("patient"),
        "created": making.moment(patient.prepared_on),
        "author": {"display": patient.prepared_by},
    }
    return plan | ({"activity": activities} if activities else {})
