"""Facility settings: every one there, within its bounds, with what stands behind it.

What is refused stands in tests/faults/cases.yaml.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from builders import ROOT, library, policy

from plainleaf.inputs.policy import days, load_policy, overdue
from plainleaf.vocabulary.errors import PolicyError, UnitError
from plainleaf.vocabulary.quantities import UNITS, Quantity, read_quantity
from plainleaf.vocabulary.settings import SETTINGS
from plainleaf.vocabulary.settling import ROLES

EXAMPLE = ROOT / "teaching" / "policy" / "example-facility.yaml"
KINDS = {unit.kind for unit in UNITS.values()}
BOUNDED = {
    name: setting for name, setting in SETTINGS.items()
    if setting.kind.removeprefix("range ") in KINDS
}  # fmt: skip


def changed(tmp_path: Path, name: str, value: str) -> Path:
    """The example policy with another value of one setting."""
    lines = EXAMPLE.read_text(encoding="utf-8").splitlines()
    (number,) = (n for n, line in enumerate(lines) if line.startswith(f"  {name}: "))
    lines[number] = f'  {name}: {{value: {value}, owner: "test", review_by: 2027-12-31}}'
    path = tmp_path / "policy.yaml"
    path.write_text("\n".join(lines), encoding="utf-8")
    return path


REQUIRED = {name for name, setting in SETTINGS.items() if setting.required}


def test_the_example_holds_every_setting_and_says_that_it_is_one() -> None:
    assert set(policy().entries) == REQUIRED
    assert policy().example
    assert policy().holds_from == date(2026, 1, 1)


def test_nobody_approved_the_example() -> None:
    assert {entry.approved_by for entry in policy().entries.values()} == {None}


def test_each_setting_has_an_origin() -> None:
    assert all(entry.origin for entry in policy().entries.values())
    assert policy().entries["gj_change"].origin == "row gj-life owner: tube clinic"


def test_values_are_typed() -> None:
    assert policy().quantity("red_flag_time") == Quantity(Decimal(72), "h")
    assert policy().range("gj_change").high == Quantity(Decimal(90), "d")
    assert policy().word("day_starts") == "05:00"
    assert policy().flag("tube_back_at_home") is False
    assert policy().count("vomit_times") == 2
    assert policy().word("head_up_angle") == "30 to 45"


def _step(name: str) -> tuple[str, str]:
    """A value just below and just above the bounds of a setting."""
    setting = BOUNDED[name]
    kind = setting.kind.removeprefix("range ")
    low, high = read_quantity(setting.low, kind), read_quantity(setting.high, kind)
    tenth = Decimal("0.1")
    under, over = f"{low.value - tenth:f} {low.unit}", f"{high.value + tenth:f} {high.unit}"
    if setting.kind.startswith("range "):
        return f"{under} to {low}", f"{high} to {over}"
    return under, over


@pytest.mark.parametrize("name", [n for n in BOUNDED if BOUNDED[n].low[0] != "0"])
def test_a_value_outside_its_bounds_is_refused_and_names_them(name: str, tmp_path: Path) -> None:
    for value in _step(name):
        with pytest.raises(PolicyError) as error:
            load_policy(changed(tmp_path, name, value))
        (fault,) = error.value.faults
        assert f"settings.{name}" in fault.wrong
        assert fault.instead == f"Write {_bounds(name)}."


def _bounds(name: str) -> str:
    setting = BOUNDED[name]
    kind = setting.kind.removeprefix("range ")
    return f"{read_quantity(setting.low, kind)} to {read_quantity(setting.high, kind)}"


@pytest.mark.parametrize("name", BOUNDED)
def test_the_bounds_themselves_are_allowed(name: str, tmp_path: Path) -> None:
    low, high = BOUNDED[name].low, BOUNDED[name].high
    if BOUNDED[name].kind.startswith("range "):
        loaded = load_policy(changed(tmp_path, name, f"{low} to {high}")).range(name)
        assert (str(loaded.low), str(loaded.high)) == tuple(_bounds(name).split(" to "))
        return
    for value in (low, high):
        kind = BOUNDED[name].kind
        assert load_policy(changed(tmp_path, name, value)).quantity(name) == read_quantity(
            value, kind
        )


@pytest.mark.parametrize(
    ("name", "value", "is_"),
    [
        ("lift_limit", "4 kg", read_quantity("4 kg", "weight")),  # another unit of the kind
        ("fever", "100.4 °F", read_quantity("38 °C", "temperature")),  # row fever-def
        ("head_up_after", "1 h", read_quantity("60 min", "time span")),
        ("head_up_angle", "30 to 60", "30 to 60"),
        ("vomit_times", "4", 4),
        ("dressing_place", "under", "under"),
        ("balloon_check_at_home", "false", False),
        ("day_starts", '"06:30"', "06:30"),
        ("time_zone", "Pacific/Auckland", "Pacific/Auckland"),
    ],
)
def test_other_ways_to_write_a_value(name: str, value: str, is_: object, tmp_path: Path) -> None:
    assert load_policy(changed(tmp_path, name, value)).entries[name].value == is_


@pytest.mark.parametrize(
    ("day", "late"),
    [(date(2027, 12, 31), 0), (date(2028, 1, 1), len(REQUIRED))],
    ids=["on the review day", "the day after"],
)
def test_overdue_settings(day: date, late: int) -> None:
    assert len(overdue(policy(), day)) == late


DEAD_SPACE = "low-profile 14 Fr 1.5 mL; standard 18 Fr 3 mL"


def with_dead_space(tmp_path: Path, value: str) -> Path:
    """The example file with a line that it leaves out."""
    text = EXAMPLE.read_text(encoding="utf-8")
    line = f'  dead_space: {{value: "{value}", owner: "test", review_by: 2027-12-31}}\n'
    path = tmp_path / "policy.yaml"
    path.write_text(text.replace("settings:\n", f"settings:\n{line}", 1), encoding="utf-8")
    return path


def test_what_a_tube_holds_may_be_left_out(tmp_path: Path) -> None:
    assert "dead_space" not in policy().entries
    read = load_policy(with_dead_space(tmp_path, DEAD_SPACE))
    assert read.word("dead_space") == DEAD_SPACE
    assert set(read.entries) == set(SETTINGS)


@pytest.mark.parametrize(
    ("value", "says"),
    [
        ("14 Fr 1.5 mL", "is not a build, a size and a volume"),
        ("standard 14 mL", "is not a build, a size and a volume"),
        ("standard 14 Fr 1.5 ml", "is not a build, a size and a volume"),
        ("standard 14 Fr 1 mL; standard 14 Fr 2 mL", "names a tube twice"),
    ],
)
def test_a_table_of_tubes_that_cannot_be_read_is_refused(
    value: str, says: str, tmp_path: Path
) -> None:
    with pytest.raises(PolicyError, match=says):
        load_policy(with_dead_space(tmp_path, value))


def test_the_digest_follows_the_text(tmp_path: Path) -> None:
    other = load_policy(changed(tmp_path, "vomit_times", "3"))
    assert other.digest != policy().digest
    assert load_policy(EXAMPLE).digest == policy().digest


@pytest.mark.parametrize(("text", "is_"), [("48 h", 2), ("28 d", 28), ("1440 min", 1)])
def test_whole_days(text: str, is_: int) -> None:
    assert days(read_quantity(text, "time span")) == is_


def test_part_of_a_day_is_no_whole_day() -> None:
    with pytest.raises(UnitError, match="whole days"):
        days(read_quantity("36 h", "time span"))


NARROWED: dict[str, tuple[str, dict[str, tuple[str, ...]], str]] = {
    "fewer": ("may_settle: {nurse: [RN]}", {"nurse": ("RN",)}, ""),
    "nobody": ("may_settle: {speech: []}", {"speech": ()}, ""),
    "more": ("may_settle: {nurse: [RN, MD]}", {}, "'MD' is not known"),
    "no such role": ("may_settle: {doctor: [MD]}", {}, "unknown key 'doctor'"),
}


@pytest.mark.parametrize(("line", "roles", "wrong"), NARROWED.values(), ids=NARROWED)
def test_a_facility_takes_credentials_away_and_adds_none(
    line: str, roles: dict[str, tuple[str, ...]], wrong: str, tmp_path: Path
) -> None:
    path = tmp_path / "policy.yaml"
    path.write_text(f"{EXAMPLE.read_text(encoding='utf-8')}{line}\n", encoding="utf-8")
    if wrong:
        with pytest.raises(PolicyError, match=wrong):
            load_policy(path)
    else:
        assert load_policy(path).roles == {**ROLES, **roles}


# Figures of the example that no source was read for. A name leaves this list when a source is.
UNREAD = {"clog_water_adult", "eat_after", "flush_by", "plan_review_after", "sore_for"}


def test_no_other_value_rests_on_common_practice_alone() -> None:
    claims = library().claims
    resting = set()
    for name, entry in policy().entries.items():
        rows = [claims[row] for row in entry.origin.replace(",", " ").split() if row in claims]
        if rows and {row.status for row in rows} == {"common-practice"}:
            resting.add(name)
    assert resting == UNREAD
