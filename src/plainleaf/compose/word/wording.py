"""Values and phrases in one language."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date, datetime, time
from decimal import ROUND_HALF_UP, Decimal
from functools import cache

from plainleaf.compose.fill import FilledText
from plainleaf.compose.word.bidi import numbers_isolated
from plainleaf.compose.word.counted import COUNTED_DOSES
from plainleaf.compose.word.limit_words import LIMIT_KINDS, span_told
from plainleaf.compose.word.no_break import day_with_month, joined, together
from plainleaf.compose.word.numbers import NBSP, exact_number, number, ounces
from plainleaf.compose.word.worded_packet import Run, Words
from plainleaf.facts.derived import Phrase, Typed, Value
from plainleaf.inputs.catalog import Catalog
from plainleaf.inputs.content import Library
from plainleaf.inputs.patient import Dose
from plainleaf.inputs.setting_values import Range
from plainleaf.vocabulary.quantities import Quantity


@cache
def _parts(text: str) -> tuple[tuple[Run | None, str], ...]:
    """The plain words before each slot, and the slot's name; the last name is empty."""
    parts = []
    while "{" in text:
        before, _, tail = text.partition("{")
        name, _, text = tail.partition("}")
        parts.append((Run(together(before)) if before else None, name))
    return (*parts, (Run(together(text)) if text else None, ""))


@cache
def _plain(text: str) -> Words:
    """A text without a slot."""
    return Words((Run(together(text)),) if text else ())


class Wording:
    """Words values and phrases in one language."""

    def __init__(self, library: Library, catalog: Catalog) -> None:
        self.library = library
        self.catalog = catalog

    def phrase(self, identity: str, **values: Value | Words | str) -> Words:
        """A phrase of the phrase file with its slots worded.

        A `count` value picks the plural form.
        """
        singular, other = self.library.phrases[identity]
        key = f"phrase:{identity}"
        if other is None:
            text = self.catalog.text(key, singular)
        else:
            counted = values.get("count")
            many = counted.value if isinstance(counted, Typed) else 0
            text = self.catalog.plural(key, singular, other, many if isinstance(many, int) else 0)
        return self.substitute(text, values)

    def substitute(self, text: str, values: Mapping[str, Value | Words | str]) -> Words:
        """Text with each `{slot}` replaced by its worded value, kept apart as runs."""
        if "{" not in text:
            return _plain(text)
        runs: list[Run] = []
        for before, name in _parts(text):
            if before:
                runs.append(before)
            if not name:
                continue
            value = values[name]
            if isinstance(value, str):
                runs.append(Run(value, "text"))
            else:
                runs += value.runs if isinstance(value, Words) else self.value(value).runs
        return Words(joined(runs))

    def listed(self, items: Sequence[str]) -> str:
        """Short things in one line, with the comma of the language between them."""
        first, *rest = items
        for item in rest:
            first = self.say("list-two", first=first, second=item)
        return first

    def value(self, value: Value) -> Words:
        """One value in words; a typed value becomes one run of its kind."""
        if isinstance(value, Phrase):
            return self.phrase(value.id, **dict(value.values))
        if isinstance(value.value, Phrase):
            return self.value(value.value)
        text = KINDS[value.kind](self, value.value)
        if self.catalog.direction == "rtl" and value.kind != "text":
            text = numbers_isolated(text)
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

    def volume_inside(self, amount: Quantity) -> str:
        """60 mL, 2 oz: for where it stands in brackets already."""
        ml, label = self.dose_volume(amount), ounces(amount.to("mL").value)
        if label is None:
            return ml
        name = "ounces" if label[1] else "ounces-about"
        oz = self.say(name, number=number(label[0])).replace(" ", NBSP)
        return self.say("list-two", first=ml, second=oz)

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
        if dose.unit in COUNTED_DOSES:
            identity = f"dose-{COUNTED_DOSES[dose.unit]}"
            singular, other = self.library.phrases[identity]
            form = self.catalog.plural(
                f"phrase:{identity}", singular, other or singular, dose.value
            )
            return str(self.substitute(form, {"number": amount})).replace(" ", NBSP)
        return f"{amount} {dose.unit}".replace(" ", NBSP)

    def blood_sugar(self, amount: Quantity) -> str:
        """70 mg/dL: as a meter shows it, kept together with its unit."""
        return f"{exact_number(amount.value)}{NBSP}{amount.unit}"

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
        tenth = Decimal("0.1")
        f, c = (amount.to(u).value.quantize(tenth, ROUND_HALF_UP) for u in ("°F", "°C"))
        text = self.say("temperature-both", fahrenheit=number(f), celsius=number(c))
        return text.replace(" °", f"{NBSP}°")

    def span(self, amount: Quantity) -> str:
        """30 minutes, 12 hours, 7 days, 12 months, 2 hours 22 minutes."""
        return span_told(self, amount)

    def energy_density(self, amount: Quantity) -> str:
        """1.5 kcal per mL: with its unit, no zero at the end (row h-unit)."""
        return together(self.say("energy-density", number=number(amount.to("kcal/mL").value)))

    def full_date(self, day: date) -> str:
        """Wednesday, March 4, 2026."""
        return self._date("date", day, weekday=self.say(f"weekday-{day.isoweekday()}"))

    def day(self, day: date) -> str:
        """Friday, August 14: a day of the plan, whose year is plain."""
        return self._date("day", day, weekday=self.say(f"weekday-{day.isoweekday()}"))

    def day_of_year(self, day: date) -> str:
        """March 4, 2026: where the weekday says nothing, as for a birthday."""
        return self._date("day-of-year", day)

    def _date(self, name: str, day: date, **more: str) -> str:
        month, number_ = self.say(f"month-{day.month}"), str(day.day)
        text = self.say(name, month=month, day=number_, year=str(day.year), **more)
        return day_with_month(text, number_, month)

    def clock(self, local: time) -> str:
        """6 in the evening, noon, midnight: as people say it."""
        if (local.hour, local.minute) in ((0, 0), (12, 0)):
            name = "clock-midnight" if local.hour == 0 else "clock-noon"
            return self.say(name).replace(" ", NBSP)
        parts = ((4, "early"), (12, "morning"), (17, "afternoon"), (21, "evening"), (24, "night"))
        part = next(name for end, name in parts if local.hour < end)
        return self.say(f"clock-{part}", clock=_twelve(local)).replace(" ", NBSP)

    def clock_short(self, local: time) -> str:
        """6:30 pm, noon, midnight: for tables."""
        if (local.hour, local.minute) in ((0, 0), (12, 0)):
            name = "clock-midnight" if local.hour == 0 else "clock-noon"
            return self.say(name).replace(" ", NBSP)
        half = "am" if local.hour < 12 else "pm"
        # 12:30 has its own phrase: in some languages the words for am and pm, "in the morning" and
        # "in the evening", would put half past noon into the night.
        name = {0: "after-midnight", 12: "after-noon"}.get(local.hour, half)
        return self.say(f"clock-{name}", clock=_twelve(local)).replace(" ", NBSP)

    def moment(self, local: datetime) -> str:
        """Wednesday, March 4, 2026, at 10:30 am."""
        return self._moment(self.full_date(local.date()), local)

    def moment_near(self, local: datetime) -> str:
        """Wednesday, March 4, at 10:30 am: whose year is plain."""
        return self._moment(self.day(local.date()), local)

    def _moment(self, day: str, local: datetime) -> str:
        return self.say("moment", date=day, time=self.clock_short(local.time()))

    def angle_range(self, text: str) -> str:
        """30 to 45 degrees; 30 degrees."""
        low, _, high = text.partition(" to ")
        if not high:
            return self.say("angle-one", number=low).replace(" ", NBSP)
        return self.say("angle", low=low, high=high).replace(" ", NBSP)


def _twelve(local: time) -> str:
    hour = local.hour % 12 or 12
    return f"{hour}:{local.minute:02}" if local.minute else str(hour)


def _to_half(value: Decimal, unit: str, given: Quantity) -> Decimal:
    return value if unit == given.unit else (value * 2).to_integral_value(ROUND_HALF_UP) / 2


KINDS: dict[str, Callable[[Wording, object], str]] = {
    "text": lambda w, v: str(v),
    "said": lambda w, v: v.text(w.catalog.language),  # type: ignore[attr-defined]
    "phone": lambda w, v: str(v).replace(" ", NBSP),
    "count": lambda w, v: number(Decimal(str(v))),
    "times": lambda w, v: w.count("times", int(str(v))),
    "energy-density": lambda w, v: w.energy_density(v),  # type: ignore[arg-type]
    "volume": lambda w, v: w.volume(v),  # type: ignore[arg-type]
    "volume-inside": lambda w, v: w.volume_inside(v),  # type: ignore[arg-type]
    "dose-volume": lambda w, v: w.dose_volume(v),  # type: ignore[arg-type]
    **dict.fromkeys(("dose", "strength"), lambda w, v: w.dose(v)),  # type: ignore[arg-type]
    "balloon-volume": lambda w, v: w.dose_volume(v),  # type: ignore[arg-type]
    "container": lambda w, v: w.dose_volume(v),  # type: ignore[arg-type]
    "blood-sugar": lambda w, v: w.blood_sugar(v),  # type: ignore[arg-type]
    "rate": lambda w, v: w.rate(v),  # type: ignore[arg-type]
    "length": lambda w, v: w.length(v),  # type: ignore[arg-type]
    "length-range": lambda w, v: w.length_range(v),  # type: ignore[arg-type]
    "size": lambda w, v: w.size(v),  # type: ignore[arg-type]
    "weight": lambda w, v: w.weight(v),  # type: ignore[arg-type]
    **LIMIT_KINDS,
    "temperature": lambda w, v: w.temperature(v),  # type: ignore[arg-type]
    "span": lambda w, v: w.span(v),  # type: ignore[arg-type]
    "date": lambda w, v: w.full_date(v),  # type: ignore[arg-type]
    "day": lambda w, v: w.day(v),  # type: ignore[arg-type]
    "day-of-year": lambda w, v: w.day_of_year(v),  # type: ignore[arg-type]
    "clock": lambda w, v: w.clock(v),  # type: ignore[arg-type]
    "clock-short": lambda w, v: w.clock_short(v),  # type: ignore[arg-type]
    "moment": lambda w, v: w.moment(v),  # type: ignore[arg-type]
    "moment-near": lambda w, v: w.moment_near(v),  # type: ignore[arg-type]
    "angle-range": lambda w, v: w.angle_range(v),  # type: ignore[arg-type]
}
