"""What a facility's file adds to patient files of format 2: places to call, formulas by name."""

from __future__ import annotations

from plainleaf.vocabulary.patient_file.format_2_orders import FORMULA_KEYS, FORMULA_RULES, NAME
from plainleaf.vocabulary.patient_file.scalars_2 import DATE, HOURS, PHONE, SLUG
from plainleaf.vocabulary.patient_file.shapes import Block, Key, MapOf

_REVIEW = (
    Key(
        "approved_by",
        NAME,
        "a remark; what counts is the record of plainleaf reviewed",
        example="nobody yet",
    ),
    Key("review_by", DATE, "after this day it stops a packet that names it", required=True),
)
_ENTRY = Block(
    "entry",
    (
        Key("name", NAME, "its name", required=True, example="Tube clinic"),
        Key("phone", PHONE, "the number to call", required=True),
        Key("hours", HOURS, "when somebody answers", required=True),
        Key("where", NAME, "where it is", example="desk 4"),
        *_REVIEW,
    ),
)
NAMED_ENTRIES = Block(
    "entries",
    (
        Key("directory", MapOf(SLUG, _ENTRY), "places that a patient file may name"),
        Key("formulary", MapOf(SLUG, Block("formula", (*FORMULA_KEYS, *_REVIEW), FORMULA_RULES)),
            "formulas that a patient file may name"),
    ),
)  # fmt: skip
