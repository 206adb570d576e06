"""Checks on flushes: how large one is, whether one is missing, whether it is ever given.

Nothing here is an order (fluid-noev: no guideline figure exists for stable adults).
"""

from __future__ import annotations

from collections.abc import Iterator

from plainleaf.facts.checks.outcome import amount, check, joined, listed, result
from plainleaf.facts.derived import Checked
from plainleaf.facts.given import Given
from plainleaf.facts.plans import resting_ports
from plainleaf.facts.runs import runs_all_day
from plainleaf.vocabulary.quantities import Quantity, mL

# Common practice, no source: a larger flush at one time is likely a slip.
FLUSH_MOST_ADULT = mL(250)
# fl-ped-num (memory, disputed): well above what is in use at each age.
FLUSH_MOST_CHILD = {"infant": mL(10), "young-child": mL(30), "child": mL(60)}


def _flushes(given: Given) -> Iterator[tuple[str, str, Quantity]]:
    """Key, words and amount of every flush that is ordered."""
    water = given.water
    for key, words, size in (
        ("before_feed", "before feedings", water.before_feed),
        ("after_feed", "after feedings", water.after_feed),
        ("medicine", "around medicines", water.medicine),
        ("daily", "when it rests", water.daily),
        ("each", "every so many hours", water.each),
    ):
        if size is not None:
            yield f"water.{key}", f"{amount(size, 1)} {words}", size


@check("what")
def flush_large_adult(given: Given) -> Checked:
    """An adult's single flush above 250 mL (practice)."""
    large = [(k, w) for k, w, size in _flushes(given) if size > FLUSH_MOST_ADULT]
    return listed([] if given.child else large)


@check("what", "most")
def flush_large_child(given: Given) -> Checked:
    """A child's single flush above 10 mL (infant), 30 mL (young child) or 60 mL (fl-ped-num)."""
    if not given.child:
        return listed([])
    most = FLUSH_MOST_CHILD[given.age_group]
    return listed([(k, w) for k, w, size in _flushes(given) if size > most], most=amount(most))


@check()
def medicine_flush_missing(given: Given) -> Checked:
    """Medicines go through the tube and `water.medicine` is not written (med-flush)."""
    by_tube = any(medicine.through is not None for medicine in given.patient.medicines)
    return result(by_tube and given.water.medicine is None, ["water.medicine"])


@check("what")
def feed_flush_missing(given: Given) -> Checked:
    """A feeding without its flushes (fl-adult-bolus, fl-adult-cont).

    Feedings with a start and an end need one before and one after; a pump that runs all day needs
    one every so many hours.
    """
    water = given.water
    feeds = [feed for orders in given.dated_orders for feed in orders.feeding]
    all_day = [feed for feed in feeds if feed.method == "pump" and runs_all_day(feed)]
    missing = []
    if len(all_day) < len(feeds):
        if water.before_feed is None:
            missing.append(("water.before_feed", "before feedings"))
        if water.after_feed is None:
            missing.append(("water.after_feed", "after feedings"))
    if all_day and water.every is None:
        missing.append(("water.every", "while the pump runs all day"))
    return listed(missing)


@check()
def every_without_start(given: Given) -> Checked:
    """`water.every` with no pump that times it and no `water.starts`: it would never be given."""
    water = given.water
    pumps = any(feed.method == "pump" for feed in given.patient.feeding)
    return result(water.every is not None and water.starts is None and not pumps, ["water.starts"])


@check("what")
def flush_never_given(given: Given) -> Checked:
    """An ordered flush that the plan never uses (fl-adult-cont); a daily flush may wait."""
    water = given.water
    fed = bool(given.patient.feeding)
    return listed(
        [
            (f"water.{key}", f"water.{key}")
            for key, unused in (
                ("each", water.each is not None and water.every is None),
                ("before_feed", water.before_feed is not None and not fed),
                ("after_feed", water.after_feed is not None and not fed),
            )
            if unused
        ]
    )


@check("ports")
def resting_port_unflushed(given: Given) -> Checked:
    """A port that nothing uses on a day and that no flush reaches (fl-idle)."""
    flushed = {event.through for event in given.events if event.kind == "flush"}
    flushed |= {extra.through for extra in given.water.extras if extra.why == "flush"}
    dry = [port for port in resting_ports(given.patient) if port not in flushed]
    return result(bool(dry), ["water.daily"], ports=joined(dry))
