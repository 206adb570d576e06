"""Closed word lists that format 2 of the patient file adds to those of the trade.

Words are common practice, no source, unless a line says otherwise; each is translated where it
is printed.
"""

from __future__ import annotations

from plainleaf.vocabulary import terms

# A port may also rest: nothing but a flush.
PORT_USES = (*terms.PORT_USES, "resting")
FORMULA_SYSTEMS = (*terms.FORMULA_SYSTEMS, "recipe")
CONDITIONS = (*terms.CONDITIONS, "bowel-blockage", "breathing-mask", "tracheostomy")
NEEDS = (*terms.LEARNER_NEEDS, "one-hand", "low-vision")
ADDRESS = ("her", "him", "neutral")
SETTINGS = ("home", "alone", "group-home", "hospice")
BY_MOUTH = (
    "nothing", "ice chips", "sips of water", "sips of clear liquids", "clear liquids",
    "full liquids", "tastes", "pureed", "minced", "soft", "regular", "breast or bottle",
)  # fmt: skip
# IDDSI levels 0 to 4 of drinks, by their names.
THICKNESS = ("thin", "slightly thick", "mildly thick", "moderately thick", "extremely thick")
RELATIONS = (
    "self", "wife", "husband", "partner", "mother", "father", "parent", "daughter", "son",
    "sister", "brother", "grandmother", "grandfather", "friend", "neighbor", "home aide",
    "home nurse", "hospice nurse", "group-home staff", "school staff", "other family", "other",
)  # fmt: skip
DUTIES = (
    "feeding", "flushing", "medicines", "rescue", "injections", "sugar-checks", "site-care",
    "drainage", "venting", "balloon", "put-back",
)  # fmt: skip
SESSION_TOPICS = (*DUTIES, "emergencies", "day plan")
DUTY_LIMITS = ("agency rule", "own wish", "not trained yet", "cannot do it safely")
OTHER_LINES = (
    "PICC", "port", "dialysis catheter", "tracheostomy", "urinary catheter", "colostomy", "drain",
    "oxygen", "other vein line", "insulin pump", "shunt",
)  # fmt: skip
HELD_AFTER_STITCHES = ("outside holder", "tape", "new stitches", "tube comes out too")
COLORS = ("white", "blue", "green", "red", "yellow", "purple", "orange", "black", "clear")
POSITION_CHECKS = (
    "x-ray", "contrast study", "endoscopy", "ultrasound", "fluid pH", "fluid seen"
)  # fmt: skip
RESTING_ASK = ("dietitian", "clinic", "surgeon", "oncology", "prescriber")
RESTING_CALL = ("cannot swallow", "eats less than half", "choking", "cannot take medicines")
INGREDIENTS = (
    "water", "boiled water", "breast milk", "infant formula powder", "formula powder",
    "protein powder", "fiber powder", "carbohydrate powder", "oil", "thickener",
)  # fmt: skip
STEP_IF = (
    "no vomiting", "no bloating", "no diarrhea", "no belly pain", "no swelling of legs",
    "blood tests read",
)  # fmt: skip
STEP_ELSE = ("last step and call", "stay and call", "stop and call")
# FHIR R4 NutritionOrder additiveType, in our words.
ADDITIVES = ("protein", "fiber", "carbohydrate", "fat", "probiotic")
PLACES = ("before feed", "after feed", "alone")
DRAIN_INTO = ("bag", "diaper")
ALL_THE_TIME = "all the time"
CLOSE_WHEN = ("after-sips", "after-medicines", "shower", "walking", "comfortable", "sleep")
OPEN_IF = ("nausea", "vomiting", "fullness", "cramps", "pain", "leaking")
DRAIN_RECORD = ("daily", "each emptying", "not needed")
VENT_HOW = ("syringe", "bag")
VENT_WHEN = ("before each feed", "after each feed", "during feed", "bloating", "as needed")
EXTRA_WHY = ("flush", "drink")
# FHIR R4 Timing.repeat.when: AC, C, PC.
TIED = ("before each feed", "with each feed", "after each feed")
LIQUID_FORMS = ("liquid", "suspension", "drops")
FORMS = (
    *LIQUID_FORMS, "tablet", "chewable tablet", "film-coated tablet", "delayed-release tablet",
    "extended-release tablet", "dispersible tablet", "melting tablet", "effervescent tablet",
    "sublingual tablet", "capsule", "delayed-release capsule", "extended-release capsule",
    "softgel", "powder", "powder packet", "granules", "delayed-release granules", "injection",
    "pen", "patch", "suppository", "rectal gel", "inhaler", "nebulizer liquid", "nasal spray",
    "eye drops", "ear drops", "cream", "mouth rinse", "lozenge",
)  # fmt: skip
# The first two are ports of the tube.
ROUTES = (
    *terms.PORTS, "mouth", "under tongue", "cheek", "mouth swab", "injection", "patch", "rectal",
    "inhaled", "nose", "eye", "ear", "skin", "vein line",
)  # fmt: skip
SITES = ("behind the ear", "chest or back", "upper arm", "belly", "thigh")
PRN_FOR = (
    "pain", "fever", "nausea", "vomiting", "constipation", "diarrhea", "anxiety", "breathlessness",
    "secretions", "cramps", "seizure", "heartburn", "itching", "sleep", "cough", "agitation",
    "bloating",
)  # fmt: skip
MIXED = (
    "crush", "open and do not crush", "dissolve", "dilute", "mix and do not crush",
    "pharmacy packets",
)  # fmt: skip
PREPARE = ("as it is", *MIXED, "pharmacy liquid", "whole")
SOFT_FOODS = ("puree", "applesauce", "thickened water")
WATCHED = ("blood sugar", "weight", "temperature", "stool", "urine", "drainage")
SUGAR_ROUTES = (*terms.PORTS, "mouth", "cheek")
STOPS_CHECK = ("blood sugar", "temperature", "how the person feels")
FIRST_CALL = ("emergency", "hospice")
VISITS = (
    "tube check", "tube change", "skin buttons off", "stitches out", "surgeon", "dietitian",
    "speech therapy", "oncology", "blood test", "swallow test", "diabetes", "primary care",
    "hospice nurse", "home nurse", "supply delivery", "pharmacy", "other",
)  # fmt: skip
VISIT_HOW = ("clinic", "home", "phone", "video")
BLOOD = (
    "phosphate", "potassium", "magnesium", "sodium", "calcium", "glucose", "drug level",
    "blood count", "kidney", "liver",
)  # fmt: skip
HEAD_UP_HOW = ("raised bed", "chair", "on a lap")
SLEEP_POSITIONS = ("head up", "flat on the back")
BALLOON_BY = ("family", "staff", "nurse", "nobody")
DRESSINGS = ("none", "daily", "when wet")
WATER_KINDS = ("tap", "sterile", "boiled")
TOPICS = (
    "connector", "feeding", "first-days", "flushing", "getting-help", "keeping-safe", "living",
    "medicines", "problems", "questions", "skin-care", "supplies", "your-day", "your-tube",
)  # fmt: skip
KEEP_AWAY = ("children", "pregnant people")
PHARMACY_AS = ("packets", "liquid", "syringes")
BOTH_WHY = ("different strengths", "different times", "one as needed")
NO_HOLD_WATCH = (*BLOOD, "symptoms")
