"""Facts about one medicine: which port, which form, what its name means, and what is known of it.

Words of forms stand in lists, medicines in a table. Both are a tripwire: a medicine that sets
nothing off is not thereby safe to crush or to give through a tube. A pharmacist decides.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from plainleaf.facts.declare import LOADER, Asked, alike, whenever, word, word_of, yes_no
from plainleaf.facts.derived import MedicineFacts
from plainleaf.facts.medicine_forms import (
    FORMS,
    counts,
    dose_words,
    form_of,
    label_words,
    match_word,
)
from plainleaf.facts.medicine_names import (
    NAME_FACTS,
    NameReading,
    about_name,
    folded,
    read_name,
    reader_of,
)
from plainleaf.facts.notebook import Lazy, Notebook, Shared
from plainleaf.inputs.content import MedicineLists, MedicineRow, WordEntry
from plainleaf.inputs.patient import Dose, Medicine
from plainleaf.inputs.policy import Policy
from plainleaf.vocabulary import terms
from plainleaf.vocabulary.conditions import answers, no, yes
from plainleaf.vocabulary.quantities import Quantity

# What set a fact off: words of a form, or a row of the table.
Entry: TypeAlias = WordEntry | MedicineRow
# Fact → the lists of words that set it off.
_LISTS = {
    "modified_release": ("modified_release_forms", "modified_release_suffixes"),
    "never_crush_form": ("never_crush_forms",),
    "dispersible_form": ("dispersible_forms",),
    "feed_interaction": ("feed_interactions",),
    "jejunum_fails": ("jejunum_fails",),
    "sorbitol_liquid": ("sorbitol",),
    "insulin": ("insulin_names",),
    "sulfonylurea": ("sulfonylureas",),
    "refeeding": ("refeeding_medicines",),
    "weekly": ("weekly_medicines",),
}
# Fact → the kind of row of the table that sets it off.
_ROWS = {
    "modified_release": "long-acting",
    "never_crush_form": "never",
    "opioid": "opioid",
    "hazardous": "hazard",
    "feed_interaction": "feeding",
    "jejunum_fails": "bowel",
    "levodopa": "levodopa",
    "bezoar_former": "lump",
    "sorbitol_liquid": "sorbitol",
    "insulin": "insulin",
    "sulfonylurea": "sugar-lowering",
    "refeeding": "refeeding",
    "weekly": "weekly",
    "polyethylene_glycol": "laxative",
    "strong_liquid": "strong",
    "thinned": "thin",
    "bore": "bore",
    "known": "known",
}
ENTRY_FACTS = tuple(dict.fromkeys((*_LISTS, *_ROWS, *NAME_FACTS)))
# Kinds of row for which the strength on the label counts as well.
_BY_LABEL = ("weekly", "thin")


@dataclass(frozen=True)
class GivenMedicine:
    """One medicine under one policy with the tripwire lists.

    `means`: the generic name that a pharmacist said it means; `asked`: whether its name is asked
    about, as in files of format 2; else a name that is not listed is only noted.
    """

    medicine: Medicine
    policy: Policy
    lists: MedicineLists
    notebook: Notebook | None = None
    means: str | None = None
    asked: bool = False

    @property
    def whose(self) -> int:
        """Which of the list it is."""
        return self.medicine.number

    @Shared
    def form(self) -> str:
        """Its form in the rules' words."""
        return form_of(self.medicine)

    @Shared
    def typed(self) -> NameReading:
        """What its name means as it is typed."""
        return read_name(self.lists, self.medicine.name)

    @Shared
    def reading(self) -> NameReading:
        """What its name means, by the pharmacist's word where there is one."""
        if self.means is None:
            return self.typed
        if self.notebook is not None:
            place = f"medicines[{self.whose}].means"
            self.notebook.read("medicines.name", place, self.means)
        return read_name(self.lists, self.means)

    @Shared
    def words(self) -> str:
        """Name, form and dose in small letters, salts written out."""
        line = f"{self.medicine.name} {self.medicine.form} {dose_words(self.medicine)}"
        return f"{folded(line)} {reader_of(self.lists).written_out(self.medicine.name)}"

    @Shared
    def entries(self) -> Mapping[str, Entry]:
        """Fact → what sets it off, each looked up when it is asked for."""
        return Lazy(ENTRY_FACTS, self._entry)

    def _entry(self, fact: str) -> Entry:
        """Words of a form first, then a row of the table; KeyError where there is neither."""
        if self.notebook is not None:
            entry = self.notebook.once((fact, self.whose), lambda: self._entry_of(fact))
        else:
            entry = self._entry_of(fact)
        if entry is None:
            raise KeyError(fact)
        return entry

    def _entry_of(self, fact: str) -> Entry | None:
        if fact in NAME_FACTS:
            meant = None if self.reading.substances else self.means
            return about_name(fact, self.typed, meant, asked=self.asked)
        if fact == "strong_liquid" and self.thinned_in is not None:
            return None
        return self._by_words(fact) or next(iter(self.rows_of(_ROWS.get(fact, ""))), None)

    @property
    def thinned_in(self) -> Quantity | None:
        """How much liquid it is mixed in, by the order."""
        amount = getattr(self.medicine.mix, "amount", None)
        return None if amount is None else amount.least

    def _by_words(self, fact: str) -> WordEntry | None:
        also = label_words(self.medicine) if fact == "weekly" else ""
        for name in _LISTS.get(fact, ()):
            entry = match_word(self.lists.words.get(name, ()), self.medicine, self.form, also)
            if entry is not None:
                return entry
        return None

    def rows_of(self, kind: str) -> Sequence[MedicineRow]:
        """The rows of a kind that hold of this line."""
        words = self.words
        if kind in _BY_LABEL:
            words += f" {label_words(self.medicine).lower()}"
        return [
            row
            for substance in self.reading.substances
            for row in substance.rows
            if row.kind == kind and counts(row, self.form, words)
        ]

    @property
    def small(self) -> bool:
        """A dose, or one of its steps, below the policy's small dose."""
        dose: Dose | None = self.medicine.dose
        doses = [step.dose for step in self.medicine.steps] if dose is None else [dose]
        return any(
            dose.unit == "mL" and Quantity(dose.value, "mL") < self.policy.quantity("small_dose")
            for dose in doses
        )


def _listed(name: str, means: str) -> Asked[GivenMedicine]:
    return yes_no(name, means, lambda m: name in m.entries)


_STAYS_OUT, _INSULIN = yes("stays_out"), yes("insulin_medicine")

MEDICINE_FACTS: tuple[Asked[GivenMedicine], ...] = (
    word(
        "medicine_through", ("none", *terms.PORTS), "port of this medicine",
        lambda m: m.medicine.through or "none",
        legal=tuple(
            whenever(answers("medicine_through", port), yes(f"medicines_through_{port}"),
                     "it is listed")
            for port in terms.PORTS
        ),
    ),
    word("medicine_form", FORMS, "how the medicine comes", lambda m: m.form),
    _listed("modified_release", "coated or modified release, by word or name"),
    _listed("never_crush_form", "a form that is never crushed"),
    _listed("dispersible_form", "melts in the mouth or breaks up in water"),
    _listed("opioid", "an opioid pain medicine"),
    _listed("hazardous", "on the tripwire list of hazardous medicines"),
    _listed("feed_interaction", "known to interact with feeding"),
    _listed("jejunum_fails", "known to fail in the jejunum"),
    _listed("levodopa", "contains levodopa"),
    _listed("bezoar_former", "can form lumps with formula"),
    _listed("sorbitol_liquid", "a liquid that may hold sorbitol"),
    _listed("polyethylene_glycol", "the laxative polyethylene glycol 3350"),
    _listed("strong_liquid", "a strong liquid that the bowel does not bear unless it is thinned"),
    _listed("name_read_as", "its name was read as another"),
    _listed("name_not_known", "no medicine of the table could be read in its name"),
    _listed("name_not_listed", "its name is no listed one, in a file that is not asked about it"),
    yes_no(
        "stays_out", "does not go through the tube", lambda m: m.medicine.through is None,
        legal=(
            alike(_STAYS_OUT, answers("medicine_through", "none"), "no port is written"),
            whenever(_STAYS_OUT, yes("other_route_medicines"), "it is listed"),
        ),
    ),
    yes_no(
        "route_said", "by which way it is given is written, besides the tube",
        lambda m: m.medicine.route is not None, plain="false",
    ),
    yes_no(
        "pharmacist_approved", "the pharmacist approved crushing",
        lambda m: m.medicine.crush == "pharmacist-approved",
    ),
    yes_no("small_dose_medicine", "its dose is small", lambda m: m.small),
    yes_no(
        "unit_doubtful", "its dose has no unit that is printed",
        lambda m: m.form == "liquid" and dose_words(m.medicine).partition(" ")[2] not in ("mL", ""),
        legal=(
            whenever(yes("unit_doubtful"), answers("medicine_form", "liquid"),
                     "what the fact means"),
            whenever(yes("unit_doubtful"), no("small_dose_medicine"), "a small dose is in mL"),
        ),
    ),
    yes_no("as_needed", "no fixed times", lambda m: m.medicine.as_needed),
    yes_no("reason_given", "says what it is for", lambda m: m.medicine.reason is not None),
    yes_no(
        "insulin_medicine", "an insulin", lambda m: "insulin" in m.entries,
        legal=(
            whenever(_INSULIN, yes("insulin"), "it is listed"),
            whenever(_INSULIN, _STAYS_OUT, "insulin is injected", "rule insulin-through-tube"),
        ),
    ),
    yes_no(
        "crush_never", "the order says never to crush it", lambda m: m.medicine.crush == "never",
        legal=(whenever(yes("crush_never"), no("pharmacist_approved"), "one entry says how",
                        LOADER),),
    ),
    yes_no(
        "prepare_given", "the order says how to get it ready",
        lambda m: m.medicine.prepare is not None,
    ),
)  # fmt: skip

_BY_NAME = {fact.name: fact for fact in MEDICINE_FACTS}


def medicine_facts(
    medicine: Medicine,
    policy: Policy,
    lists: MedicineLists,
    notebook: Notebook | None = None,
    means: str | None = None,
    *,
    asked: bool = False,
) -> MedicineFacts:
    """What the rules may ask of one medicine.

    Args:
        means: The generic name that a pharmacist said it means.
        asked: Whether a name that is not listed is a question.
    """
    given = GivenMedicine(medicine, policy, lists, notebook, means, asked)

    def answer(name: str) -> str | None:
        derive = _BY_NAME[name].derive
        return None if derive is None else word_of(derive(given))

    if notebook is None:
        answers: Mapping[str, str | None] = {name: answer(name) for name in _BY_NAME}
    else:
        answers = notebook.lazy(f"medicines[{given.whose}]", _BY_NAME, answer)
    entries = Lazy(ENTRY_FACTS, lambda fact: given.entries[fact])
    return MedicineFacts(medicine, answers, entries, given)
