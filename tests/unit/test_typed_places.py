"""Every value that somebody typed has a key, and what is read of a record says which."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from builders import library, patient_with, policy
from order_sets import GROUP_HOME, HOSPICE, INFANT, INSULIN, ORDER_SETS, REFEEDING, order_set

from plainleaf.facts import Facts, derive, noting_leaves
from plainleaf.facts.leaf_places import typed_behind
from plainleaf.inputs.patient import Patient
from plainleaf.vocabulary.patient_file import FORMAT_2
from plainleaf.vocabulary.patient_file.leaf_shapes import ANY, leaf_shapes

Read = Callable[[Patient, Facts], object]


def shown_by(name: str, read: Read) -> set[str]:
    """The typed keys that are read of an order set."""
    patient, words = order_set(name), library().medicine_words
    noted = noting_leaves(patient, policy(), words, derive(patient, policy(), words))
    _, looks = noted.notebook.looked(lambda: read(noted.patient, noted.facts))
    return {key for place in looks for key in typed_behind(place, patient.typed)}


FREE = re.compile(r"(formulas|orders\.say)\.[^.]+|(medicines\.scale)\..+")


def without_names(key: str) -> str:
    """A key by the names of the table: no numbers, and `*` for a name that is free."""
    plain = re.sub(r"\[\d+\]", "", key)
    return FREE.sub(lambda match: f"{match[1] or match[2]}.{ANY}", plain)


@pytest.mark.parametrize("name", ORDER_SETS)
def test_every_typed_key_is_one_of_the_table(name: str) -> None:
    keys = order_set(name).typed
    assert len(keys) == len(set(keys)) > 50
    shapes = leaf_shapes(FORMAT_2)
    assert [key for key in keys if without_names(key) not in shapes] == []


def test_nothing_is_typed_in_a_file_of_format_1() -> None:
    assert patient_with().typed == ()


ROWS: list[tuple[str, Read, set[str]]] = [
    (INSULIN, lambda p, f: p.medicines[5].between, set()),
    (INSULIN, lambda p, f: p.medicines[5].mix, {"medicines[5].in"}),
    (INSULIN, lambda p, f: p.medicines[2].steps[1].lasts, {"medicines[2].steps[1].for"}),
    (INSULIN, lambda p, f: p.medicines[7].tied, {"medicines[7].times"}),
    (INSULIN, lambda p, f: p.medicines[2].through, {"medicines[2].route"}),
    (INSULIN, lambda p, f: (p.medicines[1].scale or {})["below 70 mg/dL"],
     {"medicines[1].scale.below 70 mg/dL"}),
    (INSULIN, lambda p, f: p.contacts.clinic.phone, {"contacts.clinic"}),
    (INSULIN, lambda p, f: p.feeding[0].formula, {"feeding[0].formula"}),
    (INSULIN, lambda p, f: p.settled[0].other, {"settled[0].with"}),
    (INSULIN, lambda p, f: p.settled[1].decided[1].fields["in"], {"settled[1].decided[1].in"}),
    (INSULIN, lambda p, f: p.ordered and p.ordered.on, {"ordered.date"}),
    (INSULIN, lambda p, f: p.visits[1].place, {"visits[1].where"}),
    (INFANT, lambda p, f: (p.formulas or {})["milk-27"].energy, {"formulas.milk-27.energy"}),
    (INFANT, lambda p, f: p.feeding[0].formula and p.feeding[0].formula.water,
     {"feeding[0].formula", "formulas.milk-27.water"}),
    (GROUP_HOME, lambda p, f: p.tube.may_put_back is not None, set()),
    (GROUP_HOME, lambda p, f: p.tube.position_checked and p.tube.position_checked.how,
     {"tube.position_checked.how"}),
    (HOSPICE, lambda p, f: p.water.extras[1].why, {"water.extra[1].why"}),
    (GROUP_HOME, lambda p, f: p.water.extras[0].amount, {"water.extra.amount"}),
    (HOSPICE, lambda p, f: (p.drainage.may_close if p.drainage else {})["shower"],
     {"drainage.may_close.shower"}),
]  # fmt: skip


@pytest.mark.parametrize(("name", "read", "keys"), ROWS)
def test_what_is_read_of_a_record_is_its_typed_key(name: str, read: Read, keys: set[str]) -> None:
    assert shown_by(name, read) == keys


def test_the_time_of_an_event_shows_the_times_of_its_order_alone() -> None:
    times = shown_by(INSULIN, lambda p, f: [
        event.minute for event in f.plans[0].events if event.order == "medicines[5]"
    ])  # fmt: skip
    assert times == {"medicines[5].times"}
    assert shown_by(INSULIN, lambda p, f: f.plans[0].events) == set()


def test_a_step_is_shown_by_the_plan_in_which_it_holds() -> None:
    def rate(plan: int) -> Read:
        return lambda p, f: f.plans[plan].orders.feeding[0].rate

    assert shown_by(REFEEDING, rate(0)) == {"feeding[0].steps[0].rate"}
    assert shown_by(REFEEDING, rate(2)) == {"feeding[0].steps[2].rate"}


def test_dates_and_sums_of_plans_show_what_they_come_from() -> None:
    dates = shown_by(REFEEDING, lambda p, f: f.plans[1].first)
    assert {"feeding[0].from", "feeding[0].steps[0].for"} <= dates
    assert not any(key.endswith((".rate", ".times")) for key in dates)
    sums = shown_by(INSULIN, lambda p, f: f.totals)
    assert {"medicines[4].in", "water.limit", "feeding[0].amount", "water.before_feed"} - sums == {
        "medicines[4].in"  # on Saturday only
    }


def test_who_does_it_shows_duties_and_hours() -> None:
    who = shown_by(GROUP_HOME, lambda p, f: [e.who for e in f.plans[0].events])
    assert {"learners[1].duties", "learners[2].there"} <= who
    assert shown_by(GROUP_HOME, lambda p, f: [e.kind for e in f.plans[0].events]) == set()
