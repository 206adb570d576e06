"""What each picture shows of one patient: typed facts and the values of its labels.

The drawing itself is in `draw/`; here only facts of the patient and the facility are read, so that
a picture can show nothing that the tube lacks.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal

from plainleaf.compose.draw.picture_facts import (
    Angle,
    Call,
    Fills,
    Hang,
    PictureFacts,
    Raised,
    Skin,
    TubeLook,
    Twist,
)
from plainleaf.compose.draw.syringe import FULL
from plainleaf.compose.fill.day_picture import day_labels, day_shown
from plainleaf.compose.fill.source import SlotSource, never_in_balloon, port_words, use_words
from plainleaf.facts.derived import Event, Facts, Phrase, Typed, Value
from plainleaf.facts.runs import A_DAY, minutes_in
from plainleaf.inputs.patient import Patient
from plainleaf.vocabulary.quantities import Quantity

# Role of a label → its lines.
Labels = tuple[tuple[str, tuple[Value, ...]], ...]


@dataclass(frozen=True)
class FilledPicture:
    """A picture ready to be worded: what it is drawn from and the values of its labels."""

    name: str
    shown: PictureFacts
    labels: Labels


@dataclass(frozen=True)
class _Case:
    patient: Patient
    facts: Facts

    def yes(self, fact: str) -> bool:
        return self.facts.answers[fact] == "true"

    def quantity(self, slot: str) -> Quantity:
        value = self.facts.values[slot].value
        assert isinstance(value, Quantity), slot
        return value


_Pair = tuple[PictureFacts, list[tuple[str, tuple[Value, ...]]]]


def tube_look(patient: Patient, facts: Facts) -> TubeLook:
    """The tube as a picture shows it."""
    tube = patient.tube
    mark = tube.mark_at_skin
    return TubeLook(
        kind=tube.kind,
        build=tube.build,
        held_by=tube.held_by,
        ports=tuple(tube.ports),
        outer_disc=facts.answers["outer_disc"] == "true",
        mark=mark.to("cm").value if mark is not None else None,
    )


def _port_name(case: _Case, port: str) -> Phrase:
    return port_words(SlotSource(case.patient, case.facts), port, "pic-")


def _body_tube(case: _Case) -> _Pair:
    look = tube_look(case.patient, case.facts)
    bowel = "pic-small-bowel" if "jejunal" in look.ports else "pic-bowel"
    labels: list[tuple[str, tuple[Value, ...]]] = [
        ("stomach", (Phrase("pic-stomach"),)),
        ("bowel", (Phrase(bowel),)),
        ("opening", (Phrase("pic-opening"),)),
    ]
    labels += [(f"tip-{port}", (Phrase(f"pic-tip-{port}"),)) for port in look.ports]
    return look, labels


def _tube_parts(case: _Case) -> _Pair:
    look = tube_look(case.patient, case.facts)
    labels: list[tuple[str, tuple[Value, ...]]] = []
    for port, uses in case.patient.tube.ports.items():
        words: tuple[Value, ...] = (_port_name(case, port),)
        labels.append((f"port-{port}", (*words, *(use_words(port, use) for use in uses))))
    if look.balloon:
        never = never_in_balloon(SlotSource(case.patient, case.facts), "pic-balloon-never")
        labels.append(("port-balloon", (Phrase("port-balloon"), never)))
    if look.outer_disc:
        labels.append(("disc", (Phrase("pic-disc"),)))
    if look.button:
        labels.append(("extension", (Phrase("pic-extension"),)))
    else:
        labels.append(("skin", (Phrase("pic-skin"),)))
        if look.mark is not None:
            labels.append(("mark", (Phrase("pic-mark"), case.facts.values["mark_at_skin"])))
    labels += [
        ("clamp", (Phrase("pic-clamp"),)),
        (look.held_by, (Phrase(f"pic-{look.held_by}"),)),
    ]
    return look, labels


def _sitting(case: _Case) -> _Pair:
    angle = case.facts.values["head_up_angle"]
    assert isinstance(angle.value, str)
    low, _, high = angle.value.partition(" to ")
    held = case.yes("syringe_feeds") and not (case.yes("pump_feeds") or case.yes("gravity_feeds"))
    shown = Angle(
        int(low),
        int(high or low),
        "syringe" if held else "bag",
        case.yes("child"),
        case.facts.answers["age_group"] == "infant",
    )
    return shown, [("angle", (angle, Phrase("pic-head-up")))]


def _syringe_height(case: _Case) -> _Pair:
    labels: list[tuple[str, tuple[Value, ...]]] = [
        (name, (Phrase(f"pic-{name}"),)) for name in ("higher", "lower")
    ]
    return Raised(case.patient.tube.build == "low-profile"), labels


def _vent(case: _Case) -> _Pair:
    button = case.patient.tube.build == "low-profile"
    end: Value = Phrase("pic-vent-end")
    if button:
        lines: tuple[Value, ...] = (Phrase("pic-extension"), end)
    elif case.yes("two_ports"):
        lines = (Phrase("pic-port-gastric"), end)
    else:
        lines = (end,)
    labels: list[tuple[str, tuple[Value, ...]]] = [
        ("air", (Phrase("pic-air"),)),
        ("end", lines),
        ("towel", (Phrase("pic-towel"),)),
    ]
    return Raised(button), labels


_WHYS = ("before-feed", "after-feed", "every", "medicine", "additive", "daily", "flush", "extra")


def _flush_reasons(case: _Case, whys: Iterable[str]) -> tuple[Value, ...]:
    """Why an amount is given, in short lines."""
    reasons = [why for why in _WHYS if why in set(whys)]
    lines: list[Value] = []
    if reasons[:2] == ["before-feed", "after-feed"]:
        lines.append(Phrase("pic-flush-around-feed"))
        reasons = reasons[2:]
    every = case.patient.water.every
    for why in reasons:
        if why == "every" and every is not None:
            lines.append(Phrase("flush-every", (("span", Typed("span", every)),)))
        else:
            lines.append(Phrase(f"pic-flush-{why}"))
    return tuple(lines)


def _flush_mark(case: _Case) -> _Pair:
    whys: dict[Decimal, list[str]] = {}
    for event in _all_events(case.facts):
        if event.kind in ("flush", "extra-water") and event.amount is not None:
            why = "extra" if event.why in ("", "drink") else event.why
            whys.setdefault(event.amount.to("mL").value.normalize(), []).append(why)
    amounts = tuple(sorted(whys, reverse=True))
    labels: list[tuple[str, tuple[Value, ...]]] = []
    for number, amount in enumerate(amounts):
        lines: tuple[Value, ...] = (_ml(min(amount, FULL)),)
        if amount > FULL:
            lines += (Phrase("pic-flush-again", (("amount", _ml(amount)),)),)
        labels.append((f"amount-{number}", lines + _flush_reasons(case, whys[amount])))
    return Fills(amounts, case.facts.answers["flush_by"] == "plunger"), labels


def _all_events(facts: Facts) -> Iterator[Event]:
    """What is done on any day of any plan."""
    for plan in facts.plans:
        yield from plan.events
        for weekday in plan.weekdays:
            yield from weekday.events


def _ml(amount: Decimal) -> Typed:
    return Typed("dose-volume", Quantity(amount, "mL"))


def _hang_clock(case: _Case) -> _Pair:
    kinds = {"open": "open_formula", "closed": "closed_formula", "powder": "powder_formula"}
    names = [name for name, fact in (*kinds.items(), ("blended", "blended")) if case.yes(fact)]
    minutes: list[int] = []
    labels: list[tuple[str, tuple[Value, ...]]] = []
    times = [(name, case.quantity(f"hang_{name}")) for name in names]
    recipes = (f.formula.recipe for f in case.patient.feeding if f.formula is not None)
    times += [("recipe", hang) for hang in dict.fromkeys(r.hang for r in recipes if r is not None)]
    for number, (name, hang) in enumerate(times):
        span = minutes_in(hang)
        minutes.append(span)
        lines: tuple[Value, ...] = (Typed("span", hang), Phrase(f"pic-hang-{name}"))
        if span > A_DAY // 2 and span % (A_DAY // 2) == 0:
            lines += (Phrase("pic-hang-turns", (("count", Typed("count", span * 2 // A_DAY)),)),)
        labels.append((f"hang-{number}", lines))
    return Hang(tuple(minutes)), labels


def _twist_lock(case: _Case) -> _Pair:
    return Twist(), [(name, (Phrase(f"pic-twist-{name}"),)) for name in ("close", "open")]


def _skin_look(case: _Case) -> _Pair:
    limit = case.facts.values["redness_limit"]
    reach = Phrase("pic-redness-limit", (("limit", limit),))
    count = case.patient.tube.skin_buttons if case.yes("skin_buttons") else 0
    shown = Skin(case.quantity("redness_limit").to("cm").value, count)
    labels: list[tuple[str, tuple[Value, ...]]] = [
        ("ring", (Phrase("pic-redness-small"),)),
        ("limit", (reach, Phrase("pic-redness-call"))),
    ]
    return shown, labels + ([("buttons", (Phrase("pic-skin-buttons"),))] if count else [])


def _call(case: _Case) -> _Pair:
    return Call(), []


def _mark_check(case: _Case) -> _Pair:
    look = tube_look(case.patient, case.facts)
    return look, [("mark", (case.facts.values["mark_at_skin"], Phrase("pic-at-skin")))]


def _day_strip(case: _Case) -> _Pair:
    shown = day_shown(case.facts)
    return shown, day_labels(shown)


_PICTURES: dict[str, Callable[[_Case], _Pair]] = {
    "body-tube": _body_tube,
    "tube-parts": _tube_parts,
    "sitting": _sitting,
    "syringe-height": _syringe_height,
    "flush-mark": _flush_mark,
    "hang-clock": _hang_clock,
    "twist-lock": _twist_lock,
    "day-strip": _day_strip,
    "skin-look": _skin_look,
    "mark-check": _mark_check,
    "vent": _vent,
    "call": _call,
}


def fill_picture(name: str, patient: Patient, facts: Facts) -> FilledPicture:
    """A picture of the closed list for one patient."""
    shown, labels = _PICTURES[name](_Case(patient, facts))
    return FilledPicture(name, shown, tuple(labels))
