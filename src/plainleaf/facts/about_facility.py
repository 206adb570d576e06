"""Facts and values that are the facility's settings as they stand."""

from __future__ import annotations

from collections.abc import Iterator

from plainleaf.facts.declare import Asked, Constraint, Slot, slot, word
from plainleaf.facts.derived import SlotValue
from plainleaf.facts.given import Given
from plainleaf.inputs.policy import Policy
from plainleaf.vocabulary.conditions import answers


def _place(policy: Policy) -> Iterator[Constraint]:
    place = answers("dressing_place", policy.word("dressing_place"))
    yield Constraint(place, "the facility's setting", "fact")


FACILITY_FACTS: tuple[Asked[Given], ...] = (
    word(
        "dressing_place", ("over", "under"), "gauze on top of or under the disc, by policy",
        lambda g: g.policy.word("dressing_place"), legal_at=_place,
    ),
)  # fmt: skip


def _setting(kind: str, name: str, means: str, setting: str = "") -> Slot[Given]:
    """A slot that prints a setting; its name is the setting's, unless another is given."""

    def derive(g: Given) -> SlotValue | None:
        value = g.policy.entries[setting or name].value
        assert not isinstance(value, bool), name
        return value

    return slot(name, kind, means, derive)


FACILITY_SLOTS: tuple[Slot[Given], ...] = (
    _setting("length", "mark_moved", "how far is too far"),
    _setting("length", "redness_limit", "how wide redness may be"),
    _setting("times", "vomit_times", "how often vomiting is too often"),
    _setting("dose-volume", "small_dose", "below this a dose is small"),
    _setting("span", "head_up_after", "time to stay up after a feeding"),
    _setting("span", "hang_open", "hang time, poured formula"),
    _setting("span", "hang_closed", "hang time, ready-to-hang formula"),
    _setting("span", "hang_powder", "hang time, formula from powder"),
    _setting("span", "hang_blended", "hang time, home-blended food"),
    _setting("span", "opened_fridge", "opened formula in the refrigerator"),
    _setting("span", "set_change", "time to a new bag and tubing"),
    _setting("span", "syringe_change", "time to a new syringe"),
    _setting("span", "feed_minutes_least", "least time for a syringe feeding"),
    _setting("span", "balloon_check_every", "time between balloon checks"),
    _setting("span", "balloon_recheck", "wait before the second balloon check"),
    _setting("span", "clog_try", "how long to try with warm water"),
    _setting("span", "vent_minutes", "how long to let air out"),
    _setting("span", "no_answer", "how long to wait for an answer"),
    _setting("span", "tube_out_within", "how soon a healed opening needs a tube"),
    _setting("interval", "stool_days", "days without stool"),
    _setting("span", "bleed_press_minutes", "how long to press"),
    _setting("span", "follow_up_within", "when the follow-up call comes"),
    _setting("span", "water_boiled_until", "age until which water is boiled", "infant_water_until"),
    _setting("angle-range", "head_up_angle", "how far to raise head and chest"),
    _setting("weight", "lift_limit", "most weight to lift"),
    _setting("temperature", "fever", "fever from here"),
)  # fmt: skip
