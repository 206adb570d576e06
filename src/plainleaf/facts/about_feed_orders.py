"""Facts about feeding orders of format 2: steps, what is given apart, what was decided on."""

from __future__ import annotations

from plainleaf.facts.declare import ORDER_SET, Asked, whenever, yes_no
from plainleaf.facts.given import Given
from plainleaf.vocabulary import words_2
from plainleaf.vocabulary.conditions import Condition, answers, every, some, yes
from plainleaf.vocabulary.settling import SETTLED_BY

_FED = yes("fed_by_tube")


def _vents(side: str) -> Asked[Given]:
    return yes_no(
        f"vent_{side}_feed", f"air is let out {side} each feeding",
        lambda g: g.patient.venting is not None and f"{side} each feed" in g.patient.venting.when,
        needs="venting", only_2=True, shown={"venting.when": [f"{side} each feed"]},
        legal=(whenever(yes(f"vent_{side}_feed"), answers("vent_with", *words_2.VENT_HOW),
                        "air is let out through a port for it", "rule drain-order-missing"),),
    )  # fmt: skip


def _decided(name: str, means: str, *findings: str, then: Condition = _FED) -> Asked[Given]:
    """What a decision on a finding about a feeding makes true.

    Args:
        then: What holds wherever it is so.
    """
    do = SETTLED_BY[findings[0]].outcomes[0]
    return yes_no(
        name, means, lambda g: any(g.outcomes_of(finding) for finding in findings),
        needs="settled", only_2=True, shown_outcome=(findings[0], do, {}),
        legal=(whenever(yes(name), then, "a feeding is ordered that the finding is about"),),
    )  # fmt: skip


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
        ),
    ),
    _vents("before"),
    _vents("after"),
    _decided("large_feed", "a large feeding, as ordered", "bolus-large-adult", "bolus-large-child"),
    _decided("blended_narrow", "home-blended food through a narrow tube, as ordered",
             "blended-narrow-tube", then=yes("blended")),
    _decided("hangs_shorter", "a ready-to-hang bag lasts longer than it may hang",
             "closed-hangs-too-long", then=every(yes("closed_formula"), yes("pump_feeds"))),
    _decided("clean_mixing", "powder for somebody whom germs may hurt", "powder-risk"),
    _decided("hold_makes_less", "what a medicine's hold takes away is not made up",
             "feed-hold-costs", then=yes("pump_feeds")),
)  # fmt: skip
