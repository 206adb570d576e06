"""Dates of the patient file of a class, and the settings that make its answers possible."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from decimal import Decimal

from plainleaf.facts.about_water import strictest_water
from plainleaf.facts.ages import YOUNG_BABY_DAYS, age_group
from plainleaf.facts.declare import ORDER_SET
from plainleaf.facts.opening import span
from plainleaf.inputs.policy import Policy, days
from plainleaf.inputs.setting_values import Value
from plainleaf.vocabulary.quantities import Quantity

_Known = Mapping[str, str]
# Days old; the first that fits an age group is taken.
_AGES = {
    "infant": (300, 200, 88, 59, 330, 364),
    "young-child": (1000, 370, 366),
    "child": (3700, 370, 5000),
    "adult": (15_000,),
    "older-adult": (26_000,),
}
# A healed opening is this many days old, where the person is old enough.
_LONG_AGO = 200
# Answer about a date → key of `dates` that an order may set, and the setting without one.
_ORDERED = {
    "first_dressing_off": ("first_dressing_off", "first_dressing_stays"),
    "shower_allowed_now": ("shower_from", "shower_after"),
    "bath_allowed_now": ("bath_from", "bath_after"),
    "swim_allowed_now": ("swim_from", "swim_after"),
    "lifting_allowed_now": ("lift_until", "lift_after"),
    "eating_time_passed": ("eat_from", "eat_after"),
}
# Of these dates an order set also asks whether they are ordered.
_ORDER_KNOWN = {
    "shower_allowed_now": "shower_ordered",
    "bath_allowed_now": "bath_ordered",
    "swim_allowed_now": "swim_ordered",
}
_AT_ONCE, _NOT_YET = 0, 400


@dataclass(frozen=True)
class Times:
    """Every date of a file, as it is written there."""

    now: datetime
    opened: datetime
    placed: str
    born: str
    dates: tuple[tuple[str, str], ...]
    healed_by_order: bool

    @property
    def now_text(self) -> str:
        """The moment the packet is prepared."""
        return _moment(self.now)

    @property
    def day(self) -> str:
        """Its day."""
        return self.now.date().isoformat()

    @property
    def opened_day(self) -> str:
        """The day the opening was made."""
        return self.opened.date().isoformat()

    @property
    def later(self) -> str:
        """A day after it."""
        return (self.now.date() + timedelta(days=30)).isoformat()

    @property
    def visit(self) -> str:
        """A visit to come."""
        return _moment(self.now + timedelta(days=7))


def _moment(moment: datetime) -> str:
    return moment.strftime("%Y-%m-%d %H:%M")


def _span_days(count: int) -> Quantity:
    return Quantity(Decimal(count), "d")


# --- settings -----------------------------------------------------------------------------------


def settings_for(answers: _Known, policy: Policy) -> dict[str, Value]:
    """The settings of a facility for which these answers can be; only those that must change."""
    wanted: dict[str, Value] = {"dressing_place": answers["dressing_place"]}
    for fact in ("balloon_check_at_home", "tube_back_at_home"):
        if answers[fact] == "true":
            wanted[fact] = True
    wanted |= _soreness(answers, policy)
    wanted |= _water(answers, policy)
    wanted |= _unordered(answers, policy)
    return {name: value for name, value in wanted.items() if policy.entries[name].value != value}


def _soreness(answers: _Known, policy: Policy) -> dict[str, Value]:
    sore, flag = span(policy.quantity("sore_for")), span(policy.quantity("red_flag_time"))
    passed = answers["soreness_time_passed"] == "true"
    first = answers["opening_stage"] == "first-72-hours"
    if first and passed and sore > flag:
        return {"sore_for": _span_days(1)}
    if not first and not passed and sore <= flag:
        return {"sore_for": _span_days(7)}
    return {}


def _water(answers: _Known, policy: Policy) -> dict[str, Value]:
    """Which water: one for everybody, and the baby's own ends before this baby's age."""
    born_days = _days_old(answers, policy)
    person = {
        "weak_immunity": answers["weak_immunity"] == "true",
        "jejunum": answers["jejunal_port"] == "true",
    }
    kind = strictest_water(policy, weak=person["weak_immunity"], jejunum=person["jejunum"],
                           age=born_days)  # fmt: skip
    if kind == answers["water_kind"]:
        return {}
    names = ("water_for_most", "water_for_weak_immunity", "water_for_jejunum")
    return {**dict.fromkeys(names, answers["water_kind"]), "infant_water_until": _span_days(60)}


def _unordered(answers: _Known, policy: Policy) -> dict[str, Value]:
    """Waiting times of the facility from which what an order set does not order follows."""
    if answers[ORDER_SET] != "true":
        return {}
    age = _age_of_opening(answers, policy)
    return {
        _setting(fact, answers): _span_days(_AT_ONCE if answers[fact] == "true" else _NOT_YET)
        for fact, ordered in _ORDER_KNOWN.items()
        if answers[ordered] != "true"
        and (span(policy.quantity(_setting(fact, answers))) <= age) != (answers[fact] == "true")
    }


def _setting(fact: str, answers: _Known) -> str:
    """The setting of the facility that decides an answer about a date."""
    name = _ORDERED[fact][1]
    if name == "swim_after":
        return "swim_after_child" if answers["child"] == "true" else "swim_after_adult"
    return name


# --- dates --------------------------------------------------------------------------------------


def _days_old(answers: _Known, policy: Policy) -> int:
    """An age in days of the group, for which the policy's water is the wanted one if it can be."""
    today = _today(policy)
    fitting = [
        age
        for age in _AGES[answers["age_group"]]
        if age_group(today - timedelta(days=age), today, policy) == answers["age_group"]
        and (age < YOUNG_BABY_DAYS) == (answers["young_baby"] == "true")
    ]
    for age in fitting:
        kind = strictest_water(policy, weak=answers["weak_immunity"] == "true",
                               jejunum=answers["jejunal_port"] == "true", age=age)  # fmt: skip
        small = answers["small_infant"] == "true" or age >= 183
        if kind == answers["water_kind"] and small:
            return age
    return fitting[0]


def _today(policy: Policy) -> date:
    """A day on which the policy holds and nothing of it is past review."""
    last = min(entry.review_by for entry in policy.entries.values())
    wished = policy.holds_from + timedelta(days=150)
    return max(policy.holds_from, min(wished, last - timedelta(days=10)))


def _age_of_opening(answers: _Known, policy: Policy) -> timedelta:
    """How long ago the opening was made."""
    if answers["counts_as_new"] == "true":
        return timedelta(days=min(_LONG_AGO, _days_old(answers, policy) - 2))
    sore, flag = span(policy.quantity("sore_for")), span(policy.quantity("red_flag_time"))
    passed = answers["soreness_time_passed"] == "true"
    if answers["opening_stage"] == "first-72-hours":
        return sore if passed else timedelta(hours=13)
    just_after = flag + timedelta(minutes=1)
    if not passed:
        return just_after
    least = max(just_after, sore)
    if answers["balloon_check_at_home"] == "true":
        least = max(least, span(policy.quantity("balloon_check_after")))
    no_check_yet = (
        answers["spare_tube_at_home"] == "true" and answers["balloon_check_at_home"] != "true"
    )
    if answers["opening_stage"] == "new" or no_check_yet:
        return least
    return max(least, timedelta(days=min(_LONG_AGO, _days_old(answers, policy) - 2)))


def times_for(answers: _Known, policy: Policy) -> Times:
    """Dates from which the answers about time follow."""
    replaced = answers["tube_replaced"] == "true"
    today = _today(policy)
    age = _age_of_opening(answers, policy)
    # An opening known by its day alone counts from the last minute of that day.
    clock = time(23, 59) if replaced else time(10, 0)
    opened = datetime.combine(today - timedelta(days=age.days), clock)
    now = opened + age
    placed = now - timedelta(hours=2) if replaced else opened
    child = answers["child"] == "true"
    born = now.date() - timedelta(days=_days_old(answers, policy))
    healed = days(policy.quantity("healed_after_child" if child else "healed_after_adult"))
    by_days = (now.date() - opened.date()).days >= healed
    return Times(
        now,
        opened,
        _moment(placed),
        born.isoformat(),
        tuple(_dates(answers, policy, opened, now)),
        answers["opening_stage"] == "mature" and not by_days,
    )


def _dates(
    answers: _Known, policy: Policy, opened: datetime, now: datetime
) -> list[tuple[str, str]]:
    """Orders for the dates that are ordered, or that the policy alone would put on the other side
    of now."""
    ordered = []
    for fact, (key, _) in _ORDERED.items():
        wanted = answers[fact] == "true"
        by_policy = opened + span(policy.quantity(_setting(fact, answers))) <= now
        if by_policy != wanted or answers.get(_ORDER_KNOWN.get(fact, "")) == "true":
            moment = now - timedelta(hours=1) if wanted else now + timedelta(days=5)
            ordered.append((key, _moment(moment)))
    return ordered
