"""Facts about feeding: methods, ports, amounts, what is poured and how long it hangs."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import time

from plainleaf.facts.declare import (
    LOADER,
    Asked,
    Constraint,
    Slot,
    alike,
    following,
    slot,
    whenever,
    word,
    yes_no,
)
from plainleaf.facts.derived import Phrase, SlotValue
from plainleaf.facts.feed_days import (
    days_of,
    differ,
    each_day,
    of_all_days,
    pattern_of,
    runs_differ,
)
from plainleaf.facts.feed_words import amount_of, time_of
from plainleaf.facts.given import Given
from plainleaf.facts.plans import hang_time
from plainleaf.facts.runs import A_DAY, pump_span, pump_volume
from plainleaf.inputs.patient import Feed
from plainleaf.vocabulary import terms
from plainleaf.vocabulary.conditions import (
    Condition,
    answers,
    at_most_one,
    every,
    never,
    no,
    some,
    yes,
)
from plainleaf.vocabulary.quantities import Quantity


def _through(feeds: Sequence[Feed]) -> str | None:
    """The one port of these feedings, `none` without any, None where they differ."""
    ports = {feed.through for feed in feeds}
    if len(ports) > 1:
        return None
    return ports.pop() if ports else "none"


INTO_STOMACH = some(*(answers(f"{method}_through", "gastric") for method in terms.METHODS))
INTO_BOWEL = some(*(answers(f"{method}_through", "jejunal") for method in terms.METHODS))
_POURED = ("blended", "open_formula", "closed_formula", "powder_formula", "recipe_formula")
_BOWEL = yes("blended_into_bowel")
_STOMACH_ONLY = every(yes("blended"), never(_BOWEL))
_ONE_ORDER = every(
    yes("pump_feeds"), no("pump_plans_many"), no("syringe_feeds"), no("gravity_feeds")
)


def _port_of(method: str) -> Asked[Given]:
    name = f"{method}_through"
    article = {"pump": "the pump feeding"}.get(method, f"the {method} feedings")
    return word(
        name, ("none", *terms.PORTS), f"port of {article}", lambda g: _through(g.feeds_by(method)),
        legal=tuple(
            whenever(answers(name, port), yes(f"{port}_feeding"),
                     "feeding goes through a port that is for feeding", "rule port-not-for-this")
            for port in terms.PORTS
        ),
    )  # fmt: skip


def _fed_by(method: str, means: str) -> Asked[Given]:
    return yes_no(
        f"{method}_feeds", means, lambda g: bool(g.feeds_by(method)), needs="feeding",
        legal=(alike(no(f"{method}_feeds"), answers(f"{method}_through", "none"),
                     "a method goes through a port"),),
    )  # fmt: skip


def _of_method(name: str, method: str, means: str, test: Callable[[Given], bool]) -> Asked[Given]:
    return yes_no(
        name, means, test, needs="feeding",
        legal=(whenever(yes(name), yes(f"{method}_feeds"), "an order of this method"),),
    )  # fmt: skip


def _handled_as(feed: Feed) -> str:
    """How what is fed is handled: what has a recipe is mixed by it, whatever its label says."""
    if feed.formula is None:
        return "blended"
    return "recipe" if feed.formula.recipe is not None else feed.formula.system


def _formula(
    system: str, means: str, *legal: Constraint, only_1: bool = False, only_2: bool = False
) -> Asked[Given]:
    return yes_no(
        f"{system}_formula", means,
        lambda g: any(_handled_as(feed) == system for feed in g.patient.feeding),
        needs="feeding", only_1=only_1, only_2=only_2, legal=legal,
    )  # fmt: skip


FEEDING_FACTS: tuple[Asked[Given], ...] = (
    word(
        "pump_pattern", ("none", "all-day", "overnight", "part-day"), "when a pump runs",
        pattern_of,
        legal=(alike(no("pump_feeds"), answers("pump_pattern", "none"), "a pump has its hours"),),
    ),
    _port_of("pump"),
    _port_of("syringe"),
    _port_of("gravity"),
    _fed_by("syringe", "feeds by syringe"),
    _fed_by("gravity", "feeds by gravity bag"),
    _fed_by("pump", "feeds by pump"),
    following(
        "fed_by_tube", "any feeding goes through the tube",
        some(*(yes(f"{method}_feeds") for method in terms.METHODS)),
        alike(yes("fed_by_tube"), some(yes("blended"), yes("formula_feeds")),
              "every feeding is formula or blended", LOADER),
        whenever(_ONE_ORDER, at_most_one(*(yes(fact) for fact in _POURED)), "one order, one food"),
        needs="feeding",
    ),
    _of_method("syringe_amounts_differ", "syringe", "syringe feedings differ in amount",
               lambda g: differ(of_all_days(g, "syringe"))),
    _of_method("gravity_amounts_differ", "gravity", "gravity feedings differ in amount or time",
               lambda g: differ(of_all_days(g, "gravity"))),
    _of_method("pump_plans_many", "pump", "more than one pump run a day, or not the same each day",
               runs_differ),
    yes_no(
        "blended", "home-blended food", lambda g: any(f.blended for f in g.patient.feeding),
        needs="feeding",
        legal=(
            whenever(_STOMACH_ONLY, INTO_STOMACH, "blended food goes through some port"),
            whenever(every(_STOMACH_ONLY, INTO_BOWEL), yes("formula_feeds"),
                     "what the bowel gets is formula"),
        ),
    ),
    yes_no(
        "blended_into_bowel", "home-blended food into the bowel, by order",
        lambda g: any(f.blended and f.through == "jejunal" for f in g.patient.feeding),
        needs="feeding",
        legal=(whenever(_BOWEL, every(yes("blended"), INTO_BOWEL), "what the fact means"),),
    ),
    _formula("open", "formula poured from cans or cartons"),
    _formula("closed", "ready-to-hang formula"),
    _formula("powder", "formula mixed from powder, by a recipe that the file does not hold",
             whenever(yes("powder_formula"), never(answers("age_group", "infant")),
                      "a baby's powder has a recipe", "rule powder-without-recipe"), only_1=True),
    _formula("recipe", "formula mixed by a recipe of the file", only_2=True),
    following(
        "formula_feeds", "ready formula", some(*(yes(fact) for fact in _POURED[1:])),
        needs="feeding",
    ),
)  # fmt: skip


# --- values --------------------------------------------------------------------------------------

_ONE_PUMP = every(yes("pump_feeds"), no("pump_plans_many"))
# What is poured has a hang time; a ready-to-hang bag is not poured.
_ONE_POURED = every(_ONE_PUMP, no("closed_formula"))


def _pump(g: Given) -> Feed | None:
    """The pump run, where there is one and no more, the same on every day."""
    pumps = days_of(g, "pump")[0]
    return pumps[0] if pumps and not runs_differ(g) else None


def _of_pump(value: Callable[[Feed], SlotValue | None]) -> Callable[[Given], SlotValue | None]:
    def derive(g: Given) -> SlotValue | None:
        feed = _pump(g)
        return None if feed is None else value(feed)

    return derive


def _clock(minute: int) -> time:
    return time(minute % A_DAY // 60, minute % 60)


def _hang_time(g: Given) -> Quantity | None:
    """Hang time of what is poured into a bag; ready-to-hang formula is not poured."""
    feed = _pump(g)
    if feed is None or _handled_as(feed) == "closed":
        return None
    return hang_time(g.policy, feed)


def _pour_at_most(g: Given) -> Quantity | None:
    feed, hang = _pump(g), _hang_time(g)
    if feed is None or feed.rate is None or hang is None:
        return None
    return min((feed.rate * hang).to("mL"), pump_volume(feed))


def _same(feeds: Sequence[Feed]) -> Feed | None:
    """The first of feedings that are all alike."""
    return feeds[0] if feeds and not differ(feeds) else None


def _count_of(method: str) -> Callable[[Given], int | None]:
    return lambda g: each_day(g, method, lambda fs: sum(len(f.times) for f in fs)) or None


def _alike_of(
    method: str, value: Callable[[Feed], SlotValue | None]
) -> Callable[[Given], SlotValue | None]:
    def derive(g: Given) -> SlotValue | None:
        feed = _same(of_all_days(g, method))
        return None if feed is None else value(feed)

    return derive


def port_phrase_of(g: Given, port: str) -> Phrase | None:
    """A port in plain words: the one port of a tube is simply the feeding port, where it is one."""
    if port not in g.tube.ports:
        return None
    if len(g.tube.ports) == 2:
        return Phrase(f"port-{port}")
    return Phrase("port-only" if "feeding" in g.tube.ports[port] else "port-plain")


def _port_for(use: str) -> Callable[[Given], Phrase | None]:
    def derive(g: Given) -> Phrase | None:
        ports = [port for port, uses in g.tube.ports.items() if use in uses]
        return port_phrase_of(g, ports[0]) if len(ports) == 1 else None

    return derive


def _one_use(use: str) -> Condition:
    gastric, jejunal = f"gastric_{use}", f"jejunal_{use}"
    return some(every(yes(gastric), no(jejunal)), every(no(gastric), yes(jejunal)))


_SAME_SYRINGE = every(yes("syringe_feeds"), no("syringe_amounts_differ"))
_SAME_GRAVITY = every(yes("gravity_feeds"), no("gravity_amounts_differ"))

FEEDING_SLOTS: tuple[Slot[Given], ...] = (
    slot("gastric_port_name", "phrase", "the gastric port in plain words",
         lambda g: port_phrase_of(g, "gastric"), yes("gastric_port")),
    slot("jejunal_port_name", "phrase", "the jejunal port in plain words",
         lambda g: port_phrase_of(g, "jejunal"), yes("jejunal_port")),
    slot("feeding_port_name", "phrase", "the port that feeding goes through",
         _port_for("feeding"), _one_use("feeding")),
    slot("medicine_port_name", "phrase", "the port that medicines go through",
         _port_for("medicines"), _one_use("medicines")),
    slot("syringe_feed_count", "count", "syringe feedings a day",
         _count_of("syringe"), yes("syringe_feeds")),
    slot("gravity_feed_count", "count", "gravity feedings a day",
         _count_of("gravity"), yes("gravity_feeds")),
    slot("syringe_amount", "volume", "one syringe feeding",
         _alike_of("syringe", amount_of), _SAME_SYRINGE),
    slot("gravity_amount", "volume", "one gravity feeding",
         _alike_of("gravity", amount_of), _SAME_GRAVITY),
    slot("gravity_minutes", "span", "time for one gravity feeding",
         _alike_of("gravity", time_of), _SAME_GRAVITY),
    slot("pump_volume", "volume", "one pump run", _of_pump(pump_volume), _ONE_PUMP),
    slot("pump_rate", "rate", "speed of the pump", _of_pump(lambda f: f.rate), _ONE_PUMP),
    slot("pump_hours", "span", "length of one pump run", _of_pump(lambda f: f.runs_for), _ONE_PUMP),
    slot("pump_start", "clock", "start of the pump run",
         _of_pump(lambda f: _clock(pump_span(f)[0])), _ONE_PUMP),
    slot("pump_stop", "clock", "end of the pump run",
         _of_pump(lambda f: _clock(pump_span(f)[1])), _ONE_PUMP),
    slot("pour_at_most", "volume", "most formula to pour at once", _pour_at_most, _ONE_POURED),
    slot("refill_every", "span", "time until the bag is filled again", _hang_time, _ONE_POURED),
)  # fmt: skip
