"""The dated plans of a patient file of format 2 as text: who does what on which days."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from plainleaf.compose.word import Wording, wording_of
from plainleaf.facts.derived import DayPlan, Event, Recurring, Supply, TimelineEntry, Totals
from plainleaf.facts.timeline import VISIT_OF_DATE
from plainleaf.inputs.patient import Dose, Medicine, Patient
from plainleaf.packet.record.event_lines import (
    dose_text,
    event_line,
    mix_text,
    span_text,
    who_text,
)
from plainleaf.packet.record.review_data import timeline_data
from plainleaf.packet.sheet import sheet_words
from plainleaf.rules.decision import Decision
from plainleaf.vocabulary.quantities import Quantity


def rule(title: str) -> str:
    """A title with a line under it."""
    return f"\n{title}\n{'-' * len(title)}"


def plans_text(decision: Decision) -> Iterator[str]:
    """Each plan with its day, its sums and what is added on some days; supplies and dates."""
    lines = _PlanLines(decision)
    for plan in decision.facts.plans:
        yield from lines.plan(plan)
    yield from _scales(decision)
    patient = decision.patient
    needed = [_needed(medicine) for medicine in patient.medicines if medicine.as_needed]
    yield from (rule("When needed"), *needed) if needed else ()
    yield rule("Supplies for a month, with the reserve")
    yield from map(_supply, decision.facts.supplies)
    yield rule("Dates")
    yield from _ordered_dates(patient)
    yield from (_dated(entry, lines.wording) for entry in decision.facts.timeline)


class _PlanLines:
    """Words the plans of one decision."""

    def __init__(self, decision: Decision) -> None:
        self.wording: Wording = wording_of(decision)
        self.two_ports = decision.facts.answers["two_ports"] == "true"

    def plan(self, plan: DayPlan) -> Iterator[str]:
        """One plan."""
        until = f"to {plan.last.isoformat()}" if plan.last else "on"
        yield rule(f"From {plan.first.isoformat()} {until}")
        if plan.changed:
            yield f"Begins, ends or changes on {plan.first.isoformat()}: {', '.join(plan.changed)}"
        yield from self.events(plan.events)
        yield "The day adds up to:"
        yield from _totals(plan.totals, self.wording)
        yield from _limits(plan)
        for weekday in plan.weekdays:
            yield f"On {weekday.day}, besides or instead:"
            usual = list(map(_same, plan.events))
            yield from self.events([e for e in weekday.events if _same(e) not in usual])
            yield f"       water in all {weekday.totals.water}"
        for line in plan.recurring:
            yield from self.recurring(line)
        for needed in plan.as_needed:
            yield f"One dose of {needed.medicine.name}, as needed, adds {needed.water} of water."

    def recurring(self, line: Recurring) -> Iterator[str]:
        """What comes again after so many days."""
        yield f"Every {line.every}, for the first time in these days on {line.due:%Y-%m-%d %H:%M}:"
        yield from self.events(line.events)

    def events(self, events: Sequence[Event]) -> Iterator[str]:
        """The lines of a day; in brackets who may do it and is there."""
        for event in events:
            clock = event.at.strftime("%H:%M") if event.timed else "     "
            amount = "" if event.amount is None else span_text(event.least, event.amount)
            who = who_text(event)
            doing = event_line(event, self.wording, self.two_ports)
            yield f"{clock}  {amount:>12}  {doing}{f'  [{who}]' if who else ''}"


def _same(event: Event) -> tuple[object, ...]:
    """What makes two events of different days the same line."""
    return (event.minute, event.kind, event.through, event.amount, event.why, event.order)


# Said on lines of their own.
_ELSEWHERE = ("total-goal", "total-limit")


def _totals(totals: Totals, wording: Wording) -> Iterator[str]:
    for name, label, value in sheet_words.totals_lines(totals, wording):
        if name not in _ELSEWHERE:
            yield f"       {label.plain:24}{value.plain}"


def _limits(plan: DayPlan) -> Iterator[str]:
    """The goal against the day with the least water, the limit against that with the most."""
    goal, limit = plan.totals.goal, plan.totals.limit
    if goal is not None:
        yield f"       Goal, as ordered        {goal}; {_against(plan.emptiest.water, goal)}"
    if limit is not None:
        yield f"       Limit, as ordered       {limit}; {_against(plan.fullest.water, limit)}"


def _against(water: Quantity, figure: Quantity) -> str:
    share = water.to("mL").value * 100 / figure.to("mL").value
    return f"planned {water}, {share:.0f} % of it"


def _scales(decision: Decision) -> Iterator[str]:
    """Each line of a dose that goes by the blood sugar."""
    for medicine in decision.patient.medicines:
        if medicine.scale:
            yield rule(f"{medicine.name}, by the blood sugar before it")
            yield from (f"{sugar:24}{do}" for sugar, do in medicine.scale.items())


def _supply(supply: Supply) -> str:
    name = supply.name or supply.id.replace("-", " ")
    size = f", {supply.size} each" if supply.size else ""
    daily = f"up to {supply.a_day} a day" if supply.a_day is not None else ""
    if supply.left_over is not None and supply.left_over.value > 0:
        daily += f", {supply.left_over} thrown away in all"
    return f"{supply.count:>6} {supply.unit:3} {name + size:44}{daily}".rstrip()


def _dated(entry: TimelineEntry, wording: Wording) -> str:
    row = timeline_data(entry, wording)
    until = f" until {_moment(row['until'], entry)}" if row["until"] else ""
    again = f", every {entry.every}" if entry.every is not None else ""
    return f"{_moment(row['from'], entry)}{until}  {row['what']}{again}"


def _moment(words: str, entry: TimelineEntry) -> str:
    """A moment as the review prints it; of what has no time, its date alone."""
    day, _, clock = words.partition("T")
    whole = entry.every is not None or (clock == "00:00" and entry.whole_day)
    return day if whole else f"{day} {clock}"


def _ordered_dates(patient: Patient) -> Iterator[str]:
    """Dates by order that are no entry of the timeline."""
    for key in (*VISIT_OF_DATE, "balloon_check_from"):
        moment = patient.dates.get(key)
        if moment is not None:
            shape = "%Y-%m-%d" if key in patient.whole_days else "%Y-%m-%d %H:%M"
            yield f"{moment:{shape}}  {key.replace('_', ' ')}, by order"


def _needed(medicine: Medicine) -> str:
    """A medicine that is given when it is needed, and how often at most."""
    dose: Dose | None = medicine.dose
    amount = "dose by the blood sugar" if dose is None else dose_text(dose)
    reasons = f", for {' or '.join(medicine.reasons)}" if medicine.reasons else ""
    most = f", at most {medicine.at_most}" if medicine.at_most else ""
    apart = f", {medicine.between} apart" if medicine.between else ""
    route = f", {medicine.route}" if medicine.route else ""
    return f"{medicine.name}: {amount}{mix_text(medicine.mix)}{route}{reasons}{most}{apart}"
