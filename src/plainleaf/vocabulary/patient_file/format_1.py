"""The patient file, format 1: every key with what it holds, means and changes."""

from __future__ import annotations

from plainleaf.vocabulary import terms
from plainleaf.vocabulary.patient_file.scalars import (
    CLOCK,
    DATE,
    DOSE,
    ENERGY,
    GAUGE,
    LENGTH,
    MOMENT,
    PHONE,
    RATE,
    SHARE,
    SPAN,
    TAG,
    VOLUME,
    WEIGHT,
    amount,
)
from plainleaf.vocabulary.patient_file.shapes import (
    Block,
    Count,
    Either,
    Flag,
    Group,
    Key,
    ListOf,
    Rule,
    Table,
    Text,
    When,
    Word,
)

# Nobody flushes more often at home; common practice, no source.
LEAST_BETWEEN_FLUSHES = "30 min"
AS_NEEDED = "as needed"
# First-days dates that an order may set in place of the policy.
ORDERED_DATES = {
    "first_dressing_off": "when the first dressing may come off",
    "shower_from": "when a shower is allowed",
    "bath_from": "when a bath is allowed",
    "swim_from": "when swimming is allowed",
    "lift_until": "until when nothing heavy is lifted",
    "eat_from": "when eating may begin",
}
_SIGNER = Text(80)
_BY = Key("by", _SIGNER, "who settled it, with credential", required=True, example='"Dr. A. Quist"')
_ON = Key("on", DATE, "on which day", required=True)
_CLOCKS = ListOf(CLOCK, 1, once=True, ordered=True)
_CLOCKS_ASKED = 'list of times, as in ["08:00"]'
_CLOCKS_EXAMPLE = '["08:00", "20:00"]'
_ORDER = Block("order", (_BY, _ON))


def _contact(name: str, asks: str, *, named: bool = True) -> Block:
    return Block(
        name,
        (
            Key("name", Text(80), "its name", required=named, example="Nurse line", blank=asks),
            Key("phone", PHONE, "the number to call", required=True),
            Key("hours", Text(80), "when somebody answers", example='"Monday to Friday, 8 to 5"'),
        ),
    )


_PATIENT = Block(
    "patient",
    (
        Key("name", Text(80), "full name", required=True, example="Ona Petrauskas",
            changes="head of every page"),
        Key("born", DATE, "date of birth", required=True, example="1960-02-03",
            changes="advice by age, head of every page"),
        Key("record_number", Text(40), "number in the record system", required=True,
            example="DEMO-0233", blank="record number", changes="head of every page"),
        Key("weight", WEIGHT, "a child needs one", example="61 kg", blank="weight with kg or lb",
            draft="<weight with kg or lb>", changes="checks of energy and water"),
        Key("height", LENGTH, "for the nurse's sheet", example="165 cm", changes="nurse's sheet"),
        Key("conditions", ListOf(Word(terms.CONDITIONS), once=True),
            "what changes the teaching", example="[diabetes]", changes="the topics it touches"),
        Key("by_mouth", Word(terms.BY_MOUTH), "what may be eaten and drunk", required=True,
            changes="eating, mouth care, medicines"),
        Key("language", TAG, "language tag of the take-home handout", required=True, draft="en",
            changes="every page of the family"),
        Key("print_size", Word(terms.PRINT_SIZES), "print of the family's pages; else 18 pt",
            example="22 pt", changes="every page of the family"),
    ),
)  # fmt: skip

_LEARNER = Block(
    "learner",
    (
        Key("name", Text(80), "full name", required=True, example="Ona Petrauskas",
            changes="teach-back sheet"),
        Key("relation", Text(40), "self, or what this person is to the patient", required=True,
            example="daughter", draft="self", changes="teach-back sheet"),
        Key("language", TAG, "language tag of this person's handout", required=True, draft="en",
            changes="copies of the handout"),
        Key("hands_on", Flag(), "gives care at home; a child needs two", example="true",
            draft="true", changes="who must show each skill"),
        Key("needs", ListOf(Word(terms.LEARNER_NEEDS), once=True), "what helps this person learn",
            example="[glasses]", changes="teach-back sheet"),
        Key("phone", PHONE, "to call this person", changes="nurse's sheet"),
    ),
)  # fmt: skip

_INTERPRETER = Block(
    "interpreter",
    (
        Key("language", TAG, "language tag", required=True, example="es"),
        Key("mode", Word(terms.INTERPRETER_MODES), "how the words were carried across",
            required=True),
        Key("id", Text(40), "the interpreter's number", required=True, example='"30417"',
            blank="number"),
    ),
)  # fmt: skip

_POSITION = Block(
    "position_checked",
    (_BY, Key("how", Text(80), "by which check", required=True, example="x-ray"), _ON),
)


def _port_rules() -> tuple[Rule, ...]:
    """Each kind of tube has its ports, all of them, and no other."""
    needed = [
        Rule((When("kind", (kind,)),), needs=tuple(f"ports.{port}" for port in ports))
        for kind, ports in terms.PORTS_OF_KIND.items()
    ]
    refused = [
        Rule(
            (When("kind", (kind,)),),
            refuses=(f"ports.{port}",),
            refused=(
                f"tube.ports: a {kind} has no {port} port.",
                "Check tube.kind, or take this port out.",
            ),
        )
        for kind, ports in terms.PORTS_OF_KIND.items()
        for port in terms.PORTS
        if port not in ports
    ]
    return (*needed, *refused)


_USES = ListOf(Word(terms.PORT_USES), 1, once=True, empty=("has no use.", "Write what it is for."))
_TUBE = Block(
    "tube",
    (
        Key("kind", Word(terms.TUBE_KINDS), "where the tube leads", required=True,
            changes="everything"),
        Key("build", Word(terms.BUILDS), "a long tube, or a button at the skin", required=True,
            changes="your tube"),
        Key("held_by", Word(terms.RETENTIONS), "what holds it inside", required=True,
            changes="your tube, if it comes out"),
        Key("placed", MOMENT, "when this tube went in", required=True, changes="first days"),
        Key("opening_made", DATE, "if the opening is older than this tube", example="2025-06-10",
            changes="age of the opening"),
        Key("placed_by", Word(terms.PLACED_BY), "who put it in", required=True,
            changes="first days"),
        Key("size", GAUGE, "as on the tube", required=True, blank="size with Fr", changes="card"),
        Key("length", LENGTH, "of a button", example="1.7 cm", changes="card"),
        Key("mark_at_skin", LENGTH, "of a long tube; a button has length: instead",
            example="3.5 cm", draft="<mark with cm>", changes="skin care, card"),
        Key("skin_buttons", Count(0, 8), "stitched buttons round the opening", required=True,
            example="2", blank="0 or how many", changes="first days"),
        Key("balloon_fill", VOLUME, "water in the balloon; a balloon needs it", example="7 mL",
            changes="your tube"),
        Key("balloon_port_color", Text(30), "as on the tube", example="white",
            changes="picture of the tube"),
        Key("ports", Block("ports", tuple(
            Key(port, _USES, f"what the {port} port is for", example="[feeding, medicines]",
                changes="everything")
            for port in terms.PORTS)), "what each port is for", required=True),
        Key("turn_daily", Flag(), "ordered: turn the healed tube once a day", example="true",
            changes="skin care"),
        Key("push_in_weekly", Flag(), "ordered: push the healed tube in once a week",
            example="true", changes="skin care"),
        Key("opening_healed", _ORDER, "who found the opening healed", changes="age of the opening"),
        Key("may_put_back", _ORDER, "who ordered that the family puts a spare in",
            changes="if it comes out"),
        Key("position_checked", _POSITION, "how the place of this tube was checked",
            changes="nurse's sheet"),
    ),
    _port_rules(),
)  # fmt: skip

_FORMULA = Block(
    "formula",
    (
        Key("name", Text(60), "as the label says: kind and strength", required=True,
            example='"Standard adult formula, 1.5"', blank="formula, its kind and strength",
            changes="feeding"),
        Key("energy", ENERGY, "as the label says", required=True, blank="energy with kcal/mL",
            changes="totals"),
        Key("water", SHARE, "how much of it is water", required=True, blank="water with %",
            changes="totals"),
        Key("container", VOLUME, "size of one container", example="237 mL",
            draft="<size with mL>", changes="supplies"),
        Key("system", Word(terms.FORMULA_SYSTEMS), "poured, ready to hang, or mixed at home",
            required=True, changes="how long it may hang"),
    ),
)  # fmt: skip

# What each method needs. `over` may stand with any.
METHOD_KEYS = {
    "syringe": ("amount", "times"),
    "gravity": ("amount", "over", "times"),
    "pump": ("rate", "starts", "runs_for"),
}


def _method_rules() -> tuple[Rule, ...]:
    every = dict.fromkeys(key for keys in METHOD_KEYS.values() for key in keys)
    return tuple(
        Rule(
            (When("method", (method,)),),
            needs=keys,
            refuses=tuple(key for key in every if key not in keys and key != "over"),
            refused=(
                f"{{name}} does not belong to a {method} feeding.",
                f"A {method} feeding has {', '.join(keys)}.",
            ),
        )
        for method, keys in METHOD_KEYS.items()
    )


_FEED = Block(
    "feed",
    (
        Key("method", Word(terms.METHODS), "into the jejunum only a pump", required=True,
            changes="feeding"),
        Key("through", Word(terms.PORTS), "the port", required=True, changes="feeding"),
        Key("formula", _FORMULA, "a formula, as its label says", changes="feeding, totals"),
        Key("blended", Flag(), "home-blended food instead of a formula", example="true",
            changes="feeding"),
        Key("amount", VOLUME, "each time", example="240 mL", blank="amount with mL",
            changes="day, totals"),
        Key("over", SPAN, "how long one takes", example="30 min", blank="time with min",
            changes="feeding"),
        Key("times", _CLOCKS, "when", example=_CLOCKS_EXAMPLE, blank=_CLOCKS_ASKED, changes="day"),
        Key("rate", RATE, "of the pump", blank="rate with mL/h", changes="feeding, card"),
        Key("starts", CLOCK, "when the pump starts", changes="day"),
        Key("runs_for", amount("time span", most=("24 h", "longer than a day")),
            "how long the pump runs", example="12 h", blank="time with h", changes="day, totals"),
        Key("daily_total", VOLUME, "as ordered; checked against the day", example="960 mL",
            changes="a finding where it differs"),
        Key("ordered_by", _SIGNER, "who ordered it, where it is not the usual way",
            example='"Dr. A. Quist"', changes="feeding"),
    ),
    (
        *_method_rules(),
        Rule(
            one_of=(Group(("formula",)), Group(("blended",))),
            none=("has no formula.", "Write formula: …, or blended: true."),
            several=("is both formula and blended.", "Write two feedings."),
        ),
    ),
)  # fmt: skip

_EXTRA = Block(
    "extra",
    (
        Key("amount", VOLUME, "each time", required=True, example="90 mL"),
        Key("times", _CLOCKS, "when", required=True, example=_CLOCKS_EXAMPLE),
        Key("through", Word(terms.PORTS), "the port", required=True),
    ),
)
_WATER = Block(
    "water",
    (
        Key("before_feed", VOLUME, "before each feeding", draft="<amount with mL>",
            changes="flushing, day"),
        Key("after_feed", VOLUME, "after each feeding", draft="<amount with mL>",
            changes="flushing, day"),
        Key("medicine", VOLUME, "before, between and after medicines", draft="<amount with mL>",
            changes="medicines, day"),
        Key("daily", VOLUME, "when a port is otherwise not used", draft="<amount with mL>",
            changes="flushing, day"),
        Key("every", amount("time span", least=(LEAST_BETWEEN_FLUSHES, "too often")),
            "during a pump feeding, once in so many hours", example="4 h", changes="day"),
        Key("each", VOLUME, "how much, each time", example="30 mL", changes="day"),
        Key("starts", CLOCK, "when the first of them is given", example='"08:00"', changes="day"),
        Key("extra", _EXTRA, "water besides the flushes", changes="day, totals"),
        Key("unclog", VOLUME, "for a clog", example="30 mL", changes="problems"),
        Key("by", Word(terms.FLUSH_BY), "how water is given; else as the facility does",
            example="gravity", changes="flushing"),
        Key("goal", VOLUME, "a day, from the dietitian", example="1700 mL", changes="totals"),
        Key("limit", VOLUME, "most fluid in a day, if the doctor set one", example="2000 mL",
            changes="totals, page 1"),
    ),
    (Rule((When("every"),), needs=("each",)),),
)  # fmt: skip

_MEDICINE = Block(
    "medicine",
    (
        Key("name", Text(60), "as on the label", required=True, example="levetiracetam",
            blank="medicine", changes="medicines, rules"),
        Key("form", Text(60), "as on the label, with its release", required=True,
            example="liquid", blank="form", changes="medicines, rules"),
        Key("dose", DOSE, "each time", required=True, changes="medicines, day"),
        Key("times", Either((_CLOCKS, Word((AS_NEEDED,))), 'Write ["09:00"] or as needed.'),
            "clock times, or as needed", required=True, example='["09:00"]',
            draft='"<times>"', changes="day"),
        Key("through", Word(terms.PORTS), "the port; left out, it stays out of the tube",
            example="gastric", changes="how it is given"),
        Key("crush", Word(("pharmacist-approved", "never")), "whether it may be crushed",
            example="never", changes="how it is given"),
        Key("prepare", Text(200), "how it is made ready, in words", example="mix with 10 mL water",
            changes="how it is given"),
        Key("for", Text(60), "what it is for, where it is taken as needed", example="pain",
            changes="medicines"),
        Key("at_most", Text(60), "most in a day, where it is taken as needed",
            example="4 doses a day", changes="medicines"),
        Key("hold_before", SPAN, "feeding is off for so long before", example="1 h",
            changes="day, totals"),
        Key("hold_after", SPAN, "feeding is off for so long after", example="1 h",
            changes="day, totals"),
    ),
)  # fmt: skip

_CONTACTS = Block(
    "contacts",
    (
        Key("clinic", _contact("contact", "clinic"), "in clinic hours", required=True,
            changes="page 1, card"),
        Key("after_hours", _contact("contact", "who answers"), "at other hours", required=True,
            changes="page 1, card"),
        Key("emergency", _contact("contact", "who answers", named=False),
            "the emergency number", required=True, changes="page 1, card"),
        Key("supplies", _contact("contact", "company"), "who sends supplies", changes="supplies"),
        Key("others", ListOf(_contact("contact", "who answers")), "more numbers",
            changes="card"),
    ),
)  # fmt: skip

_VISIT = Block(
    "visit",
    (
        Key("what", Text(80), "what for", required=True, example="First tube check"),
        Key("when", MOMENT, "its time", required=True),
        Key("where", Text(80), "its place", example="desk 2"),
    ),
)
_DATES = Block("dates", tuple(Key(key, MOMENT, says) for key, says in ORDERED_DATES.items()))
_PREPARED = Block(
    "prepared",
    (
        Key("by", _SIGNER, "who wrote this file", required=True, example='"J. Amado, RN"',
            blank="your name and credential", changes="foot of every page"),
        Key("on", MOMENT, "this is 'now' for every date", required=True, changes="all dates"),
    ),
)  # fmt: skip
_ACCEPTED = Block(
    "accepted",
    (
        Key(
            "finding",
            Text(60),
            "its id, as review prints it",
            required=True,
            example="crush-not-cleared",
        ),
        Key(
            "by",
            _SIGNER,
            "a licensed person: name and credential",
            required=True,
            example='"O. Duarte, PharmD"',
        ),
        Key("reason", Text(400), "why it stands", required=True, example="may be crushed"),
        _ON,
        Key(
            "about",
            Text(80),
            "which medicine, where several findings share an id",
            example="levothyroxine",
        ),
    ),
)

ROOT = Block(
    "file",
    (
        Key("patient", _PATIENT, "who goes home", required=True, changes="everything"),
        Key("learners", ListOf(_LEARNER, 1), "everyone who is taught and signs", required=True,
            changes="teach-back sheet"),
        Key("interpreter", _INTERPRETER, "how words are carried across",
            changes="teach-back sheet"),
        Key("other_lines", ListOf(Text(60)), "any other line or tube; left out, it is asked",
            example="[PICC]", draft="<[] for none, or a list>", changes="keeping safe"),
        Key("tube", _TUBE, "the tube as it lies", required=True, changes="everything"),
        Key("feeding", ListOf(_FEED), "feeding orders, one a method and port",
            changes="feeding, day, totals"),
        Key("water", _WATER, "flushes and water", required=True, changes="flushing, day, totals"),
        Key("medicines", ListOf(_MEDICINE), "the whole list", changes="medicines, day"),
        Key("if_feeding_stops", Text(400), "needed with insulin or a sugar-lowering medicine",
            example="Check the blood sugar and call the clinic.", changes="feeding"),
        Key("contacts", _CONTACTS, "whom to call", required=True, changes="page 1, card"),
        Key("visits", ListOf(_VISIT), "visits with their times", changes="living, calendar"),
        Key("dates", _DATES, "ordered in place of the facility's",
            changes="first days, calendar"),
        Key("prepared", _PREPARED, "who wrote this file, and when", required=True,
            changes="all dates"),
        Key("accepted", ListOf(_ACCEPTED), "findings that a licensed person has looked at",
            changes="nurse's sheet"),
    ),
)  # fmt: skip
FORMAT_1 = Table(1, ROOT, empty_is_absent=True)
