"""Facts about feeding orders of format 2: steps, what is given apart, what was decided on."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from plainleaf.facts.about_feeding import INTO_STOMACH
from plainleaf.facts.about_medicines import TIMED_MEDICINES
from plainleaf.facts.declare import ORDER_SET, Asked, whenever, yes_no
from plainleaf.facts.given import Given
from plainleaf.vocabulary import words_2
from plainleaf.vocabulary.conditions import Condition, answers, every, some, yes
from plainleaf.vocabulary.settling import SETTLED_BY

_ABOUT = "a feeding is ordered that the finding is about"


def _vents(side: str) -> Asked[Given]:
    return yes_no(
        f"vent_{side}_feed", f"air is let out {side} each feeding",
        lambda g: g.patient.venting is not None and f"{side} each feed" in g.patient.venting.when,
        needs="venting", only_2=True, shown={"venting.when": [f"{side} each feed"]},
        legal=(whenever(yes(f"vent_{side}_feed"), answers("vent_with", *words_2.VENT_HOW),
                        "air is let out through a port for it", "rule drain-order-missing"),),
    )  # fmt: skip


def _decided(
    name: str,
    means: str,
    finding: str,
    then: Condition,
    *,
    says: Mapping[str, Any] | None = None,
    shown: Mapping[str, Any] | None = None,
) -> Asked[Given]:
    """What a decision on a finding about a feeding makes true.

    Args:
        then: What holds wherever it is so.
        says: The fields of the outcome.
        shown: Keys that help to raise the finding.
    """
    do = SETTLED_BY[finding].outcomes[0]
    return yes_no(
        name, means, lambda g: bool(g.outcomes_of(finding)),
        needs="settled", only_2=True, shown=shown or {}, shown_outcome=(finding, do, says or {}),
        legal=(whenever(yes(name), then, _ABOUT),),
    )  # fmt: skip


def _large_feed(g: Given) -> bool:
    """Whether a large feeding stays as ordered; extra water may be asked of too."""
    asked = (*g.outcomes_of("bolus-large-adult"), *g.outcomes_of("bolus-large-child"))
    return any(name != "water.extra.amount" for outcome in asked for name in outcome.about)


FEED_ORDER_FACTS: tuple[Asked[Given], ...] = (
    yes_no(
        "feed_steps", "a feeding goes up or down by date",
        lambda g: any(feed.steps for feed in g.patient.feeding), needs="feeding", only_2=True,
        legal=(whenever(yes("feed_steps"), yes("fed_by_tube"), "steps of a feeding"),),
    ),
    yes_no(
        "additives_given", "a powder or fiber is given apart from the formula",
        lambda g: bool(g.patient.additives), needs="additives", only_2=True,
        shown={"additives": [{
            "kind": "protein", "name": "Example powder", "amount": "1 scoop (7 g)",
            "in": "30 mL water", "through": "gastric", "place": "before feed", "times": ["15:05"],
        }]},
        legal=(whenever(yes("additives_given"),
                        some(yes("gastric_feeding"), yes("jejunal_feeding")),
                        "an additive goes through a port for feeding",
                        "rule port-not-for-this"),),
    ),
    yes_no(
        "feed_by_named_order", "a feeding against the usual port or food, with who ordered it",
        lambda g: not g.undated and any(feed.ordered_by for feed in g.patient.feeding),
        needs="feeding", only_2=True,
        legal=(
            whenever(yes("feed_by_named_order"), yes("fed_by_tube"), "an order of a feeding"),
            whenever(
                every(yes(ORDER_SET), some(
                    answers("syringe_through", "jejunal"), answers("gravity_through", "jejunal"),
                    yes("blended_into_bowel"),
                )),
                yes("feed_by_named_order"), "else it is refused", "rule bowel-feed-not-ordered",
            ),
            whenever(
                every(yes(ORDER_SET), yes("two_ports"), INTO_STOMACH),
                yes("feed_by_named_order"), "else it is refused",
                "rule gj-stomach-feed-not-ordered",
            ),
        ),
    ),
    _vents("before"),
    _vents("after"),
    yes_no(
        "large_feed", "a large feeding, as ordered", _large_feed, needs="settled", only_2=True,
        legal=(whenever(yes("large_feed"), some(yes("syringe_feeds"), yes("gravity_feeds")),
                        _ABOUT),),
    ),
    _decided("blended_narrow", "home-blended food through a narrow tube, as ordered",
             "blended-narrow-tube", yes("blended"), shown={"tube.size": "12 Fr"}),
    _decided("hangs_shorter", "a ready-to-hang bag lasts longer than it may hang",
             "closed-hangs-too-long", every(yes("closed_formula"), yes("pump_feeds")),
             says={"after": "4 h"}),
    _decided("clean_mixing", "powder for somebody whom germs may hurt", "powder-risk",
             yes("recipe_formula"), shown={"patient.conditions": ["preterm"]}),
    _decided("hold_makes_less", "what a medicine's hold takes away is not made up",
             "feed-hold-costs",
             every(yes("pump_feeds"), yes("feeding_off_medicines"), TIMED_MEDICINES)),
)  # fmt: skip
