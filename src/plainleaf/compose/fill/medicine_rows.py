"""One medicine of format 2 as a row of the table: when, what, and how it is given."""

from __future__ import annotations

from collections.abc import Iterator

from plainleaf.compose.fill.filled_packet import Cell
from plainleaf.compose.fill.medicine_outcomes import decided_lines
from plainleaf.compose.fill.medicine_words import (
    dose_value,
    in_a_row,
    medicine_name,
    mix_value,
    slug,
    small_syringe,
    strength_value,
)
from plainleaf.compose.fill.source import SlotSource, port_phrase, say, text_of
from plainleaf.facts.as_needed import most_needed, stops_early
from plainleaf.facts.courses import course_of
from plainleaf.facts.derived import MedicineFacts, Phrase, Typed, Value
from plainleaf.inputs.patient import Medicine
from plainleaf.vocabulary import terms, words_2
from plainleaf.vocabulary.opening_hours import DAYS

# Rows without a time of their own stand after those with one.
_TIED, _EVERY, _NEEDED = 1500, 1600, 2000


def row_place(medicine: Medicine) -> tuple[int, int]:
    """Where the row of a medicine stands: by its first time, then as in the file."""
    times = medicine.times or tuple(clock for step in medicine.steps for clock in step.times)
    minute = _NEEDED if medicine.as_needed else _EVERY if medicine.every else _TIED
    if times:
        minute = min(clock.hour * 60 + clock.minute for clock in times)
    return minute, medicine.number


def medicine_row(source: SlotSource, facts: MedicineFacts) -> tuple[Cell, ...]:
    """When, what and how."""
    medicine = source.patient.medicines[facts.medicine.number]
    return (
        tuple(when_given(source, medicine)),
        tuple(_what(source, medicine)),
        tuple(_how(source, medicine, facts)),
    )


# --- when ----------------------------------------------------------------------------------------


def when_given(source: SlotSource, medicine: Medicine) -> Iterator[Value]:
    """When a medicine is given, with its course."""
    if medicine.as_needed:
        yield Phrase("time-only-when-needed")
    if medicine.tied is not None:
        yield Phrase(f"tied-{slug(medicine.tied)}")
    if medicine.times:
        yield in_a_row([Typed("clock-short", clock) for clock in medicine.times])
    if medicine.days:
        days = [Phrase(f"weekday-{DAYS.index(day) + 1}") for day in medicine.days]
        yield say("only-on-days", days=in_a_row(days))
    if medicine.every is not None and medicine.next is not None:
        yield say("once-every", span=Typed("interval", medicine.every))
        name = "next-change" if medicine.route == "patch" else "next-dose"
        yield say(name, due=_day_or_moment(medicine.next))
    yield from _course(source, medicine)


def _day_or_moment(day: object) -> Typed:
    kind = "moment" if hasattr(day, "hour") else "date"
    return Typed(kind, day)  # type: ignore[arg-type]


def _course(source: SlotSource, medicine: Medicine) -> Iterator[Value]:
    """Its first day, unless doses before now were asked about, and its end."""
    course = course_of(medicine, source.patient.file)
    now = source.patient.prepared_on
    if course.half_over_at(now):
        to_come = course.next_dose(now)
        yield Phrase("course-begun")
        if to_come is not None:
            yield say("next-dose", due=Typed("moment", to_come))
    elif medicine.begins is not None:
        yield say("when-from", first=_day_or_moment(medicine.begins))
    last, last_day = course.last_dose(), course.last_day()
    if last is not None:
        yield say("last-dose", last=Typed("moment", last))
    elif last_day is not None:
        yield say("last-day", last=Typed("date", last_day))


# --- what ----------------------------------------------------------------------------------------


def _what(source: SlotSource, medicine: Medicine) -> Iterator[Value]:
    yield medicine_name(source, medicine)
    form = Phrase(f"form-{slug(medicine.form)}")
    yield say("made-from", form=form) if made_another(source, medicine) else form
    if medicine.strength is not None:
        yield say("strength", strength=strength_value(medicine.strength))
    yield Phrase("dose-by-date") if medicine.steps else dose_value(medicine)


# --- how -----------------------------------------------------------------------------------------


def _how(source: SlotSource, medicine: Medicine, facts: MedicineFacts) -> Iterator[Value]:
    yield from _route(source, medicine)
    yield from _ready(source, medicine, facts)
    yield from port_closed_for(source, medicine)
    yield from around_dose(medicine)
    yield from needed_for(medicine)
    yield from decided_lines(source, medicine)


def _route(source: SlotSource, medicine: Medicine) -> Iterator[Value]:
    route = medicine.through or medicine.route
    if route in terms.PORTS:
        if source.two_ports:
            yield say("how-through", port=port_phrase(route, True))
        else:
            yield Phrase("route-tube")
        return
    yield Phrase(f"route-{slug(route or '')}")
    if medicine.site is not None:
        yield say("patch-site", site=Phrase(f"site-{slug(medicine.site)}"))


def _ready(source: SlotSource, medicine: Medicine, facts: MedicineFacts) -> Iterator[Value]:
    """How it is made ready, in what, and how long it then stands."""
    yield from _made_ready(source, medicine, facts)
    if medicine.mix is not None and medicine.prepare != "dissolve":
        yield say("ready-mix-with", mix=mix_value(medicine.mix))
    if medicine.mix is None and medicine.prepare in words_2.MIXED:
        yield Phrase("ready-ask-mix")
    if medicine.wait is not None:
        yield say("ready-wait", span=Typed("span", medicine.wait))
    if medicine.through is not None and medicine.dose is not None:
        yield from small_syringe(source, medicine.dose)
    if must_say_never_crush(source, medicine, facts):
        yield Phrase("ready-never-crush")
    if medicine.gloves:
        yield Phrase("ready-gloves")
    yield from (Phrase(f"keep-away-{slug(who)}") for who in medicine.keep_away)


# Ways to make ready whose own words say not to crush, or that leave nothing to crush at home.
_SAY_IT = (
    "crush", "open and do not crush", "dissolve", "mix and do not crush", "whole",
    "pharmacy packets", "pharmacy liquid",
)  # fmt: skip


def must_say_never_crush(source: SlotSource, medicine: Medicine, facts: MedicineFacts) -> bool:
    """Whether a medicine of modified release is made ready in a way that does not say it."""
    released = medicine.through is not None and facts.answers["modified_release"] == "true"
    at_home = pharmacy_makes(source, medicine) is None and medicine.prepare not in _SAY_IT
    return released and at_home


def pharmacy_makes(source: SlotSource, medicine: Medicine) -> str | None:
    """As what the pharmacy makes it ready, where that was decided."""
    for outcome in source.patient.outcomes:
        if outcome.do == "pharmacy-prepares" and medicine.number in outcome.medicines:
            return str(outcome.fields["as"])
    return None


def made_another(source: SlotSource, medicine: Medicine) -> bool:
    """Whether the pharmacy makes a liquid of something that comes as none."""
    liquid = pharmacy_makes(source, medicine) == "liquid"
    return liquid and medicine.form not in ("liquid", "suspension", "drops")


def port_closed(source: SlotSource) -> Iterator[Value]:
    """That a draining port is closed for a dose, and when it is opened again."""
    drainage = source.patient.drainage
    if drainage is None:
        return
    after = drainage.may_close.get("after-medicines")
    if after is None:
        yield Phrase("drain-closed-for-dose")
    else:
        yield say("drain-closed-after-dose", span=Typed("span", after))


def port_closed_for(source: SlotSource, medicine: Medicine) -> Iterator[Value]:
    """The same for a medicine through a port that drains all the time."""
    drainage = source.patient.drainage
    if drainage is not None and not drainage.times and drainage.through == medicine.through:
        yield from port_closed(source)


# Forms that are made to fall apart in water, each in its own way.
FALLS_APART = ("effervescent", "dispersible")


def _made_ready(source: SlotSource, medicine: Medicine, facts: MedicineFacts) -> Iterator[Value]:
    prepare, form = medicine.prepare, facts.answers["medicine_form"]
    if pharmacy_makes(source, medicine) == "syringes":
        yield Phrase("ready-pharmacy-syringes")
    elif prepare == "dissolve" and medicine.mix is not None:
        how = form if form in FALLS_APART else "other"
        yield say(f"ready-dissolve-{how}", mix=mix_value(medicine.mix))
    elif prepare is not None and (prepare, form) != ("as it is", "liquid"):
        yield Phrase(f"ready-{slug(prepare)}")
    elif medicine.through is not None and form != "liquid":
        yield Phrase("ready-as-it-is")


def around_dose(medicine: Medicine) -> Iterator[Value]:
    """What goes for the time before and after it."""
    before, after = medicine.hold_before, medicine.hold_after
    spans = {"before": before, "after": after}
    said = {name: Typed("span", span) for name, span in spans.items() if span is not None}
    if said:
        yield say(f"feeding-off-{'-and-'.join(said)}", **said)
    if medicine.sit_up is not None:
        yield say("stay-upright", span=Typed("span", medicine.sit_up))
    if medicine.away_from and medicine.away_by is not None:
        names = in_a_row([text_of(name) for name in medicine.away_from])
        yield say("keep-apart", span=Typed("span", medicine.away_by), names=names)


def needed_for(medicine: Medicine) -> Iterator[Value]:
    """What an as-needed medicine is for, and how often it may be given."""
    if medicine.reasons:
        reasons = [Phrase(f"needed-{slug(reason)}") for reason in medicine.reasons]
        yield say("needed-for", reason=in_a_row(reasons))
    if medicine.after is not None:
        yield say("needed-after", span=Typed("interval", medicine.after))
    if medicine.between is not None:
        yield say("needed-between", span=Typed("span", medicine.between))
    most = most_needed(medicine)
    if most is None:
        return
    span = Typed("span", most.within)
    if most.doses is not None:
        whole = most.doses == int(most.doses)
        count = Typed("count", int(most.doses)) if whole else text_of(f"{most.doses:f}")
        often = say("needed-doses-in", count=count, span=span)
    else:
        assert most.amount is not None
        often = say("needed-amount-in", amount=Typed("dose", most.amount), span=span)
    name = "needed-at-most-even-if" if stops_early(medicine) else "needed-at-most"
    yield say(name, often=often)
