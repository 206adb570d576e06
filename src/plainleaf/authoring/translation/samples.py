"""What a translator is told of a slot: what it means and what it becomes in print.

The samples are English and invented; a test words typed values and compares.
"""

from __future__ import annotations

from plainleaf.facts import SLOTS
from plainleaf.inputs.content import page_pointed_to

# Kind of value → what a slot of the kind becomes.
BY_KIND = {
    "phone": "(555) 010-0143",
    "size": "18 Fr",
    "length": "3.5 cm",
    "balloon-volume": "10 mL",
    "count": "4",
    "times": "2 times",
    "volume": "60 mL (2 oz)",
    "dose-volume": "5 mL",
    "rate": "75 mL an hour",
    "span": "12 hours",
    "interval": "3 days",
    "angle-range": "30 to 45 degrees",
    "weight": "10 lb (4.5 kg)",
    "blood-sugar": "70 mg/dL",
    "temperature": "100.4 °F (38 °C)",
    "clock": "6 in the evening",
    "date": "Wednesday, March 4, 2026",
    "day": "Wednesday, March 4",
    "moment": "Wednesday, March 4, 2026, at 10:30 am",
    "phrase": "stomach port",
}
# Slots of phrases: what each becomes. One that is not here is told by its name alone.
OF_PHRASES = {
    "amount": "60 mL (2 oz)",
    "by": "the name of a nurse",
    "celsius": "38",
    "clock": "6:30",
    "color": "a color, in English",
    "count": "3",
    "date": "Wednesday, March 4, 2026",
    "day": "4",
    "dose": "250 mg",
    "fahrenheit": "100.4",
    "first": "Thursday, March 5, 2026",
    "given": "the tag of a language: es",
    "high": "45",
    "id": "the number of an interpreter",
    "language": "the tag of a language: es",
    "languages": "tags of languages: ar, es",
    "last": "Wednesday, March 18, 2026",
    "limit": "2.5 cm",
    "low": "30",
    "made": "March 4, 2026",
    "medicine": "the name of a medicine",
    "ml": "60 mL",
    "mode": "how the interpreter takes part: video",
    "month": "March",
    "name": "a name",
    "needs": "needs from the patient file, in English",
    "number": "60",
    "often": "how often, in English: every 6 hours",
    "on": "Wednesday, March 4, 2026",
    "oz": "2 oz",
    "page": "12",
    "pages": "40",
    "phone": "(555) 010-0143",
    "port": "stomach port",
    "rate": "75 mL an hour",
    "reader": "a name",
    "reason": "words of the order, in English: pain",
    "record": "a record number",
    "second": "4.5 kg",
    "size": "237 mL",
    "span": "4 hours",
    "start": "6:00 pm",
    "stop": "6:00 am",
    "time": "6:30 pm",
    "title": "a title",
    "version": "ten letters and digits",
    "wanted": "the tag of a language: ar",
    "weekday": "Wednesday",
    "year": "2026",
}


def slot_note(slot: str, *, phrase: bool) -> str:
    """One line on a slot.

    >>> slot_note("water_each", phrase=False)
    '{water_each} becomes: 60 mL (2 oz) (flush every so many hours)'
    """
    if phrase:
        return f"{{{slot}}} becomes: {OF_PHRASES.get(slot, 'a value')}"
    if page_pointed_to(slot) is not None:
        return f"{{{slot}}} becomes: 4 (the number of a page)"
    fact = SLOTS[slot]
    if fact.kind == "text":
        return f"{{{slot}}} becomes: {fact.means}, as the patient file has it"
    return f"{{{slot}}} becomes: {BY_KIND[fact.kind]} ({fact.means})"
