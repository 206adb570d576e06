"""What doses and amounts are counted in, where that is a word of a language."""

from __future__ import annotations

# Dose units that are words, singular and plural → the end of their phrase's id.
COUNTED_DOSES = {
    "unit": "units", "units": "units", "tablet": "tablets", "tablets": "tablets",
    "capsule": "capsules", "capsules": "capsules", "packet": "packets", "packets": "packets",
    "puff": "puffs", "puffs": "puffs", "drop": "drops", "drops": "drops", "patch": "patches",
    "patches": "patches", "spray": "sprays", "sprays": "sprays", "suppository": "suppositories",
    "scoop": "scoops", "scoops": "scoops", "nebule": "nebules", "pea-size": "pea-size",
    "tsp": "teaspoons", "carton": "cartons",
    "cartons": "cartons", "can": "cans", "cans": "cans", "bottle": "bottles",
    "bottles": "bottles", "bag": "bags", "bags": "bags",
}  # fmt: skip
