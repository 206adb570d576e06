"""Whether what is written of an adult meets the published criteria for refeeding trouble.

NICE CG32 (2006), seen in pages that quote it; the table tests/oracles/refeeding.yaml holds its
figures. Low potassium, phosphate or magnesium and alcohol are not in a patient file, so a person
who meets no criterion here may still be at risk.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from plainleaf.vocabulary.quantities import Quantity, read_number, read_quantity

# refeed-criteria: one of these is enough …
BMI_ALONE, LOSS_ALONE, DAYS_ALONE = Decimal(16), Decimal(15), Decimal(10)
# … or two of these, with what is in the history.
BMI_OF_TWO, LOSS_OF_TWO, DAYS_OF_TWO = Decimal("18.5"), Decimal(10), Decimal(5)
# refeed-criteria: weight lost within 3 to 6 months; a faster loss counts too.
LOSS_WITHIN = read_quantity("6 mo", "time span", ("mo",))


@dataclass(frozen=True)
class Criterion:
    """One criterion that is met; `alone` says that it is enough by itself."""

    words: str
    key: str
    alone: bool


def body_mass_index(weight: Quantity, height: Quantity) -> Decimal:
    """Weight over the square of height, in kg/m², exact in decimals.

    >>> body_mass_index(Quantity(Decimal(64), "kg"), Quantity(Decimal(200), "cm"))
    Decimal('16')
    """
    metres = height.to("cm").value / 100
    return weight.to("kg").value / (metres * metres)


def read_loss(text: str) -> tuple[Decimal, Quantity]:
    """Percent and span of an unplanned loss of weight, as in `15 % in 5 mo`.

    >>> read_loss("15 % in 5 mo")
    (Decimal('15'), Quantity('5 mo'))
    """
    share, _, span = text.partition(" % in ")
    return read_number(share), read_quantity(span, "time span", ("wk", "mo"))


def criteria(
    weight: Quantity | None,
    height: Quantity | None,
    loss: str | None,
    little_for: Quantity | None,
    history: tuple[str, ...],
) -> tuple[Criterion, ...]:
    """Every criterion that is met, of an adult; what is not written meets none."""
    return tuple(_met(weight, height, loss, little_for, history))


def _met(
    weight: Quantity | None,
    height: Quantity | None,
    loss: str | None,
    little_for: Quantity | None,
    history: tuple[str, ...],
) -> Iterator[Criterion]:
    if weight is not None and height is not None:
        bmi = body_mass_index(weight, height)
        if bmi < BMI_OF_TWO:
            shown = f"a body mass index of {bmi:.1f}"
            yield Criterion(shown, "patient.height", bmi < BMI_ALONE)
    if loss is not None:
        share, span = read_loss(loss)
        if share > LOSS_OF_TWO and span <= LOSS_WITHIN:
            words = f"an unplanned loss of {loss}"
            yield Criterion(words, "patient.weight_loss", share > LOSS_ALONE)
    if little_for is not None and (days := little_for.to("d").value) > DAYS_OF_TWO:
        words = f"next to nothing eaten for {little_for}"
        yield Criterion(words, "patient.ate_little_for", days > DAYS_ALONE)
    if history:
        yield Criterion(f"{' and '.join(history)}", "medicines", alone=False)


def at_risk(met: tuple[Criterion, ...]) -> bool:
    """Whether one criterion that is enough alone is met, or two of any."""
    return any(criterion.alone for criterion in met) or len(met) >= 2
