"""Whether the words of a Quantity say the unit that its code says.

A code governs, but a reader sees the words: `8 oz` with the code mL is one of two amounts, and
nobody here can tell which. Words that are not known are not taken either.
"""

from __future__ import annotations

import re

# Words of one part of a unit → its UCUM code.
_PARTS = {
    "ml": "mL", "milliliter": "mL", "milliliters": "mL", "millilitre": "mL", "millilitres": "mL",
    "cc": "mL", "l": "L", "liter": "L", "liters": "L", "litre": "L", "litres": "L",
    "fl oz": "[foz_us]", "fluid ounce": "[foz_us]", "fluid ounces": "[foz_us]",
    "us fl oz": "[foz_us]", "us fluid ounce": "[foz_us]", "us fluid ounces": "[foz_us]",
    "h": "h", "hr": "h", "hrs": "h", "hour": "h", "hours": "h",
    "min": "min", "mins": "min", "minute": "min", "minutes": "min",
    "d": "d", "day": "d", "days": "d", "wk": "wk", "week": "wk", "weeks": "wk",
    "mo": "mo", "month": "mo", "months": "mo",
    "kcal": "kcal", "kilocalorie": "kcal", "kilocalories": "kcal",
    "cal": "cal", "calorie": "cal", "calories": "cal",
    "mm": "mm", "millimeter": "mm", "millimeters": "mm", "cm": "cm", "centimeter": "cm",
    "centimeters": "cm", "in": "[in_i]", "inch": "[in_i]", "inches": "[in_i]",
    "fr": "[Ch]", "french": "[Ch]", "%": "%", "percent": "%",
    "mg": "mg", "dl": "dL", "mmol": "mmol",
}  # fmt: skip


def says(words: str, code: str) -> bool:
    """Whether words mean a code, which may stand for itself.

    >>> says("milliliters per hour", "mL/h"), says("oz", "mL")
    (True, False)
    """
    if words == code:
        return True
    plain = re.sub(r"\s+", " ", words.strip().lower().replace(".", "").replace(" per ", "/"))
    parts = [_PARTS.get(part.strip()) for part in plain.split("/")]
    return None not in parts and "/".join(map(str, parts)) == code
