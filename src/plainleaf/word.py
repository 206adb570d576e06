"""Sentences, numbers, dates and plurals in one language.

Numbers print one way in every language, the way US devices show them: a point for decimals, a
comma from 1,000, a leading zero and no trailing zero, `mL` always. No text of Pint or of a locale
library reaches the page.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time
from decimal import ROUND_HALF_UP, Decimal

from plainleaf.content import Library
from plainleaf.draw.facts import PictureFacts
from plainleaf.facts.record import Phrase, Typed, Value
from plainleaf.fill import (
    Block,
    FilledModule,
    FilledPacket,
    FilledPrompt,
    FilledSection,
    FilledSkill,
    FilledStatement,
    FilledText,
)
from plainleaf.locales import Catalog
from plainleaf.patient import Dose
from plainleaf.policy import Range
from plainleaf.quantities import Quantity

NBSP = "\u00a0"
# Label ounce of US nutrition facts, 21 CFR 101.9(b)(5)(viii): 30 mL.
_LABEL_OUNCE = Decimal(30)
# Below half an ounce no kitchen measure shows it; a rounded ounce would mislead.
_LEAST_WITH_OUNCES = Decimal(15)


@dataclass(frozen=True)
class Run:
    """A piece of worded text; `kind` is empty for plain words, else the kind of merged value."""

    text: str
    kind: str = ""


@dataclass(frozen=True)
class Words:
    """Worded text as runs, so that every merged value can be isolated on the page."""

    runs: tuple[Run, ...]

    def __str__(self) -> str:
        return "".join(run.text for run in self.runs)

    @property
    def plain(self) -> str:
        """The text with ordinary spaces, for comparing and for records."""
        return str(self).replace(NBSP, " ")


@dataclass(frozen=True)
class WordedBlock:
    """A table in words; `look` as in `fill.Block`. A cell is a tuple of lines."""

    name: str
    look: str
    head: tuple[Words, ...]
    rows: tuple[tuple[tuple[Words, ...], ...], ...]


@dataclass(frozen=True)
class WordedPicture:
    """A picture with its labels in words (role → lines) and what is read out in its place."""

    name: str
    shown: PictureFacts
    labels: tuple[tuple[str, tuple[Words, ...]], ...]
    alt: Words


@dataclass(frozen=True)
class WordedStatement:
    """One statement in words; those of a picture are its caption."""

    id: str
    kind: str
    words: Words | None
    block: WordedBlock | None
    sources: tuple[str, ...]
    picture: WordedPicture | None = None


@dataclass(frozen=True)
class WordedSection:
    """One section in words."""

    id: str
    heading: Words
    level: str | None
    statements: tuple[WordedStatement, ...]


@dataclass(frozen=True)
class WordedPrompt:
    """One teach-back question in words."""

    id: str
    ask: Words
    listen_for: tuple[str, ...]
    again: Words
    critical: bool


@dataclass(frozen=True)
class WordedSkill:
    """One skill in words."""

    id: str
    title: Words
    section: str
    steps: tuple[str, ...]
    critical: bool


@dataclass(frozen=True)
class WordedModule:
    """One topic in words."""

    id: str
    status: str
    title: Words
    sections: tuple[WordedSection, ...]
    prompts: tuple[WordedPrompt, ...]
    skills: tuple[WordedSkill, ...]


@dataclass(frozen=True)
class WordedPacket:
    """The whole handout in one language."""

    language: str
    direction: str
    modules: tuple[WordedModule, ...]

    def statements(self) -> dict[str, WordedStatement]:
        """Every printed statement by id, in print order."""
        return {
            statement.id: statement
            for module in self.modules
            for section in module.sections
            for statement in section.statements
        }


def number(value: Decimal) -> str:
    """A number as a US device shows it.

    At most two decimals are printed as they are; a longer one is rounded once, half up: to one
    decimal below 10, to a whole number from 10.

    >>> number(Decimal("1200")), number(Decimal("0.50")), number(Decimal("1713.625"))
    ('1,200', '0.5', '1,714')
    """
    if value != value.quantize(Decimal("0.01")):
        step = Decimal("0.1") if abs(value) < 10 else Decimal(1)
        value = value.quantize(step, ROUND_HALF_UP)
    return exact_number(value)


def exact_number(value: Decimal) -> str:
    """A number with every digit that counts: a dose is never rounded.

    >>> exact_number(Decimal("0.125")), exact_number(Decimal("2.50")), exact_number(Decimal(12500))
    ('0.125', '2.5', '12,500')
    """
    text = f"{value:,f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def ounces(millilitres: Decimal) -> tuple[Decimal, bool] | None:
    """Label ounces (30 mL) for print, and whether they are exact; None below 15 mL.

    Not exact: the nearest quarter below 4 oz, the nearest half below 32 oz, else a whole number.

    >>> ounces(Decimal(60)), ounces(Decimal(237)), ounces(Decimal(10))
    ((Decimal('2'), True), (Decimal('8'), False), None)
    """
    if millilitres < _LEAST_WITH_OUNCES:
        return None
    exact = millilitres / _LABEL_OUNCE
    if exact * 4 == (exact * 4).to_integral_value():
        return exact, True
    parts = Decimal(4) if exact < 4 else Decimal(2) if exact < 32 else Decimal(1)
    return (exact * parts).to_integral_value(ROUND_HALF_UP) / parts, False


class Wording:
    """Words values and phrases in one language."""

    def __init__(self, library: Library, catalog: Catalog) -> None:
        self.library = library
        self.catalog = catalog

    def phrase(self, identity: str, **values: Value | Words | str) -> Words:
        """A phrase of the phrase file with its slots worded.

        A `count` value picks the plural form.
        """
        one, other = self.library.phrases[identity]
        key = f"phrase:{identity}"
        if other is None:
            text = self.catalog.text(key, one)
        else:
            counted = values.get("count")
            many = counted.value if isinstance(counted, Typed) else 0
            text = self.catalog.plural(key, one, other, many if isinstance(many, int) else 0)
        return self.substitute(text, values)

    def substitute(self, text: str, values: Mapping[str, Value | Words | str]) -> Words:
        """Text with each `{slot}` replaced by its worded value, kept apart as runs."""
        runs: list[Run] = []
        rest = text
        while "{" in rest:
            before, _, tail = rest.partition("{")
            name, _, rest = tail.partition("}")
            runs += [Run(before)] if before else []
            value = values[name]
            if isinstance(value, str):
                runs.append(Run(value))
            else:
                runs += value.runs if isinstance(value, Words) else self.value(value).runs
        return Words((*runs, *([Run(rest)] if rest else [])))

    def value(self, value: Value) -> Words:
        """One value in words; a typed value becomes one run of its kind."""
        if isinstance(value, Phrase):
            return self.phrase(value.id, **dict(value.values))
        if isinstance(value.value, Phrase):
            return self.value(value.value)
        text = _KINDS[value.kind](self, value.value)
        return Words((Run(text, value.kind),))

    def text(self, filled: FilledText) -> Words:
        """A filled text in words."""
        return self.substitute(self.catalog.text(filled.id, filled.text), dict(filled.values))

    # --- kinds of value ---------------------------------------------------------------------

    def say(self, identity: str, **values: str) -> str:
        """A phrase as plain text, with values that are words already."""
        return str(self.phrase(identity, **values))

    def count(self, identity: str, many: int) -> str:
        """A counted phrase, such as 12 hours."""
        text = self.phrase(identity, count=Typed("count", many))
        return str(text).replace(" ", NBSP)

    def volume(self, amount: Quantity) -> str:
        """mL with ounces beside: 60 mL (2 oz)."""
        millilitres = amount.to("mL").value
        ml = self.dose_volume(amount)
        label = ounces(millilitres)
        if label is None:
            return ml
        name = "ounces" if label[1] else "ounces-about"
        oz = self.say(name, number=number(label[0])).replace(" ", NBSP)
        return self.say("volume-both", ml=ml, oz=oz)

    def dose_volume(self, amount: Quantity) -> str:
        """mL only: 2.5 mL."""
        text = self.say("millilitres", number=number(amount.to("mL").value))
        return text.replace(" ", NBSP)

    def dose(self, dose: Dose) -> str:
        """0.125 mg, 1,000 units: exactly as ordered, kept together with its unit."""
        if dose.unit == "half tablet":
            return self.say("half-tablet").replace(" ", NBSP)
        amount = exact_number(dose.value)
        if dose.unit == "mL":
            return self.say("millilitres", number=amount).replace(" ", NBSP)
        return f"{amount} {dose.unit}".replace(" ", NBSP)

    def rate(self, amount: Quantity) -> str:
        """75 mL an hour."""
        ml = self.say("millilitres", number=number(amount.value))
        return self.say("rate", ml=ml).replace(" ", NBSP)

    def length(self, amount: Quantity) -> str:
        """3.5 cm."""
        text = self.say("length-cm", number=number(amount.to("cm").value))
        return text.replace(" ", NBSP)

    def length_range(self, span: Range) -> str:
        """0.5 to 1 cm."""
        low, high = (number(q.to("cm").value) for q in (span.low, span.high))
        return self.say("range-cm", low=low, high=high).replace(" ", NBSP)

    def size(self, amount: Quantity) -> str:
        """18 Fr."""
        return self.say("size-french", number=number(amount.value)).replace(" ", NBSP)

    def weight(self, amount: Quantity) -> str:
        """10 lb (4.5 kg): as set first, the other beside, to half a unit."""
        units = ("lb", "kg") if amount.unit == "lb" else ("kg", "lb")
        parts = [
            self.say(f"weight-{unit}", number=number(_to_half(amount.to(unit).value, unit, amount)))
            for unit in units
        ]
        first, second = (part.replace(" ", NBSP) for part in parts)
        return self.say("weight-both", first=first, second=second)

    def temperature(self, amount: Quantity) -> str:
        """100.4 °F (38 °C)."""
        one = Decimal("0.1")
        f, c = (amount.to(u).value.quantize(one, ROUND_HALF_UP) for u in ("°F", "°C"))
        text = self.say("temperature-both", fahrenheit=number(f), celsius=number(c))
        return text.replace(" °", f"{NBSP}°")

    def span(self, amount: Quantity) -> str:
        """30 minutes, 12 hours, 7 days, 12 months: in the largest unit that divides it."""
        minutes = int(amount.to("min").value)
        if minutes % 1440 == 0 and minutes >= 4 * 1440:
            days = minutes // 1440
            if days in (365, 366):
                return self.count("span-months", 12)
            return self.count("span-days", days)
        if minutes % 60 == 0:
            return self.count("span-hours", minutes // 60)
        return self.count("span-minutes", minutes)

    def full_date(self, day: date) -> str:
        """Wednesday, March 4, 2026."""
        return self.say(
            "date",
            weekday=self.say(f"weekday-{day.isoweekday()}"),
            month=self.say(f"month-{day.month}"),
            day=str(day.day),
            year=str(day.year),
        )

    def day_of_year(self, day: date) -> str:
        """March 4, 2026: where the weekday says nothing, as for a birthday."""
        month = self.say(f"month-{day.month}")
        return self.say("day-of-year", month=month, day=str(day.day), year=str(day.year))

    def clock(self, at: time) -> str:
        """6 in the evening, noon, midnight: as people say it."""
        if (at.hour, at.minute) in ((0, 0), (12, 0)):
            return self.say("clock-midnight" if at.hour == 0 else "clock-noon")
        parts = ((4, "early"), (12, "morning"), (17, "afternoon"), (21, "evening"), (24, "night"))
        part = next(name for end, name in parts if at.hour < end)
        return self.say(f"clock-{part}", clock=_twelve(at)).replace(" ", NBSP)

    def clock_short(self, at: time) -> str:
        """6:30 pm, noon, midnight: for tables."""
        if (at.hour, at.minute) in ((0, 0), (12, 0)):
            return self.say("clock-midnight" if at.hour == 0 else "clock-noon")
        half = "am" if at.hour < 12 else "pm"
        return self.say(f"clock-{half}", clock=_twelve(at)).replace(" ", NBSP)

    def moment(self, at: datetime) -> str:
        """Wednesday, March 4, 2026, at 10:30 am."""
        return self.say("moment", date=self.full_date(at.date()), time=self.clock_short(at.time()))

    def angle_range(self, text: str) -> str:
        """30 to 45 degrees."""
        low, _, high = text.partition(" to ")
        return self.say("angle", low=low, high=high).replace(" ", NBSP)


def _twelve(at: time) -> str:
    hour = at.hour % 12 or 12
    return f"{hour}:{at.minute:02}" if at.minute else str(hour)


def _to_half(value: Decimal, unit: str, given: Quantity) -> Decimal:
    return value if unit == given.unit else (value * 2).to_integral_value(ROUND_HALF_UP) / 2


_KINDS: dict[str, Callable[[Wording, object], str]] = {
    "text": lambda w, v: str(v),
    "phone": lambda w, v: str(v).replace(" ", NBSP),
    "count": lambda w, v: number(Decimal(str(v))),
    "volume": lambda w, v: w.volume(v),  # type: ignore[arg-type]
    "dose-volume": lambda w, v: w.dose_volume(v),  # type: ignore[arg-type]
    "dose": lambda w, v: w.dose(v),  # type: ignore[arg-type]
    "balloon-volume": lambda w, v: w.dose_volume(v),  # type: ignore[arg-type]
    "container": lambda w, v: w.dose_volume(v),  # type: ignore[arg-type]
    "rate": lambda w, v: w.rate(v),  # type: ignore[arg-type]
    "length": lambda w, v: w.length(v),  # type: ignore[arg-type]
    "length-range": lambda w, v: w.length_range(v),  # type: ignore[arg-type]
    "size": lambda w, v: w.size(v),  # type: ignore[arg-type]
    "weight": lambda w, v: w.weight(v),  # type: ignore[arg-type]
    "temperature": lambda w, v: w.temperature(v),  # type: ignore[arg-type]
    "span": lambda w, v: w.span(v),  # type: ignore[arg-type]
    "date": lambda w, v: w.full_date(v),  # type: ignore[arg-type]
    "day-of-year": lambda w, v: w.day_of_year(v),  # type: ignore[arg-type]
    "clock": lambda w, v: w.clock(v),  # type: ignore[arg-type]
    "clock-short": lambda w, v: w.clock_short(v),  # type: ignore[arg-type]
    "moment": lambda w, v: w.moment(v),  # type: ignore[arg-type]
    "angle-range": lambda w, v: w.angle_range(v),  # type: ignore[arg-type]
}


def _block(wording: Wording, block: Block) -> WordedBlock:
    rows = tuple(
        tuple(tuple(wording.value(line) for line in cell) for cell in row) for row in block.rows
    )
    head = tuple(wording.phrase(name) for name in block.head)
    return WordedBlock(block.name, block.look, head, rows)


def _picture(wording: Wording, filled: FilledStatement) -> WordedPicture | None:
    if filled.picture is None or filled.alt is None:
        return None
    labels = tuple(
        (role, tuple(wording.value(line) for line in lines))
        for role, lines in filled.picture.labels
    )
    alt = wording.text(filled.alt)
    return WordedPicture(filled.picture.name, filled.picture.shown, labels, alt)


def _statement(wording: Wording, filled: FilledStatement) -> WordedStatement:
    words = wording.text(filled.text) if filled.text else None
    block = _block(wording, filled.block) if filled.block else None
    picture = _picture(wording, filled)
    return WordedStatement(filled.id, filled.kind, words, block, filled.sources, picture)


def _section(wording: Wording, filled: FilledSection) -> WordedSection:
    statements = tuple(_statement(wording, statement) for statement in filled.statements)
    return WordedSection(filled.id, wording.text(filled.heading), filled.level, statements)


def _prompt(wording: Wording, filled: FilledPrompt) -> WordedPrompt:
    ask, again = wording.text(filled.ask), wording.text(filled.again)
    return WordedPrompt(filled.id, ask, filled.listen_for, again, filled.critical)


def _skill(wording: Wording, filled: FilledSkill) -> WordedSkill:
    title = wording.text(filled.title)
    return WordedSkill(filled.id, title, filled.section, filled.steps, filled.critical)


def _module(wording: Wording, filled: FilledModule) -> WordedModule:
    return WordedModule(
        filled.id,
        filled.status,
        wording.text(filled.title),
        tuple(_section(wording, section) for section in filled.sections),
        tuple(_prompt(wording, prompt) for prompt in filled.prompts),
        tuple(_skill(wording, skill) for skill in filled.skills),
    )


def word(packet: FilledPacket, wording: Wording) -> WordedPacket:
    """The packet in the language of the catalog.

    Raises:
        LocaleError: A message has no current translation.
    """
    modules = tuple(_module(wording, module) for module in packet.modules)
    return WordedPacket(wording.catalog.language, wording.catalog.direction, modules)
