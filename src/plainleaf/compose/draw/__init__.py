"""Pictures of this patient's tube and day, drawn as SVG from typed facts and worded labels.

Every function is pure: the same facts and words give the same text. Nothing here knows a
language; labels come worded, and anatomy and turns are never mirrored.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from plainleaf.compose.draw import body, clock, position, signs, skin, syringe, tube
from plainleaf.compose.draw.canvas import Canvas, Lettering
from plainleaf.compose.draw.labels import with_bdi
from plainleaf.compose.draw.letters import PRINT
from plainleaf.compose.draw.picture_facts import PictureFacts

_DRAWN: dict[str, Callable[[Any, Mapping[str, Sequence[str]], Lettering], Canvas]] = {
    "body-tube": body.body_tube,
    "tube-parts": tube.tube_parts,
    "sitting": position.sitting,
    "syringe-height": syringe.syringe_height,
    "flush-mark": syringe.flush_mark,
    "hang-clock": clock.hang_clock,
    "twist-lock": signs.twist_lock,
    "call": signs.call,
    "day-strip": clock.day_strip,
    "skin-look": skin.skin_look,
    "mark-check": skin.mark_check,
    "vent": syringe.vent,
}


# Their labels have a wide place under each drawing; those of all others become numbers when
# they are set larger than the drawings were made for.
_ROOMY = ("twist-lock", "syringe-height")
# Set on the drawing in any case: the hours of a day.
_ON_THE_DRAWING = "hour-"


def keyed_roles(name: str, roles: Sequence[str], size: float) -> tuple[str, ...]:
    """Labels that are a number on the drawing and words below it, in order of their numbers."""
    if size <= PRINT or name in _ROOMY:
        return ()
    return tuple(role for role in roles if not role.startswith(_ON_THE_DRAWING))


def draw(
    name: str,
    shown: PictureFacts,
    labels: Mapping[str, Sequence[str]],
    direction: str = "ltr",
    size: float = PRINT,
) -> Canvas:
    """One picture: shapes and labels.

    Args:
        name: One of `vocabulary.pictures.PICTURES`.
        shown: What it is drawn from.
        labels: Role → lines of print.
        direction: `ltr` or `rtl`, that of the labels.
        size: Print size of the labels in points; drawings were made for 18, and above that
            labels may be numbers (`keyed_roles`).
    """
    keys = keyed_roles(name, tuple(labels), size)
    lettering = Lettering(direction, max(size, PRINT), bool(keys))
    numbers = {role: [str(number)] for number, role in enumerate(keys, start=1)}
    return _DRAWN[name](shown, {**labels, **numbers}, lettering)


__all__ = ["draw", "keyed_roles", "with_bdi"]
