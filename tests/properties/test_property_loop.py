"""The teach-back loop for every order of events: nothing closes that was not checked."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from plainleaf.packet.sheet.loop import CODES, MET, NOT_YET, PROMPTED, Loop, State

codes = st.sampled_from((*CODES, None))
# An event is a code (a try), "explained" or "planned".
events = st.lists(st.one_of(codes, st.sampled_from(("explained", "planned"))), max_size=9)
limits = st.integers(1, 5)


def run(script: list[int | str | None], *, critical: bool, steps_left: int = 0) -> list[Loop]:
    """The loop after each event, the blank one first."""
    found = [Loop(critical, steps_left=steps_left)]
    for event in script:
        last = found[-1]
        if event == "explained":
            found.append(last.explained())
        elif event == "planned":
            found.append(last.with_plan())
        else:
            assert event is None or isinstance(event, int)
            found.append(last.tried(event))
    return found


def results(script: list[int | str | None]) -> tuple[int | None, ...]:
    return tuple(e for e in script if e is None or isinstance(e, int))


@given(events, st.booleans())
def test_no_way_leads_from_not_yet_to_met_without_a_check(
    script: list[int | str | None], critical: bool
) -> None:
    states = run(script, critical=critical)
    for number, event in enumerate(script):
        before, now = states[number], states[number + 1]
        if now.closed and not before.closed:
            assert event in (MET, PROMPTED)
    if states[-1].closed and NOT_YET in results(script):
        after = results(script)[len(results(script)) - results(script)[::-1].index(NOT_YET) :]
        assert {MET, PROMPTED} & set(after)


@given(events, st.booleans())
def test_no_try_is_lost(script: list[int | str | None], critical: bool) -> None:
    assert run(script, critical=critical)[-1].tries == results(script)


@given(st.lists(st.sampled_from(("explained", "planned")), max_size=5), st.booleans(), limits)
def test_what_was_never_checked_is_never_met(
    script: list[int | str | None], critical: bool, limit: int
) -> None:
    last = run(script, critical=critical)[-1]
    assert last.state is State.BLANK
    assert last.still_to_do(limit) == ("not-taught",)


@given(events)
def test_a_critical_item_closes_only_on_a_check_without_a_prompt(
    script: list[int | str | None],
) -> None:
    last = run(script, critical=True)[-1]
    assert last.closed is (bool(last.tries) and last.tries[-1] == MET)


@given(events, st.integers(1, 9))
def test_a_critical_skill_with_steps_left_is_open(
    script: list[int | str | None], left: int
) -> None:
    assert not run(script, critical=True, steps_left=left)[-1].closed


@given(events, st.booleans(), limits)
def test_after_so_many_tries_without_a_plan_the_plan_is_missing(
    script: list[int | str | None], critical: bool, limit: int
) -> None:
    last = run(script, critical=critical)[-1]
    checks = sum(code in (MET, PROMPTED, NOT_YET) for code in results(script))
    missing = "plan-missing" in last.still_to_do(limit)
    assert missing is (not last.closed and checks >= limit and "planned" not in script)


@given(events, st.booleans(), st.integers(0, 3), limits)
def test_open_always_says_what_is_missing(
    script: list[int | str | None], critical: bool, left: int, limit: int
) -> None:
    for loop in run(script, critical=critical, steps_left=left):
        assert bool(loop.still_to_do(limit)) is not loop.closed


@given(events, st.booleans())
def test_a_plan_closes_nothing(script: list[int | str | None], critical: bool) -> None:
    last = run(script, critical=critical)[-1]
    assert last.with_plan().closed is last.closed
    assert last.with_plan().state is last.state
