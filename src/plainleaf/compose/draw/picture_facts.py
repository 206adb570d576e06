"""What each picture is drawn from: typed, without words and without language."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True)
class TubeLook:
    """How this patient's tube looks from outside and inside.

    Attributes:
        kind: gastrostomy, jejunostomy or gastrojejunostomy.
        build: standard or low-profile.
        held_by: balloon, bumper or stitches.
        ports: gastric and jejunal, those that the tube has.
        outer_disc: A disc lies on the skin.
        mark: The number on the tube at the skin, in cm; None for a button.
    """

    kind: str
    build: str
    held_by: str
    ports: tuple[str, ...]
    outer_disc: bool
    mark: Decimal | None

    @property
    def balloon(self) -> bool:
        """Whether there is a balloon, and with it a balloon port."""
        return self.held_by == "balloon"

    @property
    def button(self) -> bool:
        """Whether the tube is a button at the level of the skin."""
        return self.build == "low-profile"


@dataclass(frozen=True)
class Angle:
    """How far head and chest are raised, in degrees from flat; `source` hangs or is held up.

    `infant`: held on an arm, where others lean on a bed.
    """

    low: int
    high: int
    source: str
    child: bool
    infant: bool = False


@dataclass(frozen=True)
class Raised:
    """A syringe barrel over the belly; nothing about it differs between patients."""

    button: bool


@dataclass(frozen=True)
class Fills:
    """The flush amounts of the printed day in mL, each once; `plunger` stays in the syringe."""

    amounts: tuple[Decimal, ...]
    plunger: bool


@dataclass(frozen=True)
class Hang:
    """How long each kind of feeding may hang, in minutes, in the order of the labels."""

    minutes: tuple[int, ...]


@dataclass(frozen=True)
class Twist:
    """A connector that turns right to close; the same for everyone."""


@dataclass(frozen=True)
class Day:
    """The printed day; minutes from midnight, which may pass 1440.

    Attributes:
        starts: First minute of the strip, a full hour.
        feeds: Starts of feedings that are given at one time.
        runs: First and last minute of each pump run within the strip.
        water: Flushes and extra water.
        medicines: Medicines by any way.
        drains: First and last minute of each time at which a port drains.
    """

    starts: int
    feeds: tuple[int, ...]
    runs: tuple[tuple[int, int], ...]
    water: tuple[int, ...]
    medicines: tuple[int, ...]
    drains: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True)
class Skin:
    """How wide redness round the opening may be, in cm from the opening; stitched skin buttons."""

    limit: Decimal
    buttons: int = 0


@dataclass(frozen=True)
class Call:
    """A telephone; the same for everyone."""


PictureFacts = TubeLook | Angle | Raised | Fills | Hang | Twist | Day | Skin | Call
