"""The frozen records of the medicine lists: words of forms, and the table of medicines."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from plainleaf.vocabulary.doses import Dose
from plainleaf.vocabulary.quantities import Quantity

ROW_KINDS = (
    "long-acting", "never", "hazard", "feeding", "levodopa", "lump", "bowel", "strong", "thin",
    "bore", "sorbitol", "opioid", "insulin", "sugar-lowering", "laxative", "weekly", "refeeding",
    "known",
)  # fmt: skip


@dataclass(frozen=True)
class WordEntry:
    """One tripwire entry about medicines."""

    match: str
    kind: str
    why: str
    sources: tuple[str, ...]
    status: str
    unless: tuple[str, ...]
    only_forms: tuple[str, ...]
    side: str | None
    what: str | None
    who_settles: str | None
    level: str | None


@dataclass(frozen=True)
class MedicineRow:
    """One thing that is known of a medicine.

    Attributes:
        kind: One of `ROW_KINDS`.
        says: The reason, for whoever decides.
        forms: It counts only for these forms, in the rules' words; none: for all.
        unless: Words of the line that show that it does not count.
        only: It counts only where the line has one of these words.
        after_feed, before_feed: Time without feeding before and after a dose, where one is named.
        water: The least water that a dose is thinned with.
        least_fr: The narrowest tube that it passes, in Fr.
        grams, per: Grams of sorbitol in so much of it; `a_day`: in a day, at a usual dose.
    """

    kind: str
    says: str
    sources: tuple[str, ...]
    status: str
    forms: tuple[str, ...] = ()
    unless: tuple[str, ...] = ()
    only: tuple[str, ...] = ()
    after_feed: Quantity | None = None
    before_feed: Quantity | None = None
    water: Quantity | None = None
    least_fr: Quantity | None = None
    grams: Quantity | None = None
    per: Dose | None = None
    a_day: Quantity | None = None

    @property
    def why(self) -> str:
        """The reason, as the words of a rule call it."""
        return self.says

    @property
    def what(self) -> str | None:
        """What happens with feeding."""
        return self.says if self.kind == "feeding" else None

    @property
    def who_settles(self) -> str | None:
        """Who settles what is done about feeding."""
        return "prescriber and pharmacist" if self.kind == "feeding" else None


@dataclass(frozen=True)
class Substance:
    """A medicine by its generic name, other generic names of it, and what is known of it."""

    name: str
    also: tuple[str, ...]
    group: str
    rows: tuple[MedicineRow, ...]


@dataclass(frozen=True, eq=False)
class MedicineLists:
    """The word lists by name, and the table; `salts`: word → its short forms; `besides`: words
    beside a name that are none.
    """

    words: Mapping[str, tuple[WordEntry, ...]]
    substances: tuple[Substance, ...]
    salts: Mapping[str, tuple[str, ...]]
    besides: tuple[str, ...]

    def sources(self) -> Mapping[str, tuple[str, ...]]:
        """Who cites → the facts that are cited."""
        cited = {
            f"{substance.name}: {row.kind}": row.sources
            for substance in self.substances
            for row in substance.rows
        }
        return cited | {
            f"{name}: {entry.match}": entry.sources
            for name, entries in self.words.items()
            for entry in entries
        }


NO_MEDICINES = MedicineLists({}, (), {}, ())
