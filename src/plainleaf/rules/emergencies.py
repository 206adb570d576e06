"""The emergencies that page 1 must hold, whatever the teaching content says: ids, for whom, terms.

They ship in the program, so that no change of a file can take one away unseen. They hold no
sentence: a facility words its own lines under these ids, and each must hold these terms.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from plainleaf.vocabulary.conditions import (
    ALWAYS,
    Condition,
    answers,
    every,
    never,
    no,
    some,
    yes,
)


@dataclass(frozen=True)
class Emergency:
    """For these patients (`when`) one of these lines (`any_of`) stands in the first band of page 1.

    `terms`: what its English words must hold, for adult and child; a term is the beginning of a
    word, or a slot. `kind`: the kind of statement that the line must be.
    `sources`: claims of `teaching/sources/facts.yaml`.
    """

    id: str
    when: Condition
    any_of: tuple[str, ...]
    terms: tuple[str, ...]
    sources: tuple[str, ...]
    kind: str = "call_now"


def _lines(*names: str) -> tuple[str, ...]:
    return tuple(f"getting-help.now.{name}" for name in names)


_GJ = answers("tube_kind", "gastrojejunostomy")
_HEALED_STOMACH = every(answers("tube_kind", "gastrostomy"), answers("opening_stage", "mature"))
_FIRST_DAYS = answers("opening_stage", "first-72-hours")
_INFANT = answers("age_group", "infant")
_SUGAR = some(yes("diabetes_medicine"), yes("low_sugar_plan"))

EMERGENCIES: tuple[Emergency, ...] = (
    Emergency(
        "stop-and-call", ALWAYS, _lines("stop", "stop-not-fed", "stop-drains"),
        ("nothing in the tube", "{emergency_phone}"), ("tier-1", "tier-number"), kind="say",
    ),
    Emergency(
        "stop-the-feeding", yes("fed_by_tube"), _lines("stop"), ("stop the feeding",), ("tier-1",),
        kind="say",
    ),
    Emergency(
        "breathing-or-hard-to-wake", never(_INFANT), _lines("breathing"),
        ("breath", "hard", "fast", "noisy", "choking", "blue", "gray", "faint", "confus",
         "hard to wake"),
        ("tier-1",),
    ),
    Emergency(
        "breathing-of-a-baby", _INFANT, _lines("breathing-infant"),
        ("breath", "hard", "fast", "noisy", "stops", "choking", "blue", "gray", "limp",
         "hard to wake"),
        ("tier-1",),
    ),
    Emergency(
        "low-sugar-and-not-awake", every(_SUGAR, never(_INFANT)), _lines("sugar"),
        ("seizure", "confus", "sleepy", "nothing by mouth"), ("tier-1", "hypo", "practice"),
    ),
    Emergency(
        "low-sugar-of-a-baby", every(_SUGAR, _INFANT), _lines("sugar-infant"),
        ("seizure", "limp", "sleepy", "nothing by mouth"), ("tier-1", "hypo", "practice"),
    ),
    Emergency(
        "sugar-stays-low", yes("low_sugar_to_emergency"), _lines("sugar-still"),
        ("sugar", "{low_sugar_below}"), ("hypo",),
    ),
    Emergency(
        "seizure-goes-on", yes("seizure_medicine"), _lines("seizure"), ("seizure", "after"),
        ("practice",),
    ),
    Emergency(
        "nobody-who-may-help", yes("rescue_alone"), _lines("nobody"),
        ("{rescue_alone_hours}", "nothing"), ("hypo",),
    ),
    Emergency(
        "salts-fall-when-feeding-starts", yes("refeeding_risk"),
        ("getting-help.restart.now", "getting-help.restart.infant"),
        ("{restart_until}", "weak", "swell", "heart", "breath"), ("refeed",),
    ),
    Emergency(
        "bad-belly-pain", ALWAYS, _lines("belly", "belly-child"),
        ("belly", "pain", "bad", "grow", "hard", "swollen", "gray"), ("tier-1",),
    ),
    Emergency(
        "bowel-folds-in", every(_GJ, yes("child")), _lines("belly-child"),
        ("comes and goes", "jelly"), ("gj-intus",),
    ),
    Emergency(
        "bleeding", ALWAYS, _lines("blood"), ("blood", "soak", "clot", "black", "stool"),
        ("tier-1",),
    ),
    Emergency(
        "green-vomit", ALWAYS, _lines("vomit", "vomit-feeding"),
        ("vomit", "green", "blood", "dark"), ("tier-1",),
    ),
    Emergency(
        "tube-in-the-mouth", _GJ, _lines("tip", "tip-mouth"), ("mouth", "choking"), ("gj-flip",)
    ),
    Emergency(
        "tip-slipped-back",
        every(_GJ, yes("jejunal_feeding"), no("gastric_feeding"), yes("fed_by_tube")),
        _lines("tip"), ("comes out of the {gastric_port_name}",), ("gj-tipback",),
    ),
    Emergency(
        "moved-and-sick", ALWAYS, _lines("moved", "moved-button"),
        ("moved", "vomit", "cramp", "pain"), ("mark-out", "mark-in"),
    ),
    Emergency(
        "dry-baby", _INFANT, _lines("dry", "dry-young"), ("diaper", "sunken"), ("dehyd-baby",)
    ),
    Emergency(
        "thoughts-of-suicide-or-harm", ALWAYS, _lines("harm", "harm-parent"),
        ("thoughts", "life", "harm"),
        ("practice",),
    ),
    Emergency(
        "tube-out-of-new-or-bowel-opening", never(_HEALED_STOMACH), _lines("out"),
        ("tube is out", "cover"), ("tier-1", "out-new", "out-gj-j"),
    ),
    Emergency(
        "spare-tube-will-not-go-in",
        every(_HEALED_STOMACH, answers("held_by", "balloon"), yes("tube_back_at_home")),
        _lines("spare"), ("slide", "pain", "blood"), ("h-force", "confirm"),
    ),
    Emergency(
        "stop-signs-of-the-first-days", _FIRST_DAYS,
        _lines("first-days", "first-days-not-fed"),
        ("{red_flag_until}", "pain", "blood", "leak"), ("redflag72", "tier-trap"),
    ),
    Emergency(
        "stop-signs-while-feeding", every(_FIRST_DAYS, yes("fed_by_tube")), _lines("first-days"),
        ("pain with feeding",), ("redflag72",),
    ),
    Emergency(
        "wrong-line", yes("other_lines"), _lines("wrong-line", "wrong-line-not-fed"),
        ("another line", "not flush"), ("tier-1",),
    ),
    Emergency(
        "tubing-around-the-neck", yes("tangle_risk"), _lines("tangled"), ("neck", "free"),
        ("tier-1", "strang"),
    ),
    Emergency(
        "fever-with-weak-immunity", yes("weak_immunity"), _lines("fever-weak"),
        ("fever", "{fever}", "chills"), ("tier-1", "fever-onc"),
    ),
    Emergency(
        "fever-of-a-baby", yes("baby_fever_now"), _lines("fever-infant", "fever-weak"),
        ("fever", "{fever}"), ("tier-1", "fever-infant"),
    ),
    Emergency(
        "measured-limit-of-an-emergency", yes("watch_calls_now"), ("getting-help.watch.now",),
        ("watch_calls_now",), ("patient-file",), kind="block",
    ),
)  # fmt: skip

# What would take the haste out of a line that holds every term.
WEAKENING = (
    "wait", "later", "tomorrow", "next visit", "unless", "only if", "only when", "no need",
    "need not", "not an emergency", "do not worry", "can be normal", "is normal", "if you like",
    "call us",
)  # fmt: skip
# The first band of page 1: its heading, and what the phrases behind it must hold.
BAND, BAND_HEADING = "now", "{help_now}"
PHRASES: Mapping[str, tuple[str, ...]] = {
    "help-now": ("call", "{phone}", "emergency room", "now"),
    "help-hospice": ("call", "{name}", "now"),
}
