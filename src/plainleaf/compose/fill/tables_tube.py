"""Tables about the tube and the first days."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from plainleaf.compose.fill.filled_packet import Cell, FilledBlock
from plainleaf.compose.fill.medicine_words import in_a_row
from plainleaf.compose.fill.source import (
    SlotSource,
    never_in_balloon,
    port_words,
    say,
    text_of,
    use_words,
)
from plainleaf.compose.fill.tables_contacts import backups
from plainleaf.compose.fill.tables_visits import visit_place
from plainleaf.facts.calls import joined_by, name_phrase
from plainleaf.facts.derived import Phrase, TimelineEntry, Typed, Value
from plainleaf.facts.opening import opened_at
from plainleaf.facts.visit_words import blood_tests, visit_what, visit_when, visits_to_come
from plainleaf.inputs.patient import Contacts, Patient, Person, Tube, Visit


def port_table(source: SlotSource) -> FilledBlock:
    """Each port and what it is for."""
    tube = source.patient.tube
    rows: list[tuple[Cell, ...]] = [
        (
            (port_words(source, port),),
            tuple(use_words(port, use) for use in uses),
        )
        for port, uses in tube.ports.items()
    ]
    if tube.held_by == "balloon":
        name: Cell = (Phrase("port-balloon"),)
        if tube.balloon_port_color:
            name += (say("port-color", color=_color(source, tube.balloon_port_color)),)
        never = never_in_balloon(source, "use-balloon-never")
        rows.append((name, (Phrase("use-balloon"), never)))
    return FilledBlock("port_table", "table", ("head-port", "head-used-for"), tuple(rows))


def _color(source: SlotSource, color: str) -> Typed | Phrase:
    """A colour as it was written in words, or one of the closed list."""
    return text_of(color) if source.patient.format == 1 else Phrase(f"color-{color}")


def _lengths(source: SlotSource) -> Iterator[tuple[str, Cell]]:
    """Length and place at the skin, as far as they are known."""
    values = source.facts.values
    if any(one.finding == "button-length-missing" for one in source.patient.outcomes):
        yield "card-button-length", (Phrase("card-length-ask"),)
    for slot in ("button_length", "mark_at_skin", "outside_length"):
        if slot in values:
            yield f"card-{slot.replace('_', '-')}", (values[slot],)


def _placed(source: SlotSource) -> Cell:
    """When the tube was put in, and how where the file is of format 2."""
    tube = source.patient.tube
    day = Typed("day-of-year", tube.placed.date())
    return (day,) if source.patient.format == 1 else (day, Phrase(f"placed-{tube.placed_by}"))


def _checked(source: SlotSource) -> Iterator[tuple[str, Cell]]:
    """How and when the place of the tube was checked, and who found the opening healed."""
    tube, written = source.patient.tube, source.patient.format == 1
    check, healed = tube.position_checked, tube.opening_healed
    if check is not None:
        how = text_of(check.how) if written else Phrase(f"check-{check.how.replace(' ', '-')}")
        yield "card-checked", (Typed("day-of-year", check.on), how)
    if healed is not None and not written:
        by = text_of(healed.by or source.patient.prepared_by)
        yield "card-healed", (say("card-healed-by", date=Typed("day-of-year", healed.on), by=by),)


def _allergies(person: Person) -> Iterator[tuple[str, Cell]]:
    """What must not be given; nothing where nobody wrote it."""
    if person.allergies is not None:
        named = tuple(map(text_of, person.allergies))
        yield "card-allergies", named or (Phrase("allergies-none"),)


def _ports(source: SlotSource) -> Iterator[Value]:
    """Each port with what it is for, and the balloon port with what never goes in."""
    tube = source.patient.tube
    for port, uses in tube.ports.items():
        of_port = joined_by("list-two", [use_words(port, use) for use in uses])
        yield say("card-port", port=port_words(source, port, "pic-"), uses=of_port)
    if tube.held_by == "balloon":
        never = never_in_balloon(source, "card-balloon-never")
        yield say("card-port", port=Phrase("port-balloon"), uses=never)


def _held(source: SlotSource) -> Cell:
    """What holds the tube, the water in a balloon, and the stitched buttons round it."""
    tube, values = source.patient.tube, source.facts.values
    held: Cell = (Phrase(f"held-{tube.held_by}"),)
    if "balloon_fill" in values:
        held += (values["balloon_fill"],)
    if tube.skin_buttons:
        held += (say("card-skin-buttons", count=Typed("count", str(tube.skin_buttons))),)
    return held


def _kind(tube: Tube) -> Cell:
    return (Phrase(f"kind-{tube.kind}"), Phrase(f"build-{tube.build}"), Typed("size", tube.size))


def _openings(source: SlotSource) -> Iterator[tuple[str, Cell]]:
    """When the opening was made and, of a tube that came later, when this tube was put in."""
    tube = source.patient.tube
    opened = opened_at(tube).date()
    if opened == tube.placed.date():
        yield "card-opening", _placed(source)
    else:
        yield "card-opening", (Typed("day-of-year", opened),)
        yield "card-placed", _placed(source)


def _other_lines(patient: Patient) -> Iterator[tuple[str, Cell]]:
    """Other lines and tubes, as recorded."""
    if patient.other_lines:
        yield "card-other-lines", tuple(map(text_of, patient.other_lines))


def _helpers(patient: Patient) -> Iterator[tuple[str, Cell]]:
    """The phones of who gives care, and of who steps in."""
    phones = tuple(
        say("contact-named", name=text_of(one.name), phone=Typed("phone", one.phone))
        for one in patient.learners
        if one.phone and one.relation != "self"
    )
    if phones:
        yield "card-helpers", phones
    yield from (("contact-backup", cell) for cell in backups(patient))


def _at_night(contacts: Contacts) -> Iterator[tuple[str, Cell]]:
    """Who answers when the clinic is closed, where it is another line."""
    if contacts.after_hours.phone != contacts.clinic.phone:
        yield "card-after-hours", (name_phrase(contacts.after_hours),)


def tube_card(source: SlotSource) -> FilledBlock:
    """The tube in label and value pairs, for who takes over: the emergency room, each helper."""
    patient = source.patient
    person = patient.person
    born = Typed("day-of-year", person.born)
    rows: list[tuple[str, Cell]] = [
        ("card-name", (text_of(person.name), born, text_of(person.record_number))),
        *_allergies(person),
        ("card-kind", _kind(patient.tube)),
        *_openings(source),
        ("card-held", _held(source)),
        *_lengths(source),
        *_checked(source),
        ("card-ports", tuple(_ports(source))),
        *_other_lines(patient),
        ("card-clinic", (name_phrase(patient.contacts.clinic),)),
        *_at_night(patient.contacts),
        *_helpers(patient),
    ]
    cells = tuple(((Phrase(label),), cell) for label, cell in rows)
    return FilledBlock("tube_card", "card", ("head-item", "head-value"), cells)


# What else has a date has a line of its own, with what to do until then.
_FIRST_DAYS = (
    "shower", "bath", "buttons-off", "stitches-out", "tube-change", "balloon-check",
)  # fmt: skip
# What is done on a day, and not from it on.
_ON_A_DAY = ("buttons-off", "stitches-out", "tube-change")
# Line of the table → the date that may be ordered for it.
_ORDERED = {
    "shower": "shower_from",
    "bath": "bath_from",
}


def _moment(source: SlotSource, moment: datetime) -> Typed:
    """A moment, without its year where that is the one in which the packet is prepared."""
    near = moment.year == source.patient.prepared_on.year
    return Typed("moment-near" if near else "moment", moment)


def _when(source: SlotSource, entry: TimelineEntry) -> Value:
    """A timeline entry as a date or a moment: from, until, between, or already now."""

    def at(moment: datetime) -> Typed:
        return Typed("day", moment.date()) if entry.whole_day else _moment(source, moment)

    if entry.id in _ON_A_DAY:
        return say("when-on", first=at(entry.starts))
    return Phrase("when-now") if entry.past else say("when-from", first=at(entry.starts))


def _name(source: SlotSource, entry: TimelineEntry) -> str:
    """What begins or ends; what an order dates is not asked about again."""
    return "bath-ordered" if entry.id == "bath" and _is_ordered(source, entry) else entry.id


def _is_ordered(source: SlotSource, entry: TimelineEntry) -> bool:
    """Whether an order of format 2 says when."""
    patient = source.patient
    return patient.format != 1 and _ORDERED.get(entry.id) in patient.dates


def _over_before_this_tube(source: SlotSource, entry: TimelineEntry) -> bool:
    """A past day that was counted from the opening, of a tube put into an older one: only what is
    ordered is printed of it.
    """
    patient = source.patient
    changed = patient.format != 1 and source.facts.answers["tube_replaced"] == "true"
    return changed and entry.past and _ORDERED.get(entry.id, "") not in patient.dates


# With another line or tube, washing waits for an answer, not for a date that nobody ordered.
_ASK_WITH_OTHER_LINES = ("shower", "bath")


def first_days_table(source: SlotSource) -> FilledBlock:
    """What may begin or ends when, counted from placement."""
    rows = [(entry.starts, _entry_row(source, entry)) for entry in _entries(source)]
    coming = visits_to_come(source.patient.visits, source.patient.prepared_on)
    rows += [(at, _visit_row(source, visit, at)) for at, visit in coming]
    in_order = tuple(row for _, row in sorted(rows, key=lambda one: one[0]))
    return FilledBlock("first_days_table", "table", ("head-what", "head-when"), in_order)


def _entries(source: SlotSource) -> Iterator[TimelineEntry]:
    """What the table holds of this patient's timeline."""
    for entry in source.facts.timeline:
        if entry.id in _FIRST_DAYS and not _over_before_this_tube(source, entry):
            yield entry


def _entry_row(source: SlotSource, entry: TimelineEntry) -> tuple[Cell, Cell]:
    ask = _ASK_WITH_OTHER_LINES if source.facts.answers["other_lines"] == "true" else ()
    asked = entry.id in ask and not _is_ordered(source, entry)
    when = Phrase("when-ask") if asked else _when(source, entry)
    return (Phrase(f"timeline-{_name(source, entry)}"),), (when,)


def _visit_row(source: SlotSource, visit: Visit, at: datetime) -> tuple[Cell, Cell]:
    """A visit with its blood tests and where it is."""
    tests = blood_tests(visit)
    what = (visit_what(visit), *([in_a_row(tests)] if tests else []))
    when = visit_when(visit, at) if visit.when is None else _moment(source, visit.when)
    return (*what, *visit_place(source.patient, visit)), (when,)


def other_lines_list(source: SlotSource) -> FilledBlock:
    """The other lines and tubes, as recorded."""
    lines = source.patient.other_lines or ()
    rows = tuple(((text_of(line),),) for line in lines)
    return FilledBlock("other_lines_list", "list", ("head-other-lines",), rows)
