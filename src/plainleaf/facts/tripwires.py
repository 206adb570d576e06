"""Facts about one medicine: which port, which form, and what the tripwire lists say.

The lists are a tripwire: a medicine that is not on one is not thereby safe to crush or to give
through a tube. A pharmacist decides.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from plainleaf.facts.declare import LOADER, Asked, alike, whenever, word, word_of, yes_no
from plainleaf.facts.derived import MedicineFacts
from plainleaf.facts.notebook import Lazy, Notebook, Shared
from plainleaf.inputs.content import WordEntry
from plainleaf.inputs.patient import Dose, Medicine
from plainleaf.inputs.policy import Policy
from plainleaf.vocabulary import terms
from plainleaf.vocabulary.conditions import answers, no, yes
from plainleaf.vocabulary.quantities import Quantity

# The tripwire lists of the library, by name.
WordLists = Mapping[str, tuple[WordEntry, ...]]
# How a medicine comes, in the rules' words.
FORMS = (
    "liquid", "tablet", "capsule", "powder", "granules", "dispersible", "effervescent",
    "sublingual", "liquid-filled", "injection", "other",
)  # fmt: skip

# Form words → the form that the rules know; the first that fits wins, so order matters.
_FORMS = (
    ("other", ("eye", "ear", "nose", "nasal", "patch", "inhaler", "suppository", "cream")),
    ("effervescent", ("effervescent", "fizzy")),
    ("sublingual", ("sublingual", "buccal", "under the tongue")),
    ("liquid-filled", ("liquid-filled", "softgel", "soft gel", "liquid filled")),
    ("dispersible", ("disintegrating", "orodispersible", "dispersible", "odt", "oral film")),
    ("dispersible", ("tablet for oral suspension", "mouth dissolving", "melt tablet")),
    ("liquid", ("liquid", "solution", "suspension", "syrup", "elixir", "drops", "oral solution")),
    ("injection", ("injection", "injectable", "pen", "subcutaneous")),
    ("granules", ("granules", "pellets", "sprinkle")),
    ("powder", ("powder", "packet", "sachet")),
    ("capsule", ("capsule", "cap")),
    ("tablet", ("tablet", "tab", "pill", "caplet")),
)


def form_of(medicine: Medicine) -> str:
    """The form in the rules' words.

    A form that no word fits is `other`, and the rules ask about it.
    """
    return _form_in(medicine.form.lower())


@lru_cache
def _form_in(text: str) -> str:
    for form, words in _FORMS:
        if any(re.search(rf"\b{re.escape(word)}s?\b", text) for word in words):
            return form
    return "other"


@lru_cache(maxsize=4096)
def _whole_word(word: str) -> re.Pattern[str]:
    # A hyphen or a space may stand between the parts of a word: extended-release, extended release.
    pattern = r"[\s-]*".join(re.escape(part) for part in re.split(r"[\s-]+", word.lower()))
    return re.compile(rf"(?<![a-z0-9]){pattern}(?![a-z0-9])")


def _has_word(text: str, word: str) -> bool:
    return _whole_word(word).search(text) is not None


def _has_name(text: str, name: str, form: str) -> bool:
    """Whether every word of a name stands in a medicine's name or form, in any place.

    So `ciprofloxacin suspension` fits ciprofloxacin as an oral suspension too. A form that is
    given as nothing but a liquid may be a suspension.
    """
    may_suspend = form == "liquid" and not _has_word(text, "solution")
    return _has_word(text, name) or all(
        _has_word(text, word) or (word == "suspension" and may_suspend) for word in name.split()
    )


def dose_words(medicine: Medicine) -> str:
    """The dose as number and unit; nothing of a scale or of steps, which have none of their own."""
    dose: Dose | None = medicine.dose
    return "" if dose is None else f"{dose.value:f} {dose.unit}"


def label_words(medicine: Medicine) -> str:
    """What stands in brackets beside the dose, and the strength on the label."""
    dose: Dose | None = medicine.dose
    equals = None if dose is None else dose.equals
    bracket = "" if equals is None else f"{equals.value:f} {equals.unit}"
    return f"{bracket} {medicine.strength or ''}".strip()


def match_entry(
    entries: Sequence[WordEntry], medicine: Medicine, form: str, also: str = ""
) -> WordEntry | None:
    """The first entry of a list that fits a medicine's name, form or dose, or None.

    Words and names fit as whole words in any case; a suffix only in capitals, as labels print it.

    Args:
        also: More words to look at, such as `label_words`.
    """
    words = f"{medicine.name} {medicine.form} {dose_words(medicine)} {also}".lower()
    label = f"{medicine.name} {medicine.form}"
    for entry in entries:
        if entry.kind == "suffix":
            pattern = rf"(?<![A-Za-z0-9]){re.escape(entry.match)}(?![A-Za-z0-9])"
            matches = re.search(pattern, label, 0 if entry.match.isupper() else re.I) is not None
        elif entry.kind == "name":
            matches = _has_name(words, entry.match, form)
        else:
            matches = _has_word(words, entry.match)
        if not matches or any(_has_word(words, word) for word in entry.unless):
            continue
        if entry.only_forms and not any(_has_word(words, f) or f == form for f in entry.only_forms):
            continue
        return entry
    return None


# Fact → the lists that set it off.
_LISTS = {
    "modified_release": (
        "modified_release_forms",
        "modified_release_suffixes",
        "modified_release_names",
    ),
    "never_crush_form": ("never_crush_forms",),
    "dispersible_form": ("dispersible_forms",),
    "opioid": ("opioids_modified_release",),
    "hazardous": ("hazardous_names",),
    "feed_interaction": ("feed_interactions",),
    "jejunum_fails": ("jejunum_fails",),
    "levodopa": ("levodopa",),
    "bezoar_former": ("bezoar",),
    "sorbitol_liquid": ("sorbitol",),
    "insulin": ("insulin_names",),
    "sulfonylurea": ("sulfonylureas",),
    "refeeding": ("refeeding_medicines",),
}


def _tripwires(medicine: Medicine, form: str, words: WordLists) -> dict[str, WordEntry]:
    """Fact → the entry that set it off, for those that were."""
    matched = {}
    for fact, lists in _LISTS.items():
        for name in lists:
            entry = match_entry(words.get(name, ()), medicine, form)
            if entry is not None:
                matched[fact] = entry
                break
    return matched


@dataclass(frozen=True)
class GivenMedicine:
    """One medicine under one policy with the tripwire lists."""

    medicine: Medicine
    policy: Policy
    words: WordLists
    notebook: Notebook | None = None

    @property
    def whose(self) -> int:
        """Which of the list it is."""
        return self.medicine.number

    @Shared
    def form(self) -> str:
        """Its form in the rules' words."""
        return form_of(self.medicine)

    @Shared
    def entries(self) -> dict[str, WordEntry]:
        """Fact → the entry that it set off."""
        return _tripwires(self.medicine, self.form, self.words)

    @property
    def laxative(self) -> bool:
        """The laxative of the list of pairs that do not go together."""
        pairs = self.words.get("thickener_and_laxative", ())
        laxatives = [entry for entry in pairs if entry.side == "laxative"]
        return match_entry(laxatives, self.medicine, self.form) is not None

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
    yes_no("polyethylene_glycol", "the laxative polyethylene glycol 3350", lambda m: m.laxative),
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
    medicine: Medicine, policy: Policy, words: WordLists, notebook: Notebook | None = None
) -> MedicineFacts:
    """What the rules may ask of one medicine."""
    given = GivenMedicine(medicine, policy, words, notebook)

    def answer(name: str) -> str | None:
        derive = _BY_NAME[name].derive
        return None if derive is None else word_of(derive(given))

    if notebook is None:
        return MedicineFacts(medicine, {name: answer(name) for name in _BY_NAME}, given.entries)
    answers = notebook.lazy(f"medicines[{given.whose}]", _BY_NAME, answer)
    return MedicineFacts(medicine, answers, Lazy(_LISTS, lambda fact: given.entries[fact]))


def give_order(medicine: Medicine) -> tuple[bool, int]:
    """Liquids before solids (row `med-liquid`), else as in the file."""
    return (form_of(medicine) != "liquid", medicine.number)
