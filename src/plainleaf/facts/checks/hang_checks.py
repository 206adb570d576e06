"""Checks on how formula runs: how long it hangs, and how fast, in every step of an order.

All figures only ask for a second look; none is an order.
"""

from __future__ import annotations

from plainleaf.facts.checks.outcome import amount, check, each, feed_words, listed, part
from plainleaf.facts.derived import Checked
from plainleaf.facts.feed_stages import FeedStage, all_stages
from plainleaf.facts.given import Given
from plainleaf.vocabulary.quantities import read_quantity

# Common practice, no source: higher pump rates into the stomach are rare.
RATE_MOST_GASTRIC = read_quantity("150 mL/h", "rate")
# rate-j-max (memory).
RATE_MOST_JEJUNAL = read_quantity("125 mL/h", "rate")


def _key(stage: FeedStage, key: str) -> str:
    """The patient-file key of a feeding, or of one step of it."""
    step = f".steps[{stage.step - 1}]" if stage.step else ""
    return f"feeding[{stage.feed.number}]{step}{key}"


@check("what", "limit")
def closed_hangs_too_long(given: Given) -> Checked:
    """A ready-to-hang container lasts longer at the ordered rate than it may hang (o-hang-neg)."""
    most = given.policy.quantity("hang_closed")
    long = []
    for stage in all_stages(given.patient):
        formula, rate = stage.feed.formula, stage.rate
        if rate is None or formula is None or formula.system != "closed":
            continue
        if formula.container is not None and (lasts := formula.container / rate) > most:
            words = f"{amount(formula.container)} at {rate} lasts {amount(lasts.to('h'), 1)}"
            first = stage.first_day
            long.append(part(_key(stage, ""), about=first, what=words, limit=str(most)))
    return each(long)


@check("what", "limit")
def blended_hangs_too_long(given: Given) -> Checked:
    """Home-blended food by pump or gravity for longer than it may hang (hang-blend)."""
    most = given.policy.quantity("hang_blended")
    long = []
    for stage in all_stages(given.patient):
        feed, runs = stage.feed, stage.runs_for or stage.feed.over
        if feed.blended and runs is not None and runs > most:
            words = f"{feed_words(feed, given.patient)} runs for {runs}"
            long.append((_key(stage, ""), words))
    return listed(long, limit=str(most))


@check("what")
def rate_high(given: Given) -> Checked:
    """A pump above 150 mL/h, or above 125 mL/h into the jejunum (rate-j-max, memory; practice)."""
    fast = []
    for stage in all_stages(given.patient):
        most = RATE_MOST_JEJUNAL if stage.feed.through == "jejunal" else RATE_MOST_GASTRIC
        if stage.rate is not None and stage.rate > most:
            words = f"{amount(stage.rate, 1)} (usual top: {most})"
            fast.append(part(_key(stage, ".rate"), about=stage.first_day, what=words))
    return each(fast)
