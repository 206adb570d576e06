"""Facts about the medicines: which port, which form, and what the tripwire lists say.

The lists are a tripwire: a medicine that is not on one is not thereby safe to crush or to give
through a tube. A pharmacist decides.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from functools import lru_cache
from itertools import groupby

from plainleaf.facts.record import MedicineFacts
from plainleaf.inputs.content import WordEntry
from plainleaf.inputs.patient import Medicine, Patient
from plainleaf.inputs.policy import Policy
from plainleaf.vocabulary.quantities import Quantity

Words = Mapping[str, tuple[WordEntry, ...]]

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
SOLIDS = ("tablet", "capsule", "granules", "powder", "dispersible", "effervescent")


def form_of(medicine: Medicine) -> str:
    """The form in the rules' words.

    A form that no word fits is `other`, and the rules ask about it.
    """
    text = medicine.form.lower()
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


def match_entry(entries: Sequence[WordEntry], medicine: Medicine, form: str) -> WordEntry | None:
    """The first entry of a list that fits a medicine's name, form or dose, or None.

    Words and names fit as whole words in any case; a suffix only in capitals, as labels print it.
    """
    dose = f"{medicine.dose.value:f} {medicine.dose.unit}"
    words = f"{medicine.name} {medicine.form} {dose}".lower()
    label = f"{medicine.name} {medicine.form}"
    for entry in entries:
        if entry.kind == "suffix":
            pattern = rf"(?<![A-Za-z0-9]){re.escape(entry.match)}(?![A-Za-z0-9])"
            found = re.search(pattern, label, 0 if entry.match.isupper() else re.I) is not None
        elif entry.kind == "name":
            found = _has_name(words, entry.match, form)
        else:
            found = _has_word(words, entry.match)
        if not found or any(_has_word(words, word) for word in entry.unless):
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
}


def _tripwires(medicine: Medicine, form: str, words: Words) -> dict[str, WordEntry]:
    """Fact → the entry that set it off, for those that were."""
    matched = {}
    for fact, lists in _LISTS.items():
        for name in lists:
            entry = match_entry(words.get(name, ()), medicine, form)
            if entry is not None:
                matched[fact] = entry
                break
    return matched


def medicine_facts(medicine: Medicine, policy: Policy, words: Words) -> MedicineFacts:
    """What the rules may ask of one medicine."""
    form = form_of(medicine)
    entries = _tripwires(medicine, form, words)
    laxatives = [e for e in words.get("thickener_and_laxative", ()) if e.side == "laxative"]
    small = policy.quantity("small_dose")
    answers: dict[str, str | bool | None] = {
        "medicine_through": medicine.through or "none",
        "medicine_form": form,
        **{fact: fact in entries for fact in _LISTS if fact not in ("insulin", "sulfonylurea")},
        "polyethylene_glycol": match_entry(laxatives, medicine, form) is not None,
        "stays_out": medicine.through is None,
        "pharmacist_approved": medicine.crush == "pharmacist-approved",
        "small_dose_medicine": medicine.dose.unit == "mL"
        and Quantity(medicine.dose.value, "mL") < small,
        "unit_doubtful": form == "liquid" and medicine.dose.unit != "mL",
        "as_needed": medicine.as_needed,
        "reason_given": medicine.reason is not None,
        "insulin_medicine": "insulin" in entries,
        "crush_never": medicine.crush == "never",
        "prepare_given": medicine.prepare is not None,
    }
    matched = {fact: entry.match for fact, entry in entries.items()}
    return MedicineFacts(medicine, words_of(answers), matched, entries)


def words_of(answers: Mapping[str, str | bool | None]) -> dict[str, str | None]:
    """Answers as the words that conditions compare: true, false, a word or None."""
    return {
        name: ("true" if value else "false") if isinstance(value, bool) else value
        for name, value in answers.items()
    }


def give_order(medicine: MedicineFacts) -> tuple[bool, int]:
    """Liquids before solids (row `med-liquid`), else as in the file."""
    return (medicine.answers["medicine_form"] != "liquid", medicine.medicine.number)


def medicine_answers(
    patient: Patient, medicines: Sequence[MedicineFacts]
) -> dict[str, str | bool | None]:
    """Answers to the facts about the whole list."""
    by_tube = [m for m in medicines if m.medicine.through is not None]
    rounds = sorted((t, m.medicine.through or "") for m in by_tube for t in m.medicine.times)
    insulin = any("insulin" in m.matched for m in medicines)
    return {
        "insulin": insulin,
        "diabetes_medicine": insulin or any("sulfonylurea" in m.matched for m in medicines),
        "medicines_by_tube": bool(by_tube),
        "medicines_through_gastric": any(m.medicine.through == "gastric" for m in by_tube),
        "medicines_through_jejunal": any(m.medicine.through == "jejunal" for m in by_tube),
        "medicines_together": any(len(list(group)) > 1 for _, group in groupby(rounds)),
        "liquid_medicines": any(m.answers["medicine_form"] == "liquid" for m in by_tube),
        "crushed_medicines": any(m.medicine.crush == "pharmacist-approved" for m in by_tube),
        "small_doses": any(m.answers["small_dose_medicine"] == "true" for m in by_tube),
        "as_needed_medicines": any(m.medicine.as_needed for m in by_tube),
        "other_route_medicines": len(by_tube) < len(medicines),
    }
