"""Makes the frozen records of a patient from the values of a file of format 2 without faults.

Names of the directory, the formulary and the file's own formulas are resolved before.
"""

from __future__ import annotations

from datetime import datetime
from typing import Any, TypeVar

from plainleaf.inputs.patient.named_entries import Names
from plainleaf.inputs.patient.order_values import (
    Additive,
    Check,
    Decided,
    DoseStep,
    Drainage,
    FeedingStops,
    FeedStep,
    LowSugar,
    Resting,
    Session,
    Settled,
    Venting,
    WordedOrder,
)
from plainleaf.inputs.patient.patient_values import (
    ExtraWater,
    Feed,
    Medicine,
    Order,
    Patient,
    PositionCheck,
    Tube,
    Water,
)
from plainleaf.inputs.patient.people_values import (
    Contact,
    Contacts,
    Interpreter,
    Learner,
    Person,
    Visit,
)
from plainleaf.inputs.patient.read_shapes import Values
from plainleaf.inputs.patient.value_of import value_of
from plainleaf.vocabulary import terms, words_2
from plainleaf.vocabulary.patient_file import AS_NEEDED
from plainleaf.vocabulary.patient_file.scalars_2 import Amounts, Mix, Portion, moment_of
from plainleaf.vocabulary.quantities import Quantity

R = TypeVar("R")
# What a field of format 1 holds where format 2 says it otherwise.
UNKNOWN = "unknown"
_LASTS = {"for": "lasts"}


def patient_of_2(values: Values, names: Names, file: str) -> Patient:
    """The record of a whole file of format 2."""
    dates = values["dates"] or {}
    written = {key: day for key, day in dates.items() if day is not None}
    feeding = tuple(_feed(feed, n, names) for n, feed in enumerate(values["feeding"]))
    return Patient(
        file=file,
        format=2,
        person=_person(values["patient"]),
        learners=tuple(_learner(learner) for learner in values["learners"]),
        interpreter=_maybe(Interpreter, values["interpreter"]),
        other_lines=values["other_lines"],
        tube=_tube(values["tube"]),
        feeding=feeding,
        formulas=names.taken(feed.formula for feed in feeding),
        water=_water(values["water"]),
        medicines=tuple(_medicine(line, n) for n, line in enumerate(values["medicines"])),
        if_feeding_stops=None,
        contacts=_contacts(values["contacts"], names),
        visits=tuple(_visit(visit, names) for visit in values["visits"] or ()),
        dates={key: _moment(day) for key, day in written.items()},
        prepared_by=values["prepared"]["by"],
        prepared_on=values["prepared"]["at"],
        accepted=(),
        whole_days=frozenset(k for k, day in written.items() if not isinstance(day, datetime)),
        ordered=value_of(Order, values["ordered"]),
        settled=tuple(_settled(block) for block in values["settled"] or ()),
        **_plans(values),
    )


def _plans(values: Values) -> dict[str, Any]:
    """What only format 2 knows besides the orders of the day."""
    overrides = values["overrides"]
    return {
        "additives": tuple(value_of(Additive, line) for line in values["additives"] or ()),
        "drainage": _drainage(values["drainage"]),
        "venting": _maybe(Venting, values["venting"]),
        "watch": tuple(_check(line) for line in values["watch"] or ()),
        "low_sugar": _maybe(LowSugar, values["low_sugar"]),
        "feeding_stops": _maybe(FeedingStops, values["if_feeding_stops"]),
        "overrides": None if overrides is None else _written(overrides),
        "orders": tuple(value_of(WordedOrder, line) for line in values["orders"] or ()),
        "sessions": tuple(value_of(Session, _timed(line)) for line in values["sessions"] or ()),
    }


def _written(values: Values) -> dict[str, object]:
    return {key: value for key, value in values.items() if value is not None}


def _timed(values: Values) -> Values:
    """The values of a block in which `for` says how long."""
    return {_LASTS.get(key, key): value for key, value in values.items()}


def _maybe(kind: type[R], values: Values | None) -> R | None:
    return None if values is None else value_of(kind, _timed(values))


def _moment(day: object) -> datetime:
    moment = moment_of(day)
    assert moment is not None
    return moment


def _tuple(value: object) -> tuple[Any, ...]:
    """One value, or a list of them, as a list."""
    if value is None:
        return ()
    return value if isinstance(value, tuple) else (value,)


def _person(values: Values) -> Person:
    mouth = _tuple(values["by_mouth"])
    renamed = {"by_mouth_until": "mouth_until"}
    return value_of(
        Person,
        {renamed.get(key, key): value for key, value in values.items()},
        mouth=mouth,
        by_mouth="nothing" if mouth == ("nothing",) else UNKNOWN,
        conditions=frozenset(values["conditions"] or ()),
        conditions_recorded=values["conditions"] is not None,
        print_size=int((values["print_size"] or "18 pt").split()[0]),
    )


def _learner(values: Values) -> Learner:
    whole = {"all": words_2.DUTIES, "none": ()}
    duties = whole.get(values["duties"], values["duties"])
    return value_of(Learner, values, duties=duties, hands_on=bool(duties))


def _tube(values: Values) -> Tube:
    return value_of(
        Tube,
        values,
        opening_healed=_maybe(Order, values["opening_healed"]),
        may_put_back=_maybe(Order, values["may_put_back"]),
        position_checked=_maybe(PositionCheck, values["position_checked"]),
        resting=_maybe(Resting, values["resting"]),
        ports={port: values["ports"][port] for port in terms.PORTS if port in values["ports"]},
    )


def _ends(values: Values, *keys: str) -> dict[str, Quantity | None]:
    """Of each amount that may be a range, the most, and the least where there are two."""
    ends: dict[str, Quantity | None] = {}
    for key in keys:
        amounts: Amounts | None = values[key]
        ends[key] = None if amounts is None else amounts.most
        ranged = amounts is not None and amounts.least != amounts.most
        ends[f"{key}_least"] = amounts.least if amounts is not None and ranged else None
    return ends


def _feed(values: Values, number: int, names: Names) -> Feed:
    formula = names.formula(values["formula"])
    amount, cartons = values["amount"], None
    if isinstance(amount, Portion):
        assert formula is not None and formula.container is not None
        amount, cartons = formula.container.to("mL") * amount.count, amount
    return value_of(
        Feed,
        values,
        number=number,
        formula=formula,
        amount=amount,
        cartons=cartons,
        steps=tuple(value_of(FeedStep, _timed(step)) for step in values["steps"] or ()),
        **_ends(values, "over"),
    )


def _extra(values: Values) -> ExtraWater:
    return value_of(ExtraWater, values, **_ends(values, "amount"))


def _water(values: Values) -> Water:
    extras = tuple(_extra(block) for block in _tuple(values["extra"]))
    ranged = _ends(values, "before_feed", "after_feed", "medicine")
    return value_of(Water, values, extra=extras[0] if extras else None, extras=extras, **ranged)


def _medicine(values: Values, number: int) -> Medicine:
    times, route = values["times"], values["route"]
    by_clock = isinstance(times, tuple)
    other = {key: value for key, value in values.items() if key != "for"}
    return value_of(
        Medicine,
        other,
        number=number,
        as_needed=times == AS_NEEDED,
        times=times if by_clock else (),
        tied=None if by_clock or times == AS_NEEDED else times,
        through=values["through"] or (route if route in terms.PORTS else None),
        route=route or values["through"],
        reason=None,
        reasons=values["for"] or (),
        crush=None,
        steps=tuple(value_of(DoseStep, _timed(step)) for step in values["steps"] or ()),
        mix=_mix(values["in"]),
    )


def _mix(written: object) -> object:
    """What a medicine is mixed in; a soft food has no amount."""
    return Mix(written) if isinstance(written, str) else written


def _drainage(values: Values | None) -> Drainage | None:
    if values is None:
        return None
    times = values["times"]
    return value_of(Drainage, _timed(values), times=() if times == words_2.ALL_THE_TIME else times)


def _check(values: Values) -> Check:
    times = values["times"]
    by_clock = isinstance(times, tuple)
    return value_of(
        Check, values, times=times if by_clock else (), tied=None if by_clock else times
    )


def _contacts(values: Values, names: Names) -> Contacts:
    named = {
        key: names.contact(value)
        for key, value in values.items()
        if key not in ("emergency", "first_call", "others")
    }
    emergency = values["emergency"]
    block = {"phone": emergency} if isinstance(emergency, str) else emergency
    return value_of(
        Contacts,
        named,
        emergency=value_of(Contact, {"name": None, "hours": None, **block}),
        first_call=values["first_call"],
        others=tuple(names.contact(contact) for contact in values["others"] or ()),
    )


def _visit(values: Values, names: Names) -> Visit:
    when = values["when"]
    place = names.place(values["where"])
    timed = isinstance(when, datetime)
    return value_of(
        Visit,
        values,
        what=values["kind"],
        when=when if timed else None,
        day=None if timed else when,
        place=place,
        where=place.name if place is not None else values["where"],
    )


_LINE = ("finding", "about", "code", "do", "note")


def _settled(values: Values) -> Settled:
    return value_of(Settled, values, decided=tuple(_decision(line) for line in values["decided"]))


def _decision(values: Values) -> Decided:
    said = _written({k: v for k, v in values.items() if k not in _LINE})
    if "in" in said:
        said["in"] = _mix(said["in"])
    return Decided(
        finding=values["finding"],
        about=_tuple(values["about"]),
        code=values["code"],
        do=values["do"],
        note=values["note"],
        fields=said,
    )
