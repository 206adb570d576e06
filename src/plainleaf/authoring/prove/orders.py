"""The invented orders for the patient file of a class: feeding, water and medicines."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from plainleaf.authoring.prove.persona import so
from plainleaf.inputs.policy import Policy

_Known = Mapping[str, str]
_Order = dict[str, Any]
_SYSTEMS = ("open", "closed", "powder", "recipe")
_DOCTOR = "Dr. Invented"


# --- feeding ------------------------------------------------------------------------------------


def _foods(answers: _Known) -> list[str]:
    """What the feedings hold: `blended` or a formula system, each at least once."""
    blended = ["blended"] if so(answers, "blended") else []
    return blended + [system for system in _SYSTEMS if so(answers, f"{system}_formula")]


def _first_orders(answers: _Known) -> list[_Order]:
    """One order a method, or two where amounts or pump runs differ."""
    twice = {
        "syringe": so(answers, "syringe_amounts_differ"),
        "gravity": so(answers, "gravity_amounts_differ"),
        "pump": so(answers, "pump_plans_many"),
    }
    return [
        {"method": method, "through": answers[f"{method}_through"], "number": number}
        for method, two in twice.items()
        if so(answers, f"{method}_feeds")
        for number in range(2 if two else 1)
    ]


def _allowed(answers: _Known, through: str, foods: list[str]) -> list[str]:
    if through == "jejunal" and not so(answers, "blended_into_bowel"):
        return [food for food in foods if food != "blended"]
    return foods


def _share_out(answers: _Known, orders: list[_Order]) -> None:
    """Give each order a food so that every food is used and blended goes where it must."""
    foods = _foods(answers)
    bowel = so(answers, "blended_into_bowel")
    waiting = list(foods)
    wanted = "jejunal" if bowel else "gastric"
    for order in sorted(orders, key=lambda order: bool(order["through"] != wanted)):
        fitting = _allowed(answers, order["through"], foods)
        food = next((f for f in waiting if f in fitting), fitting[0])
        order["food"] = food
        if food in waiting:
            waiting.remove(food)
    if waiting:
        free = next(o for o in orders if o["method"] != "pump" or so(answers, "pump_plans_many"))
        numbers = [o["number"] for o in orders if o["method"] == free["method"]]
        amount = free.get("number", 0)
        for more, food in enumerate(waiting, max(numbers) + 1):
            orders.append({**free, "number": more, "amount_of": amount, "food": food})


def feeding(answers: _Known) -> list[_Order]:
    """The block `feeding`; times differ everywhere, so that no two feedings begin together."""
    orders = _first_orders(answers)
    _share_out(answers, orders)
    return [_worded(answers, order, place) for place, order in enumerate(orders)]


def _worded(answers: _Known, order: _Order, place: int) -> _Order:
    method, through = order["method"], order["through"]
    data: _Order = {"method": method, "through": through}
    if order["food"] == "blended":
        data["blended"] = True
    else:
        data["formula"] = {
            "name": "Example formula",
            "energy": "1 kcal/mL",
            "water": "84 %",
            "system": order["food"],
        }
    if method == "pump":
        data |= _pump(answers, order["number"])
    else:
        same = int(order["amount_of"] if "amount_of" in order else order["number"])
        data |= {"amount": f"{40 + 10 * same} mL", "times": [f"{6 + place:02}:05"]}
        if method == "gravity":
            data["over"] = "30 min"
    into_bowel = through == "jejunal" and (method != "pump" or order["food"] == "blended")
    if into_bowel or (through == "gastric" and so(answers, "two_ports")):
        data["ordered_by"] = _DOCTOR
    return data


# Pattern → start and hours of the first run.
_RUNS = {"all-day": ("05:01", 24), "overnight": ("20:02", 10), "part-day": ("15:03", 4)}


def _pump(answers: _Known, number: int) -> _Order:
    start, hours = _RUNS[answers["pump_pattern"]]
    if number:
        start, hours = f"{7 + number:02}:33", 2
    return {"rate": "10 mL/h", "starts": start, "runs_for": f"{hours} h"}


# --- water --------------------------------------------------------------------------------------

# Longer than a run, so that no flush falls within it, and shorter than each.
_NEVER_FALLS, _FALLS = "12 h", "1 h"


def water(answers: _Known, policy: Policy) -> dict[str, Any]:
    """The block `water`, as far as no single fact shows it."""
    data: dict[str, Any] = {}
    if so(answers, "medicines_by_tube"):
        data["medicine"] = "5 mL"
    if so(answers, "water_every_ordered"):
        data |= {"every": _FALLS if so(answers, "every_falls") else _NEVER_FALLS, "each": "5 mL"}
        data["starts"] = "07:00"
    if so(answers, "extra_water_ordered"):
        data["extra"] = {"amount": "20 mL", "times": ["11:11"], "through": _watered(answers)}
    if so(answers, "child") and so(answers, "unclog_amount_known"):
        data["unclog"] = "5 mL"
    if answers["flush_by"] != policy.word("flush_by"):
        data["by"] = answers["flush_by"]
    return data


def _watered(answers: _Known) -> str:
    """A port of extra water: one for feeding or medicines; in an order set any other too."""
    ports = [port for port in ("gastric", "jejunal") if so(answers, f"{port}_port")]
    used = [p for p in ports if any(so(answers, f"{p}_{use}") for use in _FOR_WATER)]
    return (used or ports)[0]


_FOR_WATER = ("feeding", "medicines")


# --- medicines ----------------------------------------------------------------------------------


def medicines(answers: _Known) -> list[dict[str, Any]]:
    """The block `medicines`: as few as show every fact."""
    by_tube = list(_by_tube(answers))
    for number, (medicine, (form, dose, crush)) in enumerate(
        zip(by_tube, _forms(answers, len(by_tube)), strict=True)
    ):
        medicine |= {"form": form, "dose": dose}
        if crush:
            medicine["crush"] = "pharmacist-approved"
        medicine["name"] = f"Example medicine {number + 1}"
    sugar = so(answers, "diabetes_medicine") and not so(answers, "insulin")
    if sugar and by_tube:
        by_tube[0]["name"] = "glipizide"
    return [
        _ordered(medicine) for medicine in (*by_tube, *_elsewhere(answers, sugar and not by_tube))
    ]


def _ordered(medicine: Mapping[str, Any]) -> dict[str, Any]:
    keys = ("name", "form", "dose", "times", "through", "crush")
    return {key: medicine[key] for key in keys if key in medicine}


def _by_tube(answers: _Known) -> Iterator[dict[str, Any]]:
    """Port and times; enough entries for the timed, the as-needed and the different forms."""
    ports = [p for p in ("gastric", "jejunal") if so(answers, f"medicines_through_{p}")]
    as_needed = so(answers, "as_needed_medicines")
    timed = [port for port in ports if so(answers, f"timed_{port}")]
    for place, port in enumerate(timed):
        yield {"through": port, "times": [f"{9 + place:02}:10"]}
    if timed and so(answers, "medicines_together"):
        yield {"through": timed[0], "times": ["09:10"]}
    untimed = [port for port in ports if port not in timed]
    for port in untimed or (ports[:1] if as_needed else []):
        yield {"through": port, "times": "as needed"}
    if so(answers, "liquid_medicines") and so(answers, "crushed_medicines"):
        times = ["13:20"] if timed else "as needed"
        yield {"through": (timed or ports)[0], "times": times}


def _forms(answers: _Known, count: int) -> list[tuple[str, str, bool]]:
    """Form, dose and crushing of each; the last is the tablet that is crushed beside a liquid."""
    liquid, crushed = so(answers, "liquid_medicines"), so(answers, "crushed_medicines")
    dose = "1 mL" if so(answers, "small_doses") else "5 mL"
    if liquid:
        forms = [("liquid", dose, False)] * (count - crushed)
        return forms + [("tablet", "1 tablet", True)] * crushed
    if so(answers, "small_doses"):
        return [("powder", dose, crushed)] * count
    return [("tablet", "1 tablet", crushed)] * count


def _elsewhere(answers: _Known, sugar: bool) -> Iterator[dict[str, Any]]:
    """A medicine that stays out of the tube."""
    if not so(answers, "other_route_medicines"):
        return
    times = ["08:00"] if so(answers, "timed_elsewhere") else "as needed"
    if so(answers, "insulin"):
        what = {"name": "insulin glargine", "form": "injection", "dose": "10 units"}
    elif sugar:
        what = {"name": "glipizide", "form": "tablet", "dose": "1 tablet"}
    else:
        what = {"name": "Example patch", "form": "patch", "dose": "1 patch"}
    yield {**what, "times": times}
