"""Checks on ports that drain, vent or rest, and on what a flush must fill.

Asked of format 2 alone. None of them is ever unknown.
"""

from __future__ import annotations

from collections.abc import Iterator

from plainleaf.facts.checks.outcome import (
    amount,
    check_of_2,
    each,
    feed_words,
    listed,
    part,
    result,
)
from plainleaf.facts.derived import Checked
from plainleaf.facts.feed_stages import all_stages, tied_minutes
from plainleaf.facts.given import Given
from plainleaf.facts.runs import minutes_in
from plainleaf.facts.week import A_WEEK, WeekSpan, week_minutes
from plainleaf.inputs.patient import Medicine, Patient
from plainleaf.inputs.patient.order_values import Drainage
from plainleaf.vocabulary.dead_space import DeadSpace, dead_space_of
from plainleaf.vocabulary.quantities import Quantity, read_quantity

# How long a draining port stays closed after a medicine at the least; common practice, no source.
CLOSED_AFTER_MEDICINE = read_quantity("30 min", "time span")
_BLOCKS = ("drainage", "venting")


@check_of_2("what")
def drain_order_missing(given: Given) -> Checked:
    """A port that drains or vents without its block, or the block without such a port."""
    patient = given.patient
    faults = []
    for use in _BLOCKS:
        block = getattr(patient, use)
        ports = [port for port, uses in given.tube.ports.items() if use in uses]
        if ports and block is None:
            faults.append((use, f"{use} of the {ports[0]} port has no {use}: block"))
        elif block is not None and block.through not in ports:
            key = f"{use}.through"
            faults.append((key, f"{use} is ordered, and tube.ports does not list it for the "
                                f"{block.through} port"))  # fmt: skip
        extra = [port for port in ports if block is not None and port != block.through]
        faults += [(use, f"{use} of the {port} port has no order") for port in extra]
    return listed(faults)


@check_of_2()
def drain_no_quiet_limit(given: Given) -> Checked:
    """A drain without `call_none`: nobody says when a quiet drain is a call."""
    drainage = given.patient.drainage
    return result(drainage is not None and drainage.call_none is None, ["drainage.call_none"])


# --- a draining port that is used ----------------------------------------------------------------


def _draining(drainage: Drainage) -> tuple[WeekSpan, ...]:
    """When it drains."""
    if not drainage.times:
        return ((0, A_WEEK),)
    long = 0 if drainage.lasts is None else minutes_in(drainage.lasts)
    return tuple((m, m + long) for m in week_minutes(drainage.times))


def _meets(spans: tuple[WeekSpan, ...], first: int, last: int) -> bool:
    """Whether a task from one minute to another falls into hours of draining."""
    return any(
        start < last + shift and first + shift < end
        for start, end in spans
        for shift in (0, A_WEEK)
    )


def _needs_closing(given: Given, drainage: Drainage) -> Iterator[tuple[str, str]]:
    """Key and words of what goes through a draining port for longer than it may be closed."""
    patient, spans = given.patient, _draining(drainage)
    longest = max((minutes_in(span) for span in drainage.may_close.values()), default=0)
    least = minutes_in(given.policy.quantity("feed_minutes_least"))
    for stage in all_stages(patient):
        long = max(stage.minutes, least)
        met = any(_meets(spans, first, first + long) for first, _ in stage.week)
        if stage.feed.through == drainage.through and met and long > longest:
            yield f"feeding[{stage.feed.number}]", feed_words(stage.feed, patient)
    after = drainage.may_close.get("after-medicines")
    if after is not None and after >= CLOSED_AFTER_MEDICINE:
        return
    for medicine in patient.medicines:
        if medicine.through == drainage.through and _given_while(patient, medicine, spans):
            yield f"medicines[{medicine.number}]", medicine.name


def _given_while(patient: Patient, medicine: Medicine, spans: tuple[WeekSpan, ...]) -> bool:
    minutes = tied_minutes(patient, medicine.times, medicine.tied, medicine.days)
    return medicine.as_needed or any(_meets(spans, m, m + 1) for m in minutes)


@check_of_2("what", "port")
def drain_and_feed_one_port(given: Given) -> Checked:
    """Feeding or medicines through a port while it drains, and it may not be closed so long."""
    drainage = given.patient.drainage
    if drainage is None:
        return result(False)
    return listed(list(_needs_closing(given, drainage)), port=drainage.through)


# --- a port that rests ---------------------------------------------------------------------------


def _through(patient: Patient) -> Iterator[tuple[str, str, str]]:
    """Key, words and port of everything but a flush."""
    for feed in patient.feeding:
        yield f"feeding[{feed.number}]", feed_words(feed, patient), feed.through
    for medicine in patient.medicines:
        if medicine.through is not None:
            yield f"medicines[{medicine.number}]", medicine.name, medicine.through
    for number, additive in enumerate(patient.additives):
        yield f"additives[{number}]", additive.name, additive.through
    for number, extra in enumerate(patient.water.extras):
        if extra.why == "drink":
            yield f"water.extra[{number}]", "water to take in", extra.through
    if patient.low_sugar is not None:
        yield "low_sugar.route", "sugar for low blood sugar", patient.low_sugar.route


@check_of_2("what")
def resting_and_used(given: Given) -> Checked:
    """A port that rests and is used for more than a flush."""
    ports = given.tube.ports
    resting = [port for port, uses in ports.items() if "resting" in uses]
    used = [
        (f"tube.ports.{port}", f"the {port} port is for {use} too")
        for port in resting
        for use in ports[port]
        if use != "resting"
    ]
    used += [
        (key, f"{words} through the {port} port")
        for key, words, port in _through(given.patient)
        if port in resting
    ]
    return listed(used)


# --- what a flush must fill ----------------------------------------------------------------------


def _space(given: Given) -> DeadSpace | None:
    """What the tube of this patient holds, by the facility's setting, if that says it."""
    if "dead_space" not in given.policy.entries:
        return None
    return dead_space_of(given.policy.word("dead_space"), given.tube.build, given.tube.size)


def _flushes(given: Given) -> Iterator[tuple[str, str, Quantity]]:
    """Key, words and least amount of every flush."""
    water = given.water
    for key, most, least in (
        ("before_feed", water.before_feed, water.before_feed_least),
        ("after_feed", water.after_feed, water.after_feed_least),
        ("medicine", water.medicine, water.medicine_least),
        ("each", water.each, None),
        ("daily", water.daily, None),
    ):
        if most is not None:
            yield f"water.{key}", f"water.{key}", least or most
    for extra in water.extras:
        if extra.why == "flush":
            yield "water.extra", "water.extra", extra.amount_least or extra.amount
    for number, additive in enumerate(given.patient.additives):
        for name in ("flush_before", "flush_after"):
            amounts = getattr(additive, name)
            if amounts is not None:
                yield f"additives[{number}].{name}", f"{name} of {additive.name}", amounts.least


@check_of_2("key", "flush", "space")
def flush_under_dead_space(given: Given) -> Checked:
    """A flush smaller than what the tube and its extension set hold (dead-space)."""
    space = _space(given)
    if space is None:
        return result(False)
    return each(
        part(key, key=words, flush=amount(size, 1), space=amount(space.holds, 1))
        for key, words, size in _flushes(given)
        if size < space.holds
    )


@check_of_2("build", "size")
def dead_space_unknown(given: Given) -> Checked:
    """Flushes are ordered, and the facility does not say what such a tube holds."""
    asked = any(True for _ in _flushes(given)) and _space(given) is None
    return result(asked, ["water"], build=given.tube.build, size=str(given.tube.size))
