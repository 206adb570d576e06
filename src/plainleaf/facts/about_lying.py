"""Facts about how a person sits and lies while fed, and what is changed, by order in a file."""

from __future__ import annotations

from collections.abc import Callable

from plainleaf.facts.declare import Asked, Slot, alike, slot, whenever, word, yes_no
from plainleaf.facts.given import Given
from plainleaf.vocabulary import words_2
from plainleaf.vocabulary.conditions import answers, never, some, yes
from plainleaf.vocabulary.quantities import Quantity

_FLAT = "flat on the back"
_INFANT = answers("age_group", "infant")


def _ordered(key: str) -> Callable[[Given], Quantity | None]:
    def derive(g: Given) -> Quantity | None:
        value = (g.patient.overrides or {}).get(key)
        return value if isinstance(value, Quantity) else None

    return derive


def _how(g: Given) -> str:
    return str((g.patient.overrides or {}).get("head_up_how") or "not ordered")


def _sleep(g: Given) -> str:
    return str((g.patient.overrides or {}).get("sleep_position") or "not ordered")


def _order(name: str, key: str, means: str, shown: str) -> Asked[Given]:
    return yes_no(
        name, means, lambda g: _ordered(key)(g) is not None,
        needs=f"overrides.{key}", only_2=True, shown={f"overrides.{key}": shown},
    )  # fmt: skip


LYING_FACTS: tuple[Asked[Given], ...] = (
    word(
        "head_up_how", ("not ordered", *words_2.HEAD_UP_HOW), "how head and chest are raised", _how,
        needs="overrides.head_up_how", only_2=True, shown={"overrides.head_up_how": "{answer}"},
        legal=(whenever(_INFANT, never(answers("head_up_how", "raised bed")),
                        "no bed of a baby is raised", "rule head-up-unclear"),),
    ),
    word(
        "sleep_position", ("not ordered", *words_2.SLEEP_POSITIONS), "how to lie to sleep", _sleep,
        needs="overrides.sleep_position", only_2=True,
        shown={"overrides.sleep_position": "{answer}"},
        legal=(whenever(_INFANT, never(answers("sleep_position", "head up")),
                        "a baby sleeps flat on the back", "rule head-up-unclear"),),
    ),
    yes_no(
        "sleeps_flat", "sleeps flat on the back: a baby (infant-flat), or by order",
        lambda g: _sleep(g) == _FLAT or g.age_group == "infant", needs="patient.born",
        legal=(alike(yes("sleeps_flat"), some(_INFANT, answers("sleep_position", _FLAT)),
                     "what the fact means"),),
    ),
    _order("last_feed_ordered", "no_feed_before_lying", "no feeding so long before lying down",
           "1 h"),
    _order("extension_change_ordered", "extension_set_change",
           "how often the extension tube is changed, by order", "7 d"),
)  # fmt: skip

LYING_SLOTS: tuple[Slot[Given], ...] = (
    slot("no_feed_before_lying", "span", "no feeding so long before lying down",
         _ordered("no_feed_before_lying"), yes("last_feed_ordered")),
    slot("extension_set_change", "span", "time to a new extension tube",
         _ordered("extension_set_change"), yes("extension_change_ordered")),
)  # fmt: skip
