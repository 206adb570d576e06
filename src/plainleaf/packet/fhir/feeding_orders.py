"""Feeding orders as NutritionOrder: formula, way, times, steps with their dates."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from plainleaf.facts.plans import orders_on, step_spans
from plainleaf.facts.plans.coverage import calendar_day
from plainleaf.inputs.fhir.codes import ROUTE_OF_KIND, ROUTES, extension, quantity
from plainleaf.inputs.patient import Feed
from plainleaf.inputs.patient.order_values import Additive
from plainleaf.packet.fhir.context import Making, Resource, clock
from plainleaf.vocabulary.quantities import Quantity


def _span(amount: Quantity) -> Resource:
    return {"duration": amount.value, "durationUnit": amount.unit}


def _administrations(making: Making, feed: Feed) -> Iterator[Resource]:
    """One for each step and, of a pump feeding by dose, for each dose."""
    patient = making.patient
    for first, last in _spans(making, feed):
        day = first or patient.prepared_on.date()
        for run in orders_on(patient, day).feeding if patient.format != 1 else (feed,):
            if run.number == feed.number:
                yield _administration(run, first, last)


def _spans(making: Making, feed: Feed) -> list[tuple[date | None, date | None]]:
    """First and last day of each step, or of the order; None where it has none."""
    if feed.steps:
        return [*step_spans(feed, making.patient.file)]
    return [(calendar_day(feed.begins), calendar_day(feed.ends))]


def _administration(feed: Feed, first: date | None, last: date | None) -> Resource:
    days = {"start": first, "end": last}
    bounds = {key: day.isoformat() for key, day in days.items() if day is not None}
    repeat: Resource = {"boundsPeriod": bounds} if bounds else {}
    if feed.days:
        repeat["dayOfWeek"] = [day.lower() for day in feed.days]
    if feed.rate is not None and feed.starts is not None and feed.runs_for is not None:
        repeat |= {"timeOfDay": [clock(feed.starts)], **_span(feed.runs_for)}
        return {
            "schedule": {"repeat": repeat},
            "quantity": quantity((feed.rate * feed.runs_for).to("mL")),
            "rateQuantity": quantity(feed.rate),
        }
    assert feed.amount is not None
    repeat["timeOfDay"] = [clock(feed_time) for feed_time in feed.times]
    if feed.over is not None:
        repeat |= _span(feed.over)
    return {"schedule": {"repeat": repeat}, "quantity": quantity(feed.amount)}


def _formula(making: Making, feed: Feed) -> Resource:
    """R4 has no field for method, port, water share, container and system: extensions of ours."""
    notes = [extension("method", valueCode=feed.method), extension("port", valueCode=feed.through)]
    tube = making.patient.tube
    resource: Resource = {
        "routeofAdministration": {
            "coding": [{"system": ROUTES, "code": ROUTE_OF_KIND[tube.kind]}],
            "text": f"{feed.through} port",
        },
        "administration": list(_administrations(making, feed)),
    }
    if feed.formula is None:
        notes.append(extension("blended", valueBoolean=True))
        resource["baseFormulaProductName"] = "Home-blended food"
    else:
        formula = feed.formula
        resource["baseFormulaProductName"] = formula.name
        resource["caloricDensity"] = quantity(formula.energy)
        notes.append(extension("water", valueQuantity=quantity(formula.water)))
        notes.append(extension("system", valueCode=formula.system))
        if formula.container is not None:
            notes.append(extension("container", valueQuantity=quantity(formula.container)))
    if feed.daily_total is not None:
        resource["maxVolumeToDeliver"] = quantity(feed.daily_total)
    return {"extension": notes, **resource}


def nutrition_order(making: Making, feed: Feed) -> Resource:
    """One feeding order, with an administration for each step of it."""
    order = {
        "resourceType": "NutritionOrder",
        "status": "active",
        "intent": "order",
        "patient": making.ref("patient"),
        "dateTime": making.moment(making.patient.prepared_on),
        "enteralFormula": _formula(making, feed),
    }
    if feed.ordered_by is not None:
        order["orderer"] = {"display": feed.ordered_by}
    return order


def additive_order(making: Making, additive: Additive) -> Resource:
    """What is given apart from the formula, as an order of its own."""
    days = {"start": calendar_day(additive.begins), "end": calendar_day(additive.ends)}
    bounds = {key: day.isoformat() for key, day in days.items() if day is not None}
    repeat: Resource = {"timeOfDay": [clock(moment) for moment in additive.times]}
    repeat |= {"boundsPeriod": bounds} if bounds else {}
    if additive.days:
        repeat["dayOfWeek"] = [day.lower() for day in additive.days]
    notes = [
        extension("port", valueCode=additive.through),
        extension("place", valueString=additive.place),
        extension("amount", valueString=str(additive.amount)),
        extension("mixed-in", valueString=additive.mix.liquid),
    ]
    if additive.mix.amount is not None:
        notes.append(extension("mixed-in-amount", valueQuantity=quantity(additive.mix.amount.most)))
    return {
        "resourceType": "NutritionOrder",
        "status": "active",
        "intent": "order",
        "patient": making.ref("patient"),
        "dateTime": making.moment(making.patient.prepared_on),
        "enteralFormula": {
            "extension": notes,
            "additiveType": {"text": additive.kind},
            "additiveProductName": additive.name,
            "administration": [{"schedule": {"repeat": repeat}}],
        },
    }
