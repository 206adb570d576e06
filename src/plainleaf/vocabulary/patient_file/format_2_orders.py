"""The orders of a patient file of format 2: formulas, feeding, water, medicines, drains, checks."""

from __future__ import annotations

from plainleaf.vocabulary import terms, words_2
from plainleaf.vocabulary.opening_hours import DAYS
from plainleaf.vocabulary.patient_file.format_1 import AS_NEEDED
from plainleaf.vocabulary.patient_file.scalars_2 import (
    AT_MOST,
    CLOCK,
    CONTACT_KEYS,
    DATE,
    DATE_OR_MOMENT,
    DAYS_LONG,
    DOSE,
    EMPTY_AT,
    ENERGY,
    GAIN,
    INGREDIENT_AMOUNT,
    KCAL,
    LIMIT,
    LIQUID,
    PORTION,
    RATE,
    SCALE_DOSE,
    SCALE_RANGE,
    SHARE,
    SIGNER,
    SLUG,
    SPAN,
    SPANS,
    STRENGTH,
    SUGAR,
    SUGAR_GIVEN,
    VOLUME,
    VOLUMES,
)
from plainleaf.vocabulary.patient_file.shapes import (
    Block,
    Count,
    Either,
    Flag,
    Group,
    Key,
    ListOf,
    MapOf,
    Rule,
    Shape,
    Text,
    When,
    Word,
)

NAME = Text(80, marks=False)
YES = Flag(may_deny=False)
CLOCKS = ListOf(CLOCK, 1, once=True, ordered=True)
CLOCKS_EXAMPLE = '["08:00", "20:00"]'
DATED = "Write date: …"
_PORT = Word(terms.PORTS)
_CLOCKS_BLANK = 'list of times, as in ["08:00"]'


def words(closed: tuple[str, ...], least: int = 1) -> ListOf:
    """A list of words of a closed list, each once."""
    return ListOf(Word(closed), least, once=True)


def needs(key: str, words_of: tuple[str, ...], *needed: str, is_not: bool = False) -> Rule:
    """That keys are needed where another holds one of some words."""
    return Rule((When(key, words_of, is_not),), needs=needed)


BY = Key("by", SIGNER, "who ordered it, where it is somebody else", changes="nurse's sheet")
ON_DATE = Key("date", DATE, "on which day", changes="nurse's sheet")
_DAYS = Key("days", words(DAYS), "only on these days of the week", example="[Mon, Thu]",
            changes="day, calendar")  # fmt: skip
_FROM = Key("from", DATE_OR_MOMENT, "its first day", example="2026-03-04", changes="plans")
_UNTIL = Key("until", DATE_OR_MOMENT, "its last day", example="2026-03-14", changes="plans")
_THROUGH = Key("through", _PORT, "the port", required=True, changes="day")

# --- formulas ------------------------------------------------------------------------------------

_RECIPE = Block(
    "recipe",
    (
        Key("take", ListOf(Block("ingredient", (
            Key("amount", INGREDIENT_AMOUNT, "how much of it", required=True),
            Key("of", Either((Word(words_2.INGREDIENTS), SLUG), "Write what goes in."),
                "what, or the name of another formula", required=True, example="breast milk"),
        )), 2, empty=("holds fewer than two.", "Write all that goes in.")),
            "all that goes in", required=True, changes="recipe page, supplies"),
        Key("makes", VOLUME, "how much it makes", required=True, example="125 mL",
            changes="recipe page"),
        Key("fridge", SPAN, "how long it keeps in the refrigerator", required=True,
            example="24 h", changes="recipe page"),
        Key("breast_milk_fridge", SPAN, "how long plain milk keeps there", example="4 d",
            changes="recipe page"),
        Key("hang", SPAN, "how long it may hang", required=True, example="4 h",
            changes="day, recipe page"),
        Key("by", SIGNER, "whose recipe", required=True, example='"R. Adeyemi, RD"',
            changes="recipe page"),
        Key("date", DATE, "on which day", required=True, changes="nurse's sheet"),
    ),
    instead={"on": DATED},
)  # fmt: skip
_POURED, _MIXED = ("open", "closed"), ("powder", "recipe")
FORMULA_KEYS = (
    Key("name", NAME, "as the label says; printed as it stands", required=True,
        example='"Standard adult formula, 1.5"', changes="feeding"),
    Key("energy", ENERGY, "as the label says", required=True, changes="totals"),
    Key("water", SHARE, "how much of it is water", required=True, changes="totals"),
    Key("container", VOLUME, "size of one container", example="237 mL",
        changes="supplies, cartons"),
    Key("system", Word(words_2.FORMULA_SYSTEMS),
        "poured, ready to hang, mixed from powder, or by recipe", required=True,
        changes="how long it may hang"),
    Key("recipe", _RECIPE, "how it is mixed", changes="recipe page, supplies"),
)  # fmt: skip
FORMULA_RULES = (
    needs("system", _MIXED, "recipe"),
    Rule((When("system", _MIXED, is_not=True),), refuses=("recipe",)),
    needs("system", _POURED, "container"),
)
FORMULA = Block("formula", FORMULA_KEYS, FORMULA_RULES)

# --- feeding -------------------------------------------------------------------------------------

_STEP = Block(
    "step",
    (
        Key("for", DAYS_LONG, "how long; the last goes on without it", example="2 d"),
        Key("rate", RATE, "of the pump"),
        Key("amount", PORTION, "each time"),
        Key("runs_for", SPAN, "how long the pump runs", example="12 h"),
        Key("starts", CLOCK, "when the pump starts"),
        Key("times", CLOCKS, "when", example=CLOCKS_EXAMPLE),
    ),
    (Rule(any_of=("for", "rate", "amount", "runs_for", "starts", "times")),),
)
_TWO_STEPS = ("holds fewer than two steps.", "Write each step, or no steps.")
_RUN = ("rate", "starts", "runs_for")


def _method(method: str, *needed: str) -> Rule:
    return Rule(
        (When("method", (method,)),),
        needs=needed,
        refuses=_RUN,
        any_of=("amount", "steps"),
        refused=(f"{{name}} does not belong to a {method} feeding.", "Take it out."),
    )


FEED = Block(
    "feed",
    (
        Key("method", Word(terms.METHODS), "how it is given", required=True, changes="feeding"),
        Key("through", _PORT, "the port", required=True, changes="feeding"),
        Key("formula", Either((SLUG, FORMULA), "Write its name, or a block."),
            "a name of the formulary or of formulas, or a block", example="standard-15",
            changes="feeding, totals"),
        Key("blended", YES, "home-blended food instead of a formula", example="true",
            changes="feeding"),
        Key("amount", PORTION, "each time; cartons print with their mL", changes="day, totals"),
        Key("over", SPANS, "how long one takes", changes="feeding"),
        Key("times", CLOCKS, "when", example=CLOCKS_EXAMPLE, blank=_CLOCKS_BLANK, changes="day"),
        _DAYS,
        Key("rate", RATE, "of the pump", changes="feeding, card"),
        Key("starts", CLOCK, "when the pump starts", changes="day"),
        Key("runs_for", SPAN, "how long the pump runs", example="12 h", changes="day, totals"),
        Key("daily_total", VOLUME, "as ordered; checked against every step", example="960 mL",
            changes="a finding where it differs"),
        _FROM,
        _UNTIL,
        Key("steps", ListOf(_STEP, 2, empty=_TWO_STEPS), "what changes, step by step",
            example="[{for: 2 d, rate: 20 mL/h}, {rate: 35 mL/h}]", changes="table by date"),
        Key("step_only_if", words(words_2.STEP_IF), "go up only if", example="[no vomiting]",
            changes="table by date"),
        Key("otherwise", Word(words_2.STEP_ELSE), "what to do if not", changes="table by date"),
        Key("ordered_by", SIGNER, "who ordered it, where it is not the usual way",
            example='"B. Quist, MD"', changes="feeding"),
    ),
    (
        Rule(
            one_of=(Group(("formula",)), Group(("blended",))),
            none=("has no formula.", "Write formula: …, or blended: true."),
            several=("is both formula and blended.", "Write two feedings."),
        ),
        _method("syringe", "times"),
        _method("gravity", "times", "over"),
        Rule(
            (When("method", ("pump",)),),
            any_of=("rate", "steps"),
            one_of=(
                Group(("starts", "runs_for"), ("amount", "times")),
                Group(("amount", "times"), ("starts", "runs_for")),
            ),
            none=("has no time.", "Write starts: and runs_for:, or amount: and times: alone."),
            several=("has two times.", "Write starts: and runs_for:, or amount: and times:."),
        ),
        Rule((When("steps"),), needs=("from", "otherwise")),
        Rule((When("steps", is_not=True),), refuses=("step_only_if", "otherwise"),
             refused=("{name} belongs to steps.", "Write steps:, or take it out.")),
    ),
)  # fmt: skip
ADDITIVE = Block(
    "additive",
    (
        Key("kind", Word(words_2.ADDITIVES), "what it adds", required=True, changes="feeding"),
        Key("name", NAME, "as the label says", required=True, example="Protein powder",
            changes="feeding"),
        Key("amount", DOSE, "each time", required=True, example="2 scoops (14 g)",
            changes="day, supplies"),
        Key("in", LIQUID, "what it is mixed in; counted", required=True, changes="day, totals"),
        Key("energy", KCAL, "each time", changes="totals"),
        _THROUGH,
        Key("place", Word(words_2.PLACES), "before or after a feeding, or by itself",
            required=True, changes="day"),
        Key("flush_before", VOLUMES, "water before it", example="30 mL", changes="day, totals"),
        Key("flush_after", VOLUMES, "water after it", example="30 mL", changes="day, totals"),
        Key("times", CLOCKS, "when", required=True, example=CLOCKS_EXAMPLE, changes="day"),
        _DAYS,
        _FROM,
        _UNTIL,
    ),
    (needs("place", ("alone",), "flush_before", "flush_after"),),
)  # fmt: skip

# --- a port that drains or vents -----------------------------------------------------------------

DRAINAGE = Block(
    "drainage",
    (
        _THROUGH,
        Key("into", Word(words_2.DRAIN_INTO), "what it runs into", required=True,
            changes="supplies"),
        Key("times", Either((Word((words_2.ALL_THE_TIME,)), CLOCKS),
                            'Write all the time, or ["20:00"].'),
            "when it drains", required=True, example='["20:00"]', changes="day"),
        Key("for", SPAN, "how long each time", example="10 h", changes="day"),
        Key("may_close", MapOf(Word(words_2.CLOSE_WHEN), SPAN, 1),
            "when it may be closed, and for how long at most", required=True,
            example="{shower: 20 min}", changes="drainage page"),
        Key("open_if", words(words_2.OPEN_IF), "what opens it at any hour", required=True,
            example="[nausea, vomiting]", changes="drainage page, page 1"),
        Key("empty_at", EMPTY_AT, "when the bag is emptied", required=True,
            changes="drainage page"),
        Key("change_bag", SPAN, "how often it is changed", required=True, example="3 d",
            changes="drainage page, supplies"),
        Key("record", Word(words_2.DRAIN_RECORD), "what is written down", required=True,
            changes="log sheet"),
        Key("call_over", VOLUME, "more than this in a day is a call", required=True,
            example="1200 mL", changes="page 1, problems"),
        Key("call_none", SPAN, "nothing for so long while it should drain is a call",
            example="6 h", changes="page 1, problems"),
        BY,
        ON_DATE,
    ),
    (needs("times", (words_2.ALL_THE_TIME,), "for", is_not=True),),
)  # fmt: skip
VENTING = Block(
    "venting",
    (
        _THROUGH,
        Key("how", Word(words_2.VENT_HOW), "with what", required=True, changes="feeding"),
        Key("when", words(words_2.VENT_WHEN), "when air is let out", required=True,
            example="[before each feed, bloating]", changes="day"),
        Key("for", SPAN, "for how long", required=True, example="5 min", changes="feeding"),
        BY,
        ON_DATE,
    ),
)  # fmt: skip

# --- water ---------------------------------------------------------------------------------------

_EXTRA = Block(
    "extra",
    (
        Key("amount", VOLUMES, "each time", required=True, example="90 mL"),
        Key("times", CLOCKS, "when", required=True, example=CLOCKS_EXAMPLE),
        _THROUGH,
        Key("why", Word(words_2.EXTRA_WHY), "a flush, or water to take in", required=True),
    ),
)
WATER = Block(
    "water",
    (
        Key("before_feed", VOLUMES, "before each feeding", example="60 mL",
            changes="flushing, day"),
        Key("after_feed", VOLUMES, "after each feeding", example="60 mL",
            changes="flushing, day"),
        Key("medicine", VOLUMES, "before, between and after medicines", example="15 mL",
            changes="medicines, day"),
        Key("daily", VOLUME, "when a port is otherwise not used", changes="flushing"),
        Key("every", SPAN, "once in so many hours", example="4 h", changes="day"),
        Key("each", VOLUME, "how much, each time", example="30 mL", changes="day"),
        Key("starts", CLOCK, "when the first of them is given", changes="day"),
        Key("through", _PORT, "the port, where there are two", changes="day"),
        Key("extra", Either((_EXTRA, ListOf(_EXTRA, 1)), "Write a block, or a list of blocks."),
            "water besides the flushes", changes="day, totals",
            example="{amount: 90 mL, times: [\"10:00\"], through: gastric, why: drink}"),
        Key("unclog", VOLUME, "for a clog", example="20 mL", changes="problems"),
        Key("by", Word(terms.FLUSH_BY), "how water is given; else as the facility does",
            changes="flushing"),
        Key("goal", VOLUME, "a day, from the dietitian", example="1700 mL", changes="totals"),
        Key("limit", VOLUME, "most fluid in a day, if a prescriber set one", example="2000 mL",
            changes="totals, page 1"),
    ),
    (Rule((When("every"),), needs=("each", "starts")),),
)  # fmt: skip

# --- medicines -----------------------------------------------------------------------------------

_MEDICINE_STEP = Block(
    "medicine_step",
    (
        Key("dose", DOSE, "each time", required=True),
        Key("for", DAYS_LONG, "how long; the last goes on without it", example="5 d"),
        Key("times", CLOCKS, "when, if it changes", example=CLOCKS_EXAMPLE),
    ),
)
_TIMES = Either(
    (CLOCKS, Word((AS_NEEDED, *words_2.TIED))),
    'Write ["09:00"], as needed, or before, with or after each feed.',
)
MIX: Shape = Either((Word(words_2.SOFT_FOODS), LIQUID), "Write 20 mL water, or a soft food.")
MEDICINE = Block(
    "medicine",
    (
        Key("name", NAME, "as on the label", required=True, example="levetiracetam",
            changes="medicines, rules"),
        Key("form", Word(words_2.FORMS), "as on the label, with its release", required=True,
            blank="form", changes="medicines, rules"),
        Key("strength", STRENGTH, "as on the label; a dose in brackets is checked against it",
            changes="medicines"),
        Key("route", Word(words_2.ROUTES), "by which way; the first two are ports",
            blank="route", changes="how it is given"),
        Key("through", _PORT, "the port, instead of route", changes="how it is given"),
        Key("site", Word(words_2.SITES), "where a patch is put", changes="medicines"),
        Key("dose", DOSE, "each time", changes="medicines, day"),
        Key("scale", MapOf(SCALE_RANGE, SCALE_DOSE, 2), "dose by the blood sugar before it",
            example="{below 70 mg/dL: low-sugar plan, 70 mg/dL or more: 3 units}",
            changes="scale table, card"),
        Key("steps", ListOf(_MEDICINE_STEP, 2, empty=_TWO_STEPS), "dose step by step",
            example="[{for: 5 d, dose: 4 mL (4 mg)}, {dose: 2 mL (2 mg)}]",
            changes="table by date, calendar"),
        Key("times", _TIMES, "when", example='["09:00"]', changes="day"),
        _DAYS,
        Key("every", SPAN, "once in more than 24 hours", example="7 d", changes="calendar"),
        Key("next", DATE_OR_MOMENT, "when the next one is due", changes="calendar"),
        _FROM,
        _UNTIL,
        Key("for", words(words_2.PRN_FOR), "what it is for, as needed", example="[pain]",
            changes="medicines"),
        Key("after", SPAN, "how long the trouble lasts first", example="5 min",
            changes="medicines"),
        Key("between", SPAN, "least time between doses", example="6 h", changes="medicines"),
        Key("at_most", AT_MOST, "most in a time, as needed", changes="medicines"),
        Key("prepare", Word(words_2.PREPARE), "how it is made ready", changes="how it is given"),
        Key("in", MIX, "what it is mixed in; counted", example="20 mL water",
            changes="how it is given, totals"),
        Key("hold_before", SPAN, "feeding is off for so long before", example="1 h",
            changes="day, totals"),
        Key("hold_after", SPAN, "feeding is off for so long after", example="1 h",
            changes="day, totals"),
        Key("sit_up", SPAN, "sit up for so long after", example="30 min", changes="medicines"),
        Key("away_from", ListOf(NAME, 1, once=True), "not together with", example="[calcium]",
            changes="medicines, a finding"),
        Key("away_by", SPAN, "how far away", example="2 h", changes="medicines"),
        Key("gloves", YES, "gloves to handle it", changes="how it is given, supplies"),
    ),
    (
        Rule(one_of=(Group(("dose",)), Group(("scale",)), Group(("steps",))),
             none=("has no dose.", "Write dose:, scale: or steps:."),
             several=("has two doses.", "Write dose:, scale: or steps:, one of them.")),
        Rule(one_of=(Group(("route",)), Group(("through",))),
             none=("has no route.", "Write route: …"),
             several=("has route and through.", "Write route: alone.")),
        Rule(one_of=(Group(("times",), ("every", "next")),
                     Group(("every", "next"), ("times", "days"))),
             none=("has no times.", "Write times: …, or every: and next: without times or days."),
             several=("has two kinds of times.", "Write times:, or every: and next:.")),
        Rule((When("times", (AS_NEEDED,)),), needs=("for", "at_most"), refuses=("days", "steps"),
             refused=("{name} does not belong to a dose as needed.", "Take it out.")),
        Rule((When("times", (AS_NEEDED,), is_not=True),),
             refuses=("for", "after", "between", "at_most"),
             refused=("{name} belongs to a dose as needed.", "Write times: as needed.")),
        Rule((When("steps"),), needs=("from",)),
        Rule((When("away_from"),), needs=("away_by",)),
        needs("prepare", words_2.MIXED, "in"),
        Rule((When("route", terms.PORTS), When("form"),
              When("form", words_2.LIQUID_FORMS, is_not=True)), needs=("prepare",)),
    ),
    instead={
        "crush": "Write prepare: crush with in: …, and settled: by a pharmacist.",
        "reason": "Write for: a list of words.",
    },
)  # fmt: skip

# --- checks at home ------------------------------------------------------------------------------

_LIMITS = ("call_below", "call_above", "call_down", "call_up", "call_none_for")
_CALL = Word(CONTACT_KEYS)
WATCH = Block(
    "watch",
    (
        Key("what", Word(words_2.WATCHED), "what is measured", required=True, changes="day"),
        Key("times", Either((CLOCKS, Word(words_2.TIED)),
                            'Write ["09:00"], or before, with or after each feed.'),
            "when", example='["07:00"]', changes="day"),
        _DAYS,
        Key("every", SPAN, "once in so long", example="2 d", changes="calendar"),
        Key("next", DATE_OR_MOMENT, "when the next one is due", changes="calendar"),
        _FROM,
        _UNTIL,
        Key("call_below", LIMIT, "less than this is a call", changes="problems, page 1"),
        Key("call_above", LIMIT, "this much or more is a call", example="340 mg/dL",
            changes="problems, page 1"),
        Key("call_down", SHARE, "so much less than patient.weight is a call", example="3 %",
            changes="problems"),
        Key("call_up", GAIN, "so much more than the last time is a call", example="1 kg",
            changes="problems"),
        Key("call_none_for", SPAN, "none for so long is a call", example="3 d",
            changes="problems"),
        Key("call", _CALL, "whom to call, a key of contacts", required=True, changes="problems"),
    ),
    (
        Rule(one_of=(Group(("times",), ("every", "next")),
                     Group(("every", "next"), ("times", "days")),
                     Group(("days",), ("times", "every", "next"))),
             none=("has no times.", "Write times:, days:, both, or every: and next:."),
             several=("has two kinds of times.", "Write times:, or every: and next:.")),
        Rule(any_of=_LIMITS),
    ),
)  # fmt: skip
LOW_SUGAR = Block(
    "low_sugar",
    (
        Key("below", SUGAR, "when this plan begins", required=True, changes="page 1"),
        Key("give", SUGAR_GIVEN, "what to give", required=True, changes="page 1"),
        Key("route", Word(words_2.SUGAR_ROUTES), "by which way", required=True,
            changes="page 1"),
        Key("recheck", SPAN, "measure again after so long", required=True, example="15 min",
            changes="page 1"),
        Key("tries", Count(1, 3), "how often it is given", required=True, example="2",
            changes="page 1"),
        Key("then_call", _CALL, "whom to call then, a key of contacts", required=True,
            changes="page 1"),
        BY,
        ON_DATE,
    ),
)  # fmt: skip
FEEDING_STOPS = Block(
    "if_feeding_stops",
    (
        Key("after", SPAN, "off for so long", required=True, example="30 min",
            changes="feeding, page 1"),
        Key("check", words(words_2.STOPS_CHECK), "what is checked", required=True,
            example="[blood sugar]", changes="feeding, page 1"),
        Key("hold", ListOf(NAME, 1, once=True), "medicines of the list that are not given",
            example="[insulin regular]", changes="feeding, medicines"),
        Key("call", _CALL, "whom to call, a key of contacts", required=True, changes="feeding"),
        BY,
        ON_DATE,
    ),
)  # fmt: skip
