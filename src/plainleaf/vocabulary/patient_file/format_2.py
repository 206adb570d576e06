"""The patient file, format 2: every key with what it holds, means and changes."""

from __future__ import annotations

from dataclasses import replace

from plainleaf.vocabulary import terms, words_2
from plainleaf.vocabulary.patient_file.format_1 import ORDERED_DATES
from plainleaf.vocabulary.patient_file.format_2_orders import (
    ADDITIVE,
    BY,
    DATED,
    DRAINAGE,
    FEED,
    FEEDING_STOPS,
    FORMULA,
    LOW_SUGAR,
    MEDICINE,
    MIX,
    NAME,
    ON_DATE,
    VENTING,
    WATCH,
    WATER,
    YES,
    needs,
    words,
)
from plainleaf.vocabulary.patient_file.scalars_2 import (
    ANGLE,
    CODE,
    CONTACT_KEYS,
    DATE,
    DATE_OR_MOMENT,
    GAUGE,
    HOURS,
    LENGTH,
    LOSS,
    MOMENT,
    PHONE,
    PRESCRIBER,
    SIGNER,
    SLUG,
    SPAN,
    TAG,
    TEMPERATURE,
    VOLUME,
    WEIGHT,
)
from plainleaf.vocabulary.patient_file.shapes import (
    Block,
    Count,
    Either,
    Group,
    Key,
    ListOf,
    MapOf,
    Rule,
    SignedBy,
    Table,
    Text,
    When,
    Word,
)
from plainleaf.vocabulary.settling import NEVER_CRUSHED, OUTCOMES, SETTLED_BY

_LONG = Text(300, marks=False)
_SAID = replace(_LONG, vowels=True)
_NAMES = ListOf(NAME, 1, once=True)
_ADDRESS = Key("address", Word(words_2.ADDRESS), "how this person is addressed; else neutral",
               example="her", changes="pages in a language that needs gender")  # fmt: skip
_BY = Key("by", SIGNER, "who settled it", required=True)
_DATE = Key("date", DATE, "on which day", required=True)
_SIGNED = Block("signed", (_BY, _DATE), instead={"on": DATED})

_PATIENT = Block(
    "patient",
    (
        Key("name", NAME, "full name", required=True, example="Ona Petrauskas",
            changes="head of every page"),
        _ADDRESS,
        Key("allergies", ListOf(NAME, once=True),
            "what must not be given; [] for none known, left out where nobody wrote it",
            example="[penicillin]", changes="nurse's sheet, card, medicines"),
        Key("born", DATE, "date of birth", required=True, example="1960-02-03",
            changes="advice by age"),
        Key("record_number", Text(40, marks=False), "number in the record system", required=True,
            example="DEMO-0233", blank="record number", changes="head of every page"),
        Key("weight", WEIGHT, "body weight", required=True, example="61 kg",
            changes="checks of energy and water"),
        Key("height", LENGTH, "for the question of refeeding", example="165 cm",
            changes="a finding, nurse's sheet"),
        Key("weight_loss", LOSS, "unplanned loss", changes="a finding, nurse's sheet"),
        Key("ate_little_for", SPAN, "next to nothing eaten for so long", example="8 d",
            changes="a finding, nurse's sheet"),
        Key("conditions", words(words_2.CONDITIONS, 0),
            "what changes the teaching; [] for none, left out where not recorded",
            example="[diabetes]", changes="the topics it touches"),
        Key("setting", words(words_2.SETTINGS), "where and with whom", required=True,
            example="[home]", changes="page 1, living"),
        Key("by_mouth", Either((Word(words_2.BY_MOUTH), words(words_2.BY_MOUTH)),
                               f"Write one or more of: {', '.join(words_2.BY_MOUTH)}."),
            "all that may pass the lips; nothing stands alone", required=True, example="[tastes]",
            blank="list of words, as in [tastes]", changes="eating, page 1"),
        Key("by_mouth_until", DATE, "then it is asked again", changes="eating, calendar"),
        Key("mouth_each", VOLUME, "most at one time", example="10 mL", changes="eating"),
        Key("mouth_by", SIGNER, "whose eating plan", example='"W. Idris, SLP"', changes="eating"),
        Key("drink", VOLUME, "to drink each day", example="400 mL", changes="day, totals, card"),
        Key("thickness", Word(words_2.THICKNESS), "how thick drinks are",
            changes="eating, medicines"),
        Key("language", TAG, "language tag of the take-home handout", required=True,
            changes="every page of the family"),
        Key("print_size", Word(terms.PRINT_SIZES), "print of the family's pages; else 18 pt",
            example="22 pt", changes="every page of the family"),
    ),
    (needs("conditions", ("thickened-fluids",), "thickness"),),
)  # fmt: skip

_DUTIES = Either(
    (Word(("all", "none")), words(words_2.DUTIES)),
    f"Write all, none, or a list of: {', '.join(words_2.DUTIES)}.",
)
_LEARNER = Block(
    "learner",
    (
        Key("name", NAME, "full name", required=True, example="Ona Petrauskas",
            changes="teach-back sheet"),
        _ADDRESS,
        Key("relation", Word(words_2.RELATIONS), "what this person is to the patient",
            required=True, blank="relation", changes="teach-back sheet"),
        Key("language", TAG, "language tag of this person's handout", required=True,
            changes="copies of the handout"),
        Key("duties", _DUTIES, "what this person may do", required=True, example="all",
            blank="all, none or a list", changes="teach-back sheet, day"),
        Key("limit", Word(words_2.DUTY_LIMITS), "why not all", changes="nurse's sheet"),
        Key("there", HOURS, "when this person is there; left out, always", changes="day"),
        Key("needs", words(words_2.NEEDS), "what helps this person learn", example="[glasses]",
            changes="teach-back sheet, steps"),
        Key("phone", PHONE, "to call this person", changes="card"),
    ),
    (needs("duties", words_2.DUTIES, "limit", "there"),),
    instead={"hands_on": "Write duties: all, none, or a list."},
)  # fmt: skip
_INTERPRETER = Block(
    "interpreter",
    (
        Key("language", TAG, "language tag", required=True, example="es"),
        Key("mode", Word(terms.INTERPRETER_MODES), "how words are carried across",
            required=True),
        Key("id", NAME, "the interpreter's number", required=True, example='"INT-1"'),
    ),
)  # fmt: skip

_RESTING = Block(
    "resting",
    (
        Key("ask", words(words_2.RESTING_ASK), "who says when it is used", required=True,
            example="[surgeon]", changes="page 1, feeding"),
        Key("call_if", words(words_2.RESTING_CALL), "what starts that call",
            example="[choking]", changes="page 1, problems"),
        Key("by", SIGNER, "who ordered the rest", changes="nurse's sheet"),
    ),
)  # fmt: skip
_PUT_BACK = Block(
    "may_put_back",
    (Key("who", _NAMES, "learners with that duty", required=True, example="[Ona Petrauskas]",
         changes="if it comes out"), BY, ON_DATE),
    instead={"on": DATED},
)  # fmt: skip
_POSITION = Block(
    "position_checked",
    (_BY, Key("how", Word(words_2.POSITION_CHECKS), "by which check", required=True), _DATE),
    instead={"on": DATED},
)
_TUBE = Block(
    "tube",
    (
        Key("kind", Word(terms.TUBE_KINDS), "where the tube leads", required=True,
            changes="everything"),
        Key("build", Word(terms.BUILDS), "a long tube, or a button at the skin", required=True,
            changes="your tube"),
        Key("held_by", Word(terms.RETENTIONS), "what holds it inside", required=True,
            changes="your tube, if it comes out"),
        Key("held_after_stitches", Word(words_2.HELD_AFTER_STITCHES),
            "what holds it when the holding stitches are gone",
            changes="your tube, if it comes out"),
        Key("placed", MOMENT, "when this tube went in", required=True, changes="first days"),
        Key("opening_made", DATE, "if the opening is older than this tube", example="2025-06-10",
            changes="age of the opening"),
        Key("placed_by", Word(terms.PLACED_BY), "who put it in", required=True,
            changes="first days"),
        Key("size", GAUGE, "as on the tube", required=True, changes="card"),
        Key("length", LENGTH, "of a button", example="1.7 cm", changes="card"),
        Key("mark_at_skin", LENGTH, "the number at the skin", example="3.5 cm",
            changes="skin care, card"),
        Key("outside_length", LENGTH, "of a tube without marks: from skin to hub, measured",
            example="14 cm", changes="skin care, card"),
        Key("skin_buttons", Count(0, 8), "stitched buttons round the opening", required=True,
            example="2", blank="0 or how many", changes="first days"),
        Key("balloon_fill", VOLUME, "water in the balloon", example="7 mL", changes="your tube"),
        Key("balloon_port_color", Word(words_2.COLORS), "as on the tube",
            changes="picture of the tube"),
        Key("ports", MapOf(Word(terms.PORTS), words(words_2.PORT_USES), 1),
            "what each port is for", required=True, example="{gastric: [feeding, medicines]}",
            blank="port with its uses, as in {gastric: [feeding]}", changes="everything"),
        Key("turn_daily", YES, "ordered: turn the healed tube once a day", changes="skin care"),
        Key("push_in_weekly", YES, "ordered: push the healed tube in once a week",
            changes="skin care"),
        Key("opening_healed", _SIGNED, "who found the opening healed",
            changes="age of the opening"),
        Key("may_put_back", _PUT_BACK, "who may put a spare in, by order",
            changes="if it comes out, teach-back sheet"),
        Key("position_checked", _POSITION, "how the place of this tube was checked",
            changes="nurse's sheet"),
        Key("resting", _RESTING, "of a port that rests", changes="page 1, feeding"),
    ),
    (
        Rule((When("build", ("standard",)),),
             one_of=(Group(("mark_at_skin",)), Group(("outside_length",))),
             none=("has no mark.", "Write mark_at_skin: …, or outside_length: of a tube without."),
             several=("has two marks.", "Write mark_at_skin: or outside_length:.")),
        Rule((When("build", ("standard",), is_not=True),),
             refuses=("mark_at_skin", "outside_length"),
             refused=("{name} does not belong to a button.", "Write length: …")),
        needs("held_by", ("balloon",), "balloon_fill"),
        Rule((When("held_by", ("balloon",), is_not=True),),
             refuses=("balloon_fill", "balloon_port_color"),
             refused=("{name} belongs to a balloon.", "Check tube.held_by.")),
        Rule((When("held_by", ("stitches",), is_not=True),), refuses=("held_after_stitches",),
             refused=("{name} belongs to stitches.", "Check tube.held_by.")),
    ),
)  # fmt: skip

_CONTACT_BLOCK = Block(
    "contact",
    (
        Key("name", NAME, "its name", required=True, example="Nurse line"),
        Key("phone", PHONE, "the number to call", required=True),
        Key("hours", HOURS, "when somebody answers"),
    ),
)
_EMERGENCY = Block(
    "contact",
    (
        Key("name", NAME, "its name", example="Emergency"),
        Key("phone", PHONE, "the number to call", required=True),
    ),
)
_CONTACT = Either((SLUG, _CONTACT_BLOCK), "Write a name of the directory, or a block.")
_LINES = {
    "clinic": "in clinic hours",
    "after_hours": "at other hours",
    "supplies": "who sends supplies",
    "hospice": "the hospice team",
    "home_nurse": "the nurse who comes home",
    "dietitian": "the dietitian",
    "pharmacy": "the pharmacy",
    "diabetes": "the diabetes nurse",
    "oncology": "the cancer nurse",
}
_CONTACTS = Block(
    "contacts",
    (
        *(Key(key, _CONTACT, says, required=key in ("clinic", "after_hours"),
              example="tube-clinic", blank="name of the directory, or a block",
              changes="page 1, card") for key, says in _LINES.items()),
        Key("emergency", Either((PHONE, _EMERGENCY), "Write the number."),
            "the emergency number", required=True, example='"911"', blank="number",
            changes="page 1, card"),
        Key("first_call", Word(words_2.FIRST_CALL), "who is called first",
            changes="page 1, card, problems"),
        Key("others", ListOf(_CONTACT, 1), "more numbers", example="[pharmacy-line]",
            changes="card"),
    ),
    (
        Rule((When("hospice"),), needs=("first_call",)),
        needs("first_call", ("hospice",), "hospice"),
    ),
)  # fmt: skip

_VISIT = Block(
    "visit",
    (
        Key("kind", Word(words_2.VISITS), "what for", required=True, changes="calendar"),
        Key("how", Word(words_2.VISIT_HOW), "where or how", required=True, changes="calendar"),
        Key("when", DATE_OR_MOMENT, "its time; a date alone prints 'ask for the time'",
            changes="calendar"),
        Key("every", SPAN, "once in so long", example="2 d", changes="calendar"),
        Key("from", DATE, "the first of them", changes="calendar"),
        Key("until", DATE, "the last of them", changes="calendar"),
        Key("where", NAME, "a name of the directory, or a place", example="tube-clinic",
            changes="calendar"),
        Key("tests", words(words_2.BLOOD), "which blood tests", example="[potassium]",
            changes="living, nurse's sheet"),
        Key("read_by", SIGNER, "who reads them", example='"B. Quist, MD"',
            changes="nurse's sheet"),
    ),
    (
        Rule(one_of=(Group(("when",)), Group(("every", "from"))),
             none=("has no time.", "Write when: …, or every: and from:."),
             several=("has two kinds of time.", "Write when:, or every: and from:.")),
        needs("kind", ("blood test",), "tests", "read_by"),
        Rule((When("kind", ("blood test",), is_not=True),), refuses=("tests", "read_by"),
             refused=("{name} belongs to a blood test.", "Check kind.")),
    ),
    instead={"what": "Write kind: and how:."},
)  # fmt: skip
DATE_KEYS = ORDERED_DATES | {
    "skin_buttons_off": "when the skin buttons come off",
    "stitches_out": "when the stitches come out",
    "tube_change": "when the tube is changed",
    "balloon_check_from": "when the balloon is checked first",
}


def _some(name: str, keys: tuple[Key, ...]) -> Block:
    """A block that says at least one thing."""
    return Block(name, keys, (Rule(any_of=tuple(key.name for key in keys)),))


_DATES = _some(
    "dates",
    tuple(Key(key, DATE_OR_MOMENT, says, example="2026-03-18", changes="first days, calendar")
          for key, says in DATE_KEYS.items()),
)  # fmt: skip


def _spans(*named: tuple[str, str, str, str]) -> tuple[Key, ...]:
    return tuple(Key(key, SPAN, says, example=ex, changes=page) for key, says, ex, page in named)


_OVERRIDES = _some(
    "overrides",
    (
        BY,
        ON_DATE,
        Key("head_up_angle", ANGLE, "while fed", changes="feeding"),
        Key("head_up_how", Word(words_2.HEAD_UP_HOW), "how, under one year",
            example="on a lap", changes="feeding"),
        Key("sleep_position", Word(words_2.SLEEP_POSITIONS), "to sleep",
            changes="feeding, living"),
        *_spans(
            ("head_up_after", "upright for so long after", "30 min", "feeding"),
            ("no_feed_before_lying", "no feeding so long before lying down", "1 h", "feeding"),
        ),
        Key("balloon_check_by", Word(words_2.BALLOON_BY), "who checks the balloon",
            changes="your tube"),
        *_spans(
            ("balloon_check_every", "how often", "7 d", "your tube, calendar"),
            ("extension_set_change", "how often it is changed", "7 d", "supplies"),
            ("set_change", "how often it is changed", "24 h", "feeding"),
            ("syringe_change", "how often it is changed", "7 d", "supplies"),
            ("hang_open", "poured formula may hang", "8 h", "feeding"),
            ("hang_closed", "a ready-to-hang bag may hang", "24 h", "feeding"),
            ("hang_powder", "mixed powder may hang", "4 h", "feeding"),
            ("hang_blended", "blended food may hang", "2 h", "feeding"),
            ("opened_fridge", "opened formula keeps cold", "24 h", "feeding"),
        ),
        Key("dressing", Word(words_2.DRESSINGS), "at the opening", changes="skin care"),
        Key("barrier_cream", YES, "on the skin", changes="skin care"),
        Key("water_kind", Word(words_2.WATER_KINDS), "for flushes", changes="flushing"),
        Key("fever", TEMPERATURE, "from here on it is a fever", changes="page 1"),
        Key("lift_limit", WEIGHT, "nothing heavier is lifted", example="10 lb",
            changes="first days"),
        *_spans(("stool_days", "without stool is a call", "3 d", "problems")),
    ),
)  # fmt: skip
_ORDER = Block(
    "order",
    (
        Key("topic", Word(words_2.TOPICS), "on which page", required=True, changes="that page"),
        BY,
        ON_DATE,
        Key("say", MapOf(TAG, _SAID, 1), "the words, in every language that is needed",
            required=True, example="{en: Comfort comes first.}", changes="that page"),
    ),
)  # fmt: skip
_SESSION = Block(
    "session",
    (
        Key("at", MOMENT, "when it begins", required=True),
        Key("for", SPAN, "how long", required=True, example="30 min"),
        Key("who", _NAMES, "learners by name", required=True, example="[Ona Petrauskas]"),
        Key(
            "topics",
            words(words_2.SESSION_TOPICS),
            "what is taught",
            required=True,
            example="[feeding, emergencies]",
        ),
    ),
)

# --- what was decided ----------------------------------------------------------------------------

_OUTCOME_KEYS = (
    Key("value", NAME, "as it was read again; equals the file", example="7 mL"),
    Key("prepare", Word(words_2.PREPARE), "how it is made ready"),
    Key("in", MIX, "what it is mixed in", example="20 mL water"),
    Key("wait", SPAN, "how long to wait then", example="5 min"),
    Key("gloves", YES, "gloves to handle it"),
    Key("keep_away", words(words_2.KEEP_AWAY), "who stays away", example="[children]"),
    Key("as", Word(words_2.PHARMACY_AS), "how the pharmacy gives it out"),
    Key("before", SPAN, "feeding is off for so long before", example="1 h"),
    Key("after", SPAN, "off for so long after, or thrown away after so long", example="24 h"),
    Key("watch", Word(words_2.NO_HOLD_WATCH), "what is checked instead"),
    Key("check_date", DATE, "on which day"),
    Key("amount", VOLUME, "drunk each day", example="400 mL"),
    Key("date", DATE, "on which day"),
    Key("who", NAME, "who steps in, teaches or measures", example="Ona Petrauskas"),
    Key("phone", PHONE, "the number to call"),
    Key("language", TAG, "in which language", example="es"),
    Key("water", Word(words_2.WATER_KINDS), "for mixing"),
    Key("until", DATE, "until when"),
    Key("why", Word(words_2.BOTH_WHY), "why they are two"),
    Key("cleared_by", SIGNER, "who cleared it", example='"W. Idris, SLP"'),
    Key("name", NAME, "the medicine meant", example="levetiracetam"),
    Key("contact", Word(CONTACT_KEYS), "a key of contacts"),
)
_FIELDS = tuple(key.name for key in _OUTCOME_KEYS)


def _outcome_rules() -> tuple[Rule, ...]:
    """The fields of each outcome, and the outcomes of each finding."""
    fields = [
        Rule(
            (When("do", (do,)),),
            needs=outcome.needs,
            refuses=tuple(key for key in _FIELDS if key not in outcome.needs + outcome.may),
            refused=(f"{{name}} does not belong to {do}.", "Take it out."),
        )
        for do, outcome in OUTCOMES.items()
    ]
    outcomes = [
        Rule((When("finding", (finding,)),), among=(("do", settling.outcomes),))
        for finding, settling in SETTLED_BY.items()
    ]
    uncrushed = tuple(word for word in words_2.PREPARE if word != "crush")
    return (
        *fields, *outcomes, Rule((When("finding", NEVER_CRUSHED),), among=(("prepare", uncrushed),))
    )  # fmt: skip


_ABOUT = Either((NAME, _NAMES), "Write a name, or a list.")
_DECIDED = Block(
    "decided",
    (
        Key("finding", Word(tuple(SETTLED_BY)), "its id, as review prints it", required=True,
            example="crush-not-cleared"),
        Key("about", _ABOUT, "what of, where several findings share an id", example="folic acid"),
        Key("code", CODE, "what the findings looked at, as review prints it"),
        Key("do", Word(tuple(OUTCOMES)), "the outcome", required=True),
        Key("note", _LONG, "for staff", example="checked with the label"),
        *_OUTCOME_KEYS,
    ),
    _outcome_rules(),
    instead={"reason": "Write do: …, the outcome.", "accepted": "Write do: …, the outcome."},
)  # fmt: skip
_SETTLED = Block(
    "settled",
    (
        _BY,
        Key("with", SIGNER, "the other, where two must decide", example='"B. Quist, MD"'),
        _DATE,
        Key("decided", ListOf(_DECIDED, 1), "what was decided", required=True),
    ),
    (SignedBy(SETTLED_BY),),
    instead={"finding": "Write decided: a list of findings.", "on": DATED,
             "reason": "Write decided: with do:."},
)  # fmt: skip
_ORDERED = Block(
    "ordered",
    (Key("by", PRESCRIBER, "the prescriber of the order set", required=True), _DATE),
    instead={"on": DATED},
)
_PREPARED = Block(
    "prepared",
    (
        Key("by", SIGNER, "who wrote this file", required=True, changes="foot of every page"),
        Key("at", MOMENT, "this is 'now' for every date", required=True, changes="all dates"),
    ),
    instead={"on": "Write at: …"},
)
_SLUGS_EXAMPLE = (
    '{milk-27: {name: "Milk, 27", energy: 27 kcal/fl oz, water: 86 %, system: open, '
    "container: 125 mL}}"
)

ROOT = Block(
    "file",
    (
        Key("format", Word(("2",)), "the version of this file", required=True, draft="2",
            changes="how it is read"),
        Key("patient", _PATIENT, "who goes home", required=True, changes="everything"),
        Key("learners", ListOf(_LEARNER, 1), "who is taught and who does what", required=True,
            changes="teach-back sheet, day, page 1"),
        Key("interpreter", _INTERPRETER, "how words are carried across",
            changes="teach-back sheet"),
        Key("other_lines", ListOf(Word(words_2.OTHER_LINES)),
            "every other line or tube; [] for none", required=True, example="[PICC]",
            blank="[] for none, or a list", changes="keeping safe, page 1"),
        Key("tube", _TUBE, "the tube as it lies", required=True, changes="everything"),
        Key("formulas", MapOf(SLUG, FORMULA), "labels and recipes used below",
            example=_SLUGS_EXAMPLE, changes="feeding, supplies"),
        Key("feeding", ListOf(FEED), "feeding orders; [] for none", required=True,
            changes="feeding, day, totals"),
        Key("additives", ListOf(ADDITIVE, 1), "powders and fiber given apart from formula",
            changes="feeding, day, totals"),
        Key("drainage", DRAINAGE, "the draining port", changes="your tube, day, page 1"),
        Key("venting", VENTING, "letting air out", changes="day, feeding"),
        Key("water", WATER, "flushes and water", required=True, changes="flushing, day, totals"),
        Key("medicines", ListOf(MEDICINE), "the whole list, every route; [] for none",
            required=True, changes="medicines, day, card"),
        Key("watch", ListOf(WATCH, 1), "what is measured at home, and when to call",
            changes="day, problems, page 1, calendar"),
        Key("low_sugar", LOW_SUGAR, "the plan for low blood sugar",
            changes="page 1, problems, card"),
        Key("if_feeding_stops", FEEDING_STOPS, "the plan when feeding is off",
            changes="feeding, page 1"),
        Key("contacts", _CONTACTS, "whom to call", required=True, changes="page 1, card"),
        Key("visits", ListOf(_VISIT, 1), "visits, calls and blood tests",
            changes="living, calendar"),
        Key("dates", _DATES, "ordered in place of the facility's",
            changes="first days, calendar"),
        Key("overrides", _OVERRIDES, "ordered in place of a facility's setting",
            changes="where the setting prints"),
        Key("orders", ListOf(_ORDER, 1), "orders in words", changes="the topic's page"),
        Key("sessions", ListOf(_SESSION, 1), "teaching sessions", changes="teach-back sheet"),
        Key("ordered", _ORDERED, "the prescriber of this order set", required=True,
            changes="nurse's sheet"),
        Key("settled", ListOf(_SETTLED, 1), "what licensed people decided",
            changes="where each outcome prints"),
        Key("prepared", _PREPARED, "who wrote this file, and when", required=True,
            changes="all dates"),
    ),
    instead={"accepted": "Write settled: who decided, and what."},
)  # fmt: skip
FORMAT_2 = Table(2, ROOT, empty_is_absent=False)
