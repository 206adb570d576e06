"""The teaching library: modules, rules, phrases and sources, loaded strictly.

Every fault carries file and line, and all of them are reported at once. What a text means for a
patient is decided later; here a text is words with named slots.
"""

from plainleaf.inputs.content.library import condition_of, load_library
from plainleaf.inputs.content.medicine_parts import (
    NO_MEDICINES,
    MedicineLists,
    MedicineRow,
    Substance,
    WordEntry,
)
from plainleaf.inputs.content.page_parts import Page, page_pointed_to, pointer_to
from plainleaf.inputs.content.rules import source_known
from plainleaf.inputs.content.teaching_parts import (
    BLOCKS,
    KINDS,
    LONGEST_ALT,
    LONGEST_CAPTION,
    SECTION_LEVELS,
    TIERS,
    Advice,
    Claim,
    Kind,
    Library,
    Module,
    SafetyRule,
    Section,
    ShowBack,
    Source,
    Statement,
    TeachBack,
    slots_in,
)

__all__ = [
    "BLOCKS",
    "KINDS",
    "LONGEST_ALT",
    "LONGEST_CAPTION",
    "NO_MEDICINES",
    "SECTION_LEVELS",
    "TIERS",
    "Advice",
    "Claim",
    "Kind",
    "Library",
    "MedicineLists",
    "MedicineRow",
    "Module",
    "Page",
    "SafetyRule",
    "Section",
    "ShowBack",
    "Source",
    "Statement",
    "Substance",
    "TeachBack",
    "WordEntry",
    "condition_of",
    "load_library",
    "page_pointed_to",
    "pointer_to",
    "slots_in",
    "source_known",
]
