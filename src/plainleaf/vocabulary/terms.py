"""Closed word lists of the trade, each with its source.

A word that is not here is refused by the loaders, with the list of those that are.
"""

from __future__ import annotations

# Kinds of enteral access by where the tube leads; HL7 FHIR R4 route codes GT, GJT, JJTINSTL.
TUBE_KINDS = ("gastrostomy", "jejunostomy", "gastrojejunostomy")
# Long tube or skin-level device; common practice, no source.
BUILDS = ("standard", "low-profile")
# Internal retention; common practice, no source.
RETENTIONS = ("balloon", "bumper", "stitches")
# Who places tubes; common practice, no source.
PLACED_BY = ("endoscopy", "radiology", "surgery")
# A port is named by where it leads; cp-ports-g, cp-ports-j, cp-ports-gj.
PORTS = ("gastric", "jejunal")
PORT_USES = ("feeding", "medicines", "venting", "drainage")
PORTS_OF_KIND = {
    "gastrostomy": ("gastric",),
    "jejunostomy": ("jejunal",),
    "gastrojejunostomy": ("gastric", "jejunal"),
}
# Feeding methods; ASPEN-2017 by name, the words are ours: syringe bolus, gravity drip, pump.
METHODS = ("syringe", "gravity", "pump")
# Open: poured from cans or cartons. Closed: ready to hang. Powder: mixed at home.
FORMULA_SYSTEMS = ("open", "closed", "powder")
# Print sizes on request; 18 points is large print (rows LP-01, LP-03 of the print rules).
PRINT_SIZES = ("14 pt", "18 pt", "22 pt", "28 pt")
BY_MOUTH = ("nothing", "sips", "full")
FLUSH_BY = ("gravity", "plunger")

# Conditions that change what the packet says; each is used by a fact in facts/person.py.
CONDITIONS = (
    "ascites",
    "cancer-treatment",
    "confusion",
    "diabetes",
    "heart-failure",
    "immune-suppressed",
    "kidney-disease",
    "malnutrition",
    "needs-full-care",
    "preterm",
    "refeeding-risk",
    "steroids",
    "thickened-fluids",
)
WEAK_IMMUNITY = frozenset({"cancer-treatment", "immune-suppressed"})
# tract-delay: conditions that slow the healing of the opening.
SLOW_HEALING = frozenset(
    {"ascites", "diabetes", "immune-suppressed", "cancer-treatment", "malnutrition", "steroids"}
)

LEARNER_NEEDS = ("glasses", "hearing-aid", "large-print", "reads-little", "sign-language", "hands")
INTERPRETER_MODES = ("in person", "video", "phone")
STAGES = ("first-72-hours", "new", "mature")
AGE_GROUPS = ("infant", "young-child", "child", "adult", "older-adult")

# CDC index item 8 and PEMAT item 22 (restated): no more than seven items in one list.
LONGEST_LIST = 7

LEVELS = ("stop", "confirm", "note")
STANCES = ("do", "never", "ask-first")
SOURCE_STATUSES = (
    "seen",
    "seen-2nd",
    "memory",
    "disputed",
    "arith",
    "common-practice",
    "policy",
    "mixed",
)
# Whether a module was reviewed is computed from records (`inputs/reviews.py`), and typed nowhere.
MODULE_STATUSES = ("draft", "retired")
