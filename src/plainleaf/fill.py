"""Slot values and tables for one patient: typed amounts, times and phrases, still no language."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from itertools import groupby

from plainleaf.content import Statement, slots_in
from plainleaf.errors import MissingFactError
from plainleaf.facts.record import Event, Facts, Phrase, Supply, TimelineEntry, Typed, Value
from plainleaf.facts.runs import pump_span, runs_all_day
from plainleaf.facts.tube import opened_at
from plainleaf.patient import Contact, Medicine, Patient
from plainleaf.pictures import FilledPicture, fill_picture
from plainleaf.quantities import Quantity
from plainleaf.select import SelectedModule, Selection
from plainleaf.vocabulary import FACTS, SLOTS

# A table cell is one or more lines, each a value.
Cell = tuple[Value, ...]


@dataclass(frozen=True)
class Block:
    """A generated table.

    `look`: table, card (label and value pairs), contacts, list or log. `head` holds phrase ids,
    one a column; every row has as many cells.
    """

    name: str
    look: str
    head: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]


@dataclass(frozen=True)
class FilledText:
    """Words with their message id, and a value for every slot."""

    id: str
    text: str
    values: tuple[tuple[str, Typed], ...]


@dataclass(frozen=True)
class FilledStatement:
    """A statement ready to be worded; exactly one of `text` and `block` is there.

    The text of a picture is its caption; `alt` is read out in its place.
    """

    id: str
    kind: str
    text: FilledText | None
    block: Block | None
    sources: tuple[str, ...]
    picture: FilledPicture | None = None
    alt: FilledText | None = None


@dataclass(frozen=True)
class FilledSection:
    """A heading with its statements."""

    id: str
    heading: FilledText
    level: str | None
    statements: tuple[FilledStatement, ...]


@dataclass(frozen=True)
class FilledPrompt:
    """A teach-back question with the statements to listen for (ids)."""

    id: str
    ask: FilledText
    listen_for: tuple[str, ...]
    again: FilledText
    critical: bool


@dataclass(frozen=True)
class FilledSkill:
    """A skill to be shown; its steps are statement ids."""

    id: str
    title: FilledText
    section: str
    steps: tuple[str, ...]
    critical: bool


@dataclass(frozen=True)
class FilledModule:
    """One topic ready to be worded."""

    id: str
    status: str
    title: FilledText
    sections: tuple[FilledSection, ...]
    prompts: tuple[FilledPrompt, ...]
    skills: tuple[FilledSkill, ...]


@dataclass(frozen=True)
class FilledPacket:
    """Everything of the handout and the teach-back, without language."""

    modules: tuple[FilledModule, ...]


class _Filler:
    def __init__(self, patient: Patient, facts: Facts) -> None:
        self.patient = patient
        self.facts = facts
        self.child = facts.answers["child"] == "true"
        self.two_ports = facts.answers["two_ports"] == "true"

    def text(self, identity: str, adult: str, child: str | None) -> FilledText:
        """The words for this reader with a value for every slot.

        Raises:
            MissingFactError: A slot has no value for this patient.
        """
        use_child = self.child and child is not None
        words = child if use_child and child is not None else adult
        values = []
        for slot in slots_in(words):
            if slot not in self.facts.values:
                raise MissingFactError(slot, _key_of(slot))
            values.append((slot, self.facts.values[slot]))
        return FilledText(identity + ("+child" if use_child else ""), words, tuple(values))

    def statement(self, statement: Statement) -> FilledStatement:
        if statement.kind == "block":
            block = _BLOCKS[statement.text](self)
            return FilledStatement(statement.id, "block", None, block, statement.sources)
        text = self.text(statement.id, statement.text, statement.child_text)
        if statement.picture is None or statement.alt is None:
            return FilledStatement(statement.id, statement.kind, text, None, statement.sources)
        picture = fill_picture(statement.picture, self.patient, self.facts)
        alt = self.text(f"{statement.id}/alt", statement.alt, None)
        return FilledStatement(
            statement.id, statement.kind, text, None, statement.sources, picture, alt
        )

    def module(self, chosen: SelectedModule) -> FilledModule:
        module = chosen.module
        sections = tuple(
            FilledSection(
                s.section.id,
                self.text(f"{s.section.id}/heading", s.section.heading, s.section.child_heading),
                s.section.level,
                tuple(self.statement(statement) for statement in s.statements),
            )
            for s in chosen.sections
        )
        printed = {st.id: st for section in sections for st in section.statements}
        prompts = tuple(
            FilledPrompt(
                prompt.id,
                self.text(f"{prompt.id}/ask", prompt.ask, prompt.child_ask),
                tuple(name for name in prompt.listen_for if name in printed),
                self.text(f"{prompt.id}/again", prompt.again, prompt.child_again),
                prompt.critical,
            )
            for prompt in chosen.teach_back
        )
        skills = tuple(
            FilledSkill(
                skill.id,
                self.text(f"{skill.id}/title", skill.title, skill.child_title),
                skill.section,
                tuple(
                    st.id
                    for section in sections
                    if section.id == skill.section
                    for st in section.statements
                    if st.kind == "step"
                ),
                skill.critical,
            )
            for skill in chosen.show_back
        )
        title = self.text(f"{module.id}/title", module.title, module.child_title)
        return FilledModule(module.id, module.status, title, sections, prompts, skills)


def _key_of(slot: str) -> str:
    fact = SLOTS.get(slot) or FACTS.get(slot)
    return f"what gives '{slot}' ({fact.means})" if fact else slot


def fill(selection: Selection, patient: Patient, facts: Facts) -> FilledPacket:
    """The selected statements with every slot and table filled.

    Raises:
        MissingFactError: A slot has no value for this patient.
    """
    filler = _Filler(patient, facts)
    return FilledPacket(tuple(filler.module(chosen) for chosen in selection.modules))


# --- tables -------------------------------------------------------------------------------------


def _say(identity: str, **values: Typed | Phrase) -> Phrase:
    return Phrase(identity, tuple(values.items()))


def _text(text: str) -> Typed:
    return Typed("text", text)


def _volume(amount: Quantity) -> Typed:
    return Typed("volume", amount)


def port_phrase(port: str, two_ports: bool) -> Phrase:
    """A port in plain words: by where it leads where there are two."""
    return Phrase(f"port-{port}" if two_ports else "port-only")


def _contact_row(label: str, contact: Contact) -> tuple[Cell, ...]:
    name: Cell = (Phrase(label),)
    if contact.name:
        name += (_text(contact.name),)
    if contact.hours:
        name += (_text(contact.hours),)
    return (name, (Typed("phone", contact.phone),))


def _contacts_box(filler: _Filler) -> Block:
    contacts = filler.patient.contacts
    rows = [
        _contact_row("contact-emergency", contacts.emergency),
        _contact_row("contact-clinic", contacts.clinic),
        _contact_row("contact-after-hours", contacts.after_hours),
    ]
    rows += [_contact_row("contact-other", contact) for contact in contacts.others]
    return Block("contacts_box", "contacts", ("head-whom", "head-phone"), tuple(rows))


def _port_table(filler: _Filler) -> Block:
    tube = filler.patient.tube
    rows: list[tuple[Cell, ...]] = [
        (
            (port_phrase(port, filler.two_ports),),
            tuple(Phrase(f"use-{use}") for use in uses),
        )
        for port, uses in tube.ports.items()
    ]
    if tube.held_by == "balloon":
        name: Cell = (Phrase("port-balloon"),)
        if tube.balloon_port_color:
            name += (_say("port-color", color=_text(tube.balloon_port_color)),)
        rows.append((name, (Phrase("use-balloon"), Phrase("use-balloon-never"))))
    return Block("port_table", "table", ("head-port", "head-used-for"), tuple(rows))


def _tube_card(filler: _Filler) -> Block:
    patient, values = filler.patient, filler.facts.values
    tube = patient.tube
    rows: list[tuple[str, Cell]] = [
        ("card-name", (_text(patient.person.name), _text(patient.person.record_number))),
        ("card-born", (Typed("day-of-year", patient.person.born),)),
        ("card-kind", (Phrase(f"kind-{tube.kind}"), Phrase(f"build-{tube.build}"))),
        ("card-held", (Phrase(f"held-{tube.held_by}"),)),
        ("card-opening", (Typed("day-of-year", opened_at(tube).date()),)),
        ("card-placed", (Typed("day-of-year", tube.placed.date()),)),
        ("card-size", (Typed("size", tube.size),)),
    ]
    for slot in ("button_length", "mark_at_skin", "balloon_fill"):
        if slot in values:
            rows.append((f"card-{slot.replace('_', '-')}", (values[slot],)))
    if tube.position_checked is not None:
        check = tube.position_checked
        rows.append(("card-checked", (Typed("day-of-year", check.on), _text(check.how))))
    clinic = patient.contacts.clinic
    rows.append(("card-clinic", (_text(clinic.name or ""), Typed("phone", clinic.phone))))
    rows.append(("card-after-hours", (Typed("phone", patient.contacts.after_hours.phone),)))
    cells = tuple(((Phrase(label),), cell) for label, cell in rows)
    return Block("tube_card", "card", ("head-item", "head-value"), cells)


_FIRST_DAYS = ("eating", "dressing", "shower", "soreness", "bath", "swim", "lifting", "buttons")


def _when(entry: TimelineEntry) -> Value:
    """A timeline entry as a date or a moment: from, until, between, or already now."""

    def at(moment: datetime) -> Typed:
        if entry.whole_day:
            return Typed("date", moment.date())
        return Typed("moment", moment)

    if entry.id == "buttons" and entry.ends is not None:
        return _say("when-between", first=at(entry.starts), last=at(entry.ends))
    if entry.ends is not None:
        return Phrase("when-over") if entry.past else _say("when-until", last=at(entry.ends))
    return Phrase("when-now") if entry.past else _say("when-from", first=at(entry.starts))


# With another line or tube, washing waits for an answer, not for a date.
_ASK_WITH_OTHER_LINES = ("shower", "bath", "swim")


def _first_days_table(filler: _Filler) -> Block:
    by_mouth = filler.facts.answers["eats"] != "nothing"
    ask = _ASK_WITH_OTHER_LINES if filler.facts.answers["other_lines"] == "true" else ()
    rows: list[tuple[Cell, ...]] = [
        (
            (Phrase(f"timeline-{entry.id}"),),
            (Phrase("when-ask") if entry.id in ask else _when(entry),),
        )
        for entry in filler.facts.timeline
        if entry.id in _FIRST_DAYS and (by_mouth or entry.id != "eating")
    ]
    for visit in filler.patient.visits:
        if visit.when >= filler.patient.prepared_on:
            rows.append(((_text(visit.what),), (Typed("moment", visit.when),)))
    return Block("first_days_table", "table", ("head-what", "head-when"), tuple(rows))


def _other_lines_list(filler: _Filler) -> Block:
    lines = filler.patient.other_lines or ()
    rows = tuple(((_text(line),),) for line in lines)
    return Block("other_lines_list", "list", ("head-other-lines",), rows)


def _feed_table(filler: _Filler) -> Block:
    rows: list[tuple[Cell, ...]] = []
    for event in filler.facts.events:
        if event.kind not in ("feed", "pump-start") or event.feed is None:
            continue
        rows.append(((_feed_time(event),), _feed_what(filler, event), _feed_amount(event)))
    return Block("feed_table", "table", ("head-time", "head-what", "head-how-much"), tuple(rows))


def _feed_time(event: Event) -> Value:
    assert event.feed is not None
    if event.kind == "feed":
        return Typed("clock-short", event.at)
    if runs_all_day(event.feed):
        return _say("time-all-day", start=Typed("clock-short", event.at))
    _, end = pump_span(event.feed)
    stop = Event(end, "pump-stop", event.through).at
    return _say(
        "time-from-to", start=Typed("clock-short", event.at), stop=Typed("clock-short", stop)
    )


def _feed_what(filler: _Filler, event: Event) -> Cell:
    feed = event.feed
    assert feed is not None
    what = _text(feed.formula.name) if feed.formula else Phrase("blended-food")
    lines: Cell = (what, Phrase(f"method-{feed.method}"))
    if filler.two_ports:
        lines += (port_phrase(feed.through, True),)
    return lines


def _feed_amount(event: Event) -> Cell:
    feed = event.feed
    assert feed is not None and event.amount is not None
    lines: Cell = (_volume(event.amount),)
    if feed.rate is not None:
        lines += (Typed("rate", feed.rate),)
    if feed.over is not None:
        lines += (_say("amount-over", span=Typed("span", feed.over)),)
    return lines


def _flush_rows(filler: _Filler) -> list[tuple[Value, str, Quantity]]:
    """When, port and amount of each kind of flush that the printed day holds, once each."""
    seen: dict[tuple[str, str], Quantity] = {}
    for event in filler.facts.events:
        if event.kind == "flush" and event.amount is not None:
            seen.setdefault((event.why, event.through), event.amount)
    order = ("before-feed", "after-feed", "every", "medicine", "daily")
    rows: list[tuple[Value, str, Quantity]] = []
    for why, port in sorted(seen, key=lambda key: (order.index(key[0]), key[1])):
        every = filler.patient.water.every
        when: Value = Phrase(f"flush-{why}")
        if why == "every" and every is not None:
            when = _say("flush-every", span=Typed("span", every))
        rows.append((when, port, seen[why, port]))
    return rows


def _flush_table(filler: _Filler) -> Block:
    rows: list[tuple[Cell, ...]] = []
    for when, port, amount in _flush_rows(filler):
        lines: Cell = (when,)
        if filler.two_ports:
            lines += (port_phrase(port, True),)
        rows.append((lines, (_volume(amount),)))
    extra = filler.patient.water.extra
    for clock in extra.times if extra else ():
        assert extra is not None
        at = _say("extra-water-at", time=Typed("clock-short", clock))
        rows.append(((at,), (_volume(extra.amount),)))
    return Block("flush_table", "table", ("head-when", "head-how-much-water"), tuple(rows))


def dose_value(medicine: Medicine) -> Typed:
    """The dose as it is ordered; it is never rounded in print."""
    return Typed("dose", medicine.dose)


def _how(filler: _Filler, medicine: Medicine) -> Cell:
    """How to get one medicine ready, in lines."""
    if medicine.through is None:
        return (Phrase("how-not-by-tube"),)
    lines: Cell = ()
    if filler.two_ports:
        lines += (_say("how-through", port=port_phrase(medicine.through, True)),)
    facts = next(m for m in filler.facts.medicines if m.medicine.number == medicine.number)
    if medicine.prepare is not None:
        lines += (_text(medicine.prepare),)
    elif facts.answers["modified_release"] == "true" or medicine.crush == "never":
        lines += (Phrase("how-never-crush"),)
    elif medicine.crush == "pharmacist-approved":
        lines += (Phrase("how-crush"),)
    elif facts.answers["medicine_form"] == "liquid":
        lines += (Phrase("how-liquid"),)
    else:
        lines += (Phrase("how-ask-pharmacist"),)
    return lines


def _medicine_times(medicine: Medicine) -> list[tuple[int, Value]]:
    if medicine.as_needed:
        return [(2000, Phrase("time-only-when-needed"))]
    return [(t.hour * 60 + t.minute, Typed("clock-short", t)) for t in medicine.times]


def _needed_lines(medicine: Medicine) -> Cell:
    """What an as-needed medicine is for and how often; without an entry the page says ask."""
    if not medicine.as_needed:
        return ()
    reason: Value = _say("needed-for", reason=_text(medicine.reason or ""))
    often: Value = _say("needed-at-most", often=_text(medicine.at_most or ""))
    return (
        reason if medicine.reason else Phrase("needed-ask-reason"),
        often if medicine.at_most else Phrase("needed-ask-often"),
    )


def _medicine_table(filler: _Filler) -> Block:
    entries = [
        (minute, medicine.number, when, medicine)
        for medicine in filler.patient.medicines
        for minute, when in _medicine_times(medicine)
    ]
    entries.sort(key=lambda entry: entry[:2])
    rows = tuple(
        (
            (when,),
            (_text(m.name), _text(m.form), dose_value(m)),
            (*_how(filler, m), *_needed_lines(m)),
        )
        for _, _, when, m in entries
    )
    return Block("medicine_table", "table", ("head-time", "head-medicine", "head-how"), rows)


def event_words(event: Event, two_ports: bool) -> Phrase:
    """One line of the day's schedule."""
    port = port_phrase(event.through, two_ports) if event.through != "none" else None
    where = {"port": port} if port and two_ports else {}
    suffix = "-through" if where else ""
    if event.kind == "medicine":
        assert event.medicine is not None
        named = {"medicine": _text(event.medicine.name), "dose": dose_value(event.medicine)}
        name = "event-medicine-outside" if event.through == "none" else f"event-medicine{suffix}"
        paused = "-paused" if event.pump_paused else ""
        return _say(name + paused, **named, **where)
    if event.kind in ("pump-stop", "pump-hold", "pump-resume"):
        return _say(f"event-{event.kind}{suffix}", **where)
    assert event.amount is not None
    amount = {"amount": _volume(event.amount)}
    if event.kind == "pump-start":
        assert event.feed is not None and event.feed.rate is not None
        rate = {"rate": Typed("rate", event.feed.rate)}
        name = "event-pump-all-day" if runs_all_day(event.feed) else "event-pump-start"
        return _say(f"{name}{suffix}", **amount, **rate, **where)
    if event.kind == "feed":
        assert event.feed is not None
        return _say(f"event-{event.feed.method}{suffix}", **amount, **where)
    return _say(f"event-{event.kind}{suffix}", **amount, **where)


def _by_minute(events: Sequence[Event]) -> list[tuple[int, list[Event]]]:
    return [(m, list(group)) for m, group in groupby(events, key=lambda event: event.minute)]


def _day_schedule(filler: _Filler) -> Block:
    rows = tuple(
        (
            (Typed("clock-short", events[0].at),),
            tuple(event_words(event, filler.two_ports) for event in events),
        )
        for _, events in _by_minute(filler.facts.events)
    )
    return Block("day_schedule", "table", ("head-time", "head-in-order"), rows)


# Lines of the log that stay blank for what was not planned.
_BLANK_LOG_ROWS = 3


def _log_words(events: Sequence[Event]) -> Cell:
    kinds = dict.fromkeys(
        "pump" if event.kind.startswith("pump") else event.kind for event in events
    )
    return tuple(Phrase(f"log-{kind}") for kind in kinds)


def _day_log(filler: _Filler) -> Block:
    rows: list[tuple[Cell, ...]] = [
        ((Typed("clock-short", events[0].at),), _log_words(events), (), ())
        for _, events in _by_minute(filler.facts.events)
    ]
    rows += [((), (), (), ())] * _BLANK_LOG_ROWS
    head = ("head-time", "head-what", "head-done", "head-notes")
    return Block("day_log", "log", head, tuple(rows))


# Less than half an ounce left in the last container is not worth a line.
_WORTH_SAYING = Quantity(Decimal(15), "mL")


def _supply_row(supply: Supply) -> tuple[Cell, ...]:
    if supply.id != "formula" or supply.size is None or supply.a_day is None:
        return ((Phrase(f"supply-{supply.id}"),), (Typed("count", supply.count),))
    name = _say(
        "supply-formula", name=_text(supply.name or ""), size=Typed("container", supply.size)
    )
    lines: Cell = (name, _say("supply-a-day", count=Typed("count", supply.a_day)))
    if supply.left_over is not None and supply.left_over >= _WORTH_SAYING:
        lines += (_say("supply-left-over", amount=_volume(supply.left_over)),)
    return (lines, (Typed("count", supply.count),))


def _supplies_table(filler: _Filler) -> Block:
    rows = tuple(_supply_row(supply) for supply in filler.facts.supplies)
    return Block("supplies_table", "table", ("head-item", "head-for-a-month"), rows)


def _visits_table(filler: _Filler) -> Block:
    coming = sorted(
        (v for v in filler.patient.visits if v.when >= filler.patient.prepared_on),
        key=lambda visit: visit.when,
    )
    rows = tuple(
        (
            (Typed("moment", visit.when),),
            (_text(visit.what),),
            (_text(visit.where) if visit.where else Phrase("ask-where"),),
        )
        for visit in coming
    )
    return Block("visits_table", "table", ("head-when", "head-what", "head-where"), rows)


_BLOCKS: dict[str, Callable[[_Filler], Block]] = {
    "contacts_box": _contacts_box,
    "port_table": _port_table,
    "tube_card": _tube_card,
    "first_days_table": _first_days_table,
    "other_lines_list": _other_lines_list,
    "feed_table": _feed_table,
    "flush_table": _flush_table,
    "medicine_table": _medicine_table,
    "day_schedule": _day_schedule,
    "day_log": _day_log,
    "supplies_table": _supplies_table,
    "visits_table": _visits_table,
}

__all__ = [
    "Block", "Cell", "FilledModule", "FilledPacket", "FilledPrompt", "FilledSection", "FilledSkill",
    "FilledStatement", "FilledText", "dose_value", "event_words", "fill", "port_phrase",
]  # fmt: skip
