"""What a feed hold costs, against the worked example o-hold of the fact list.

o-hold: phenytoin twice a day, 2 h before and 2 h after, all-day feeding at 75 mL/h: 8 h a day
without feeding, 600 mL not given, 112.5 mL/h over the 16 h left would give it all (arithmetic).
"""

from __future__ import annotations

from typing import Any

from builders import facts_with, findings_with

BASE = "j-surgical-continuous"
HELD: dict[str, Any] = {
    "feeding.0.rate": "75 mL/h",
    "medicines.0.name": "phenytoin",
    "medicines.0.form": "suspension",
    "medicines.0.times": ["08:00", "20:00"],
    "medicines.0.hold_before": "2 h",
    "medicines.0.hold_after": "2 h",
}
FREE = {key: value for key, value in HELD.items() if "hold_" not in key}


def _kinds(changes: dict[str, Any]) -> list[tuple[str, str]]:
    return [
        (event.at.strftime("%H:%M"), event.kind)
        for event in facts_with(changes, BASE).events
        if event.kind in ("pump-hold", "pump-resume") and event.why != "medicine"
    ]


def test_held_feeding_is_not_counted_as_given() -> None:
    assert str(facts_with(FREE, BASE).totals.formula) == "1800 mL"
    assert str(facts_with(HELD, BASE).totals.formula) == "1200 mL"


def test_the_question_names_hours_loss_and_the_rate_that_makes_up() -> None:
    found = {finding.id: finding for finding in findings_with(HELD, BASE)}
    hold = found["feed-hold-costs"]
    assert hold.level == "confirm"
    for part in ("8 h", "600 mL", "1,200 mL", "112.5 mL/h", "phenytoin"):
        assert part in hold.says
    assert "feed-hold-costs" not in {f.id for f in findings_with(FREE, BASE)}


def test_the_day_stops_and_starts_the_pump_around_each_dose() -> None:
    assert _kinds(HELD) == [
        ("06:00", "pump-hold"),
        ("10:00", "pump-resume"),
        ("18:00", "pump-hold"),
        ("22:00", "pump-resume"),
    ]
    assert _kinds(FREE) == []


def test_a_hold_over_midnight_is_one_hold() -> None:
    late = {**HELD, "medicines.0.times": ["23:00"]}
    assert _kinds(late) == [("21:00", "pump-hold"), ("01:00", "pump-resume")]
    assert str(facts_with(late, BASE).totals.formula) == "1500 mL"


def test_holds_that_touch_count_once() -> None:
    close = {**HELD, "medicines.0.times": ["08:00", "11:00"]}
    assert _kinds(close) == [("06:00", "pump-hold"), ("13:00", "pump-resume")]
    assert str(facts_with(close, BASE).totals.formula) == "1275 mL"


def test_a_syringe_feeding_in_a_hold_is_asked_about() -> None:
    changes: dict[str, Any] = {
        "medicines.0.hold_before": "1 h",
        "medicines.0.hold_after": "1 h",
        "medicines.0.form": "liquid",
    }
    ids = {finding.id for finding in findings_with(changes, "g-balloon-syringe")}
    assert "feed-in-hold" in ids
    apart = {**changes, "medicines.0.times": ["06:00"]}
    assert "feed-in-hold" not in {f.id for f in findings_with(apart, "g-balloon-syringe")}
