"""Pictures of this patient's tube and day, drawn as SVG from typed facts and worded labels.

Every function is pure: the same facts and words give the same text. Nothing here knows a
language; labels come worded, and anatomy and turns are never mirrored.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from plainleaf.draw import body, clock, position, signs, skin, syringe, tube
from plainleaf.draw.canvas import Canvas
from plainleaf.draw.facts import PictureFacts

_DRAWN: dict[str, Callable[[Any, Mapping[str, Sequence[str]], str], Canvas]] = {
    "body-tube": body.body_tube,
    "tube-parts": tube.tube_parts,
    "sitting": position.sitting,
    "syringe-height": syringe.syringe_height,
    "flush-mark": syringe.flush_mark,
    "hang-clock": clock.hang_clock,
    "twist-lock": signs.twist_lock,
    "day-strip": clock.day_strip,
    "skin-look": skin.skin_look,
    "mark-check": skin.mark_check,
    "vent": syringe.vent,
}
PICTURES: tuple[str, ...] = tuple(_DRAWN)


def draw(
    name: str,
    shown: PictureFacts,
    labels: Mapping[str, Sequence[str]],
    alt: str,
    direction: str = "ltr",
    *,
    fixed: bool = False,
) -> str:
    """One picture as SVG text.

    Args:
        name: One of `PICTURES`.
        shown: What it is drawn from.
        labels: Role → lines of print.
        alt: What is read out in place of the picture.
        direction: `ltr` or `rtl`, that of the labels.
        fixed: For paper, where the own font prints.
    """
    return _DRAWN[name](shown, labels, direction).svg(alt, fixed=fixed)
