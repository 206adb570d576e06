"""Checks on the people: weight, who is trained, languages, other lines."""

from __future__ import annotations

from decimal import Decimal

from plainleaf.facts.checks.outcome import check, joined, number, result
from plainleaf.facts.derived import Checked
from plainleaf.facts.duty_times import duties_of_plan, may_do
from plainleaf.facts.given import Given
from plainleaf.vocabulary.quantities import Quantity

# Age in days from which a row holds → least and most plausible kg. Common practice, no source:
# about half to twice the middle of the growth charts, from memory, wide for the small and the
# large; a middle weight in pounds read as kg falls outside. It only asks for a second look.
PLAUSIBLE_WEIGHTS = (
    (0, "1.5", "6"),
    (28, "2", "10"),
    (183, "4", "15"),
    (365, "5", "19"),
    (730, "7", "25"),
    (1461, "9", "31"),
    (2191, "11", "45"),
    (3287, "14", "62"),
    (4383, "18", "88"),
    (5478, "22", "120"),
    (6574, "30", "200"),
)

# A limit of format 2, of `words_2.DUTY_LIMITS`.
CANNOT_SAFELY = "cannot do it safely"


@check()
def child_weight_missing(given: Given) -> Checked:
    """A child without weight (h-mixcopy): no amount could be checked."""
    return result(given.child and given.kg is None, ["patient.weight"])


@check()
def adult_weight_missing(given: Given) -> Checked:
    """An adult without weight: water and energy per kg stay unchecked."""
    return result(not given.child and given.kg is None, ["patient.weight"])


def plausible_weight(age_days: int) -> tuple[Decimal, Decimal]:
    """Least and most plausible kg at an age in days (see PLAUSIBLE_WEIGHTS).

    >>> plausible_weight(1508)
    (Decimal('9'), Decimal('31'))
    """
    row = [row for row in PLAUSIBLE_WEIGHTS if row[0] <= max(age_days, 0)][-1]
    return Decimal(row[1]), Decimal(row[2])


def _unit_hint(weight: Quantity, low: Decimal, high: Decimal) -> str:
    """What the weight would be if kg and lb were taken for each other, where that fits the age."""
    read_as, meant = ("kg", "lb") if weight.unit in ("kg", "g") else ("lb", "kg")
    other = Quantity(weight.to(read_as).value, meant).to("kg").value
    if not low <= other <= high:
        return "Weigh again."
    return (
        f"If {number(weight.to(read_as).value, 1)} was in {meant}, "
        f"that is {number(other, 1)} kg. Weigh again."
    )


@check("weight", "age", "usual", "hint")
def weight_implausible(given: Given) -> Checked:
    """A weight in kg outside wide bounds for the age (wt-unit); unknown without weight."""
    weight = given.person.weight
    if weight is None or given.kg is None:
        return result(None)
    low, high = plausible_weight(given.age_days)
    return result(
        not low <= given.kg <= high,
        ["patient.weight", "patient.born"],
        weight=f"{number(given.kg, 1)} kg",
        age=age_words(given.age_days, given.age_years),
        usual=f"{number(low, 1)} to {number(high)} kg",
        hint=_unit_hint(weight, low, high),
    )


def age_words(days: int, years: int) -> str:
    """An age in words: days under 2 months, months under 2 years, else years.

    >>> age_words(40, 0), age_words(300, 0), age_words(2000, 5)
    ('40 days', '9 months', '5 years')
    """
    if days < 61:
        return f"{days} days"
    return f"{days * 12 // 365} months" if years < 2 else f"{years} years"


@check()
def nobody_hands_on(given: Given) -> Checked:
    """No learner does the care (nice-train: those who run feeding at home are trained)."""
    nobody = not any(learner.hands_on for learner in given.patient.learners)
    return result(nobody, ["learners"])


def _single_duties(given: Given) -> dict[str, str]:
    """Duties of the plan that fewer than two helpers may do → the one who may, or nobody."""
    helpers = [learner for learner in given.patient.learners if learner.relation != "self"]
    able = {
        duty: [helper.name for helper in helpers if may_do(helper, duty)]
        for duty in duties_of_plan(given)
    }
    return {duty: joined(names) or "nobody" for duty, names in able.items() if len(names) < 2}


def _few_by_duty(given: Given, why: str) -> Checked:
    """Of a file that says who may do what: each duty that hangs on one helper, or on none."""
    single = _single_duties(given)
    names = list(dict.fromkeys(single.values()))
    alone = len(names) == 1 and names != ["nobody"]
    each_duty = joined(single if alone else (f"{d} ({who})" for d, who in single.items()))
    return result(
        bool(single),
        ["learners"],
        who=names[0] if alone else "one person or nobody",
        what=f"{each_duty} in the care",
        why=why,
        absent=names[0] if alone else "that person",
    )


@check("who", "what", "why", "absent")
def one_hands_on(given: Given) -> Checked:
    """One trained helper for a child or an adult who needs full care (doc-two, memory).

    The patient does not count as a helper. A file of format 2 is asked this for each duty.
    """
    if not given.child and "needs-full-care" not in given.person.conditions:
        return result(False)
    why = "a child" if given.child else "a person who needs full care"
    if given.patient.format == 2:
        return _few_by_duty(given, why)
    helpers = [x for x in given.patient.learners if x.hands_on and x.relation != "self"]
    who = joined(helper.name for helper in helpers)
    one_helper = len(helpers) == 1
    return result(one_helper, ["learners"], who=who, what="the care", why=why, absent=who)


@check("why")
def self_care_doubtful(given: Given) -> Checked:
    """The patient is to do care that confusion, full care or a written limit speaks against."""
    names = {"confusion": "confusion", "needs-full-care": "a need for full care"}
    conditions = sorted(given.person.conditions & set(names))
    own = [x for x in given.patient.learners if x.hands_on and x.relation == "self"]
    limits = [f"the limit '{x.limit}'" for x in own if x.limit == CANNOT_SAFELY]
    why = [*(names[name] for name in conditions), *limits]
    return result(bool(own and why), ["learners", "patient.conditions"], why=joined(why))


@check("languages")
def interpreter_missing(given: Given) -> Checked:
    """A learner reads a language that neither staff nor the interpreter covers (interp)."""
    spoken = {given.policy.word("staff_language")}
    if given.patient.interpreter is not None:
        spoken.add(given.patient.interpreter.language.split("-")[0])
    read = {x.language for x in given.patient.learners if x.language.split("-")[0] not in spoken}
    return result(bool(read), ["interpreter", "learners"], languages=joined(sorted(read)))


@check("names")
def names_twice(given: Given) -> Checked:
    """Two learners of one name: their sign-offs could not be told apart."""
    learners = given.patient.learners
    names = [" ".join(learner.name.casefold().split()) for learner in learners]
    twice = [x.name for x, n in zip(learners, names, strict=True) if names.count(n) > 1]
    return result(bool(twice), ["learners"], names=joined(twice))


@check()
def other_lines_not_recorded(given: Given) -> Checked:
    """The file does not say whether there is another line or tube (h-wrongline)."""
    return result(given.patient.other_lines is None, ["other_lines"])
