"""The pages that are looked up: what is first stands once, one tier a line, true of each person."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache

import pytest
import yaml
from builders import ROOT, policy, teaching
from format_2 import GIVEN, with_codes

import plainleaf
from plainleaf.inputs.content.teaching_parts import Statement
from plainleaf.rules.decision import Decision

EXAMPLES = {
    path.stem: path
    for folder in (ROOT / "examples", GIVEN / "patients", ROOT / "tests" / "oracles" / "dictated")
    for path in sorted(folder.glob("*.yaml"))
}
HASTE = re.compile(r"emergency|911|at once|right away|without delay", re.IGNORECASE)
STOP_FEEDING = re.compile(r"[Ss]top (the )?feeding")
# A statement → its tier, from the urgency tiers (tier-1, tier-us, tier-2, tier-3).
TIERS = {
    "problems.mark.us": "call_us",
    "problems.measure.us": "call_us",
    "problems.stuck.turn-us": "call_us",
    "problems.clog.us": "call_us",
    "problems.clog-ask.us": "call_us",
    "problems.clog-bowel.us": "call_us",
    "problems.clog-two-ports.us": "call_us",
    "medicines.trouble.late": "call_us",
    "problems.balloon.us": "call_us",
    "problems.balloon-us.us": "call_us",
    "problems.broken.us": "call_us",
    "problems.broken.us-stitch": "call_us",
    "problems.broken-button.us": "call_us",
    "problems.power.us": "call_us",
    "problems.stopped.us": "call_us",
    "problems.stopped.signs-us": "call_us",
    "problems.drops.few": "call_us",
    "problems.drops.later": "call_us",
    "problems.vomit.choked": "call_us",
    "problems.dry.diapers": "call_us",
    "problems.dry.diaper-none": "call_now",
    "problems.leak.today": "call_today",
    "problems.vomit.call": "call_today",
    "problems.dry.today": "call_today",
    "problems.fever.today": "call_today",
    "problems.red.all": "call_today",
    "living.feelings.low": "call_today",
    "living.feelings.crisis": "call_now",
    "skin-care.tissue.what": "tell_visit",
}


@cache
def decided(name: str) -> Decision:
    text = EXAMPLES[name].read_text(encoding="utf-8")
    data = yaml.load(text, Loader=yaml.BaseLoader)
    if data.get("format") == "2":
        text = yaml.safe_dump(with_codes(data), allow_unicode=True, sort_keys=False)
    return plainleaf.decide(text, teaching(), policy(), language="en", name=name)


def looked_up(decision: Decision, *pages: str) -> Iterator[Statement]:
    """Statements of the pages that are looked up, without the finder; of these pages if named."""
    for page in decision.selection.pages:
        wanted = page.page.id in pages if pages else page.page.id != "finder"
        if page.page.part == "wrong" and wanted:
            yield from (st for section in page.sections for st in section.statements)


def fed(decision: Decision) -> bool:
    return decision.facts.answers["fed_by_tube"] == "true"


@pytest.mark.parametrize("name", EXAMPLES)
def test_no_line_below_an_emergency_speaks_as_one(name: str) -> None:
    lower = ("call_us", "call_today", "tell_visit")
    hasty = {
        st.id: text
        for st in looked_up(decided(name))
        if st.kind in lower
        for text in (st.text, st.child_text or "")
        if HASTE.search(text) or "{emergency_phone}" in text
    }
    assert hasty == {}


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_page_of_emergencies_calls_for_nothing_less(name: str) -> None:
    calls = {
        st.kind for st in looked_up(decided(name), "emergencies") if st.kind.startswith("call")
    }
    assert calls == {"call_now"}


@pytest.mark.parametrize("name", EXAMPLES)
def test_what_comes_first_in_an_emergency_is_said_once_and_first(name: str) -> None:
    decision = decided(name)
    page = next(p for p in decision.selection.pages if p.page.id == "emergencies")
    assert page.sections[0].section.id == "problems.now"
    first, call = page.sections[0].statements
    assert (first.kind, call.kind) == ("step", "step")
    assert bool(STOP_FEEDING.search(first.text)) is fed(decision)
    assert "nothing in the tube" in first.text
    said = [st.id for section in page.sections[1:] for st in section.statements
            if STOP_FEEDING.search(st.text) or "{emergency_phone}" in st.text]  # fmt: skip
    assert set(said) <= {"problems.fever-infant.now-hospice"}


@pytest.mark.parametrize("name", EXAMPLES)
def test_who_is_not_fed_reads_of_no_feeding_to_stop(name: str) -> None:
    decision = decided(name)
    stops = [st.id for st in looked_up(decision) if STOP_FEEDING.search(st.text)]
    assert bool(stops) is fed(decision)


@pytest.mark.parametrize("name", EXAMPLES)
def test_hospice_is_sent_to_no_emergency_room(name: str) -> None:
    decision = decided(name)
    sent = [st.id for st in looked_up(decision) if re.search("911|emergency room", st.text)]
    assert not sent or decision.facts.answers["hospice_first"] == "false"


@pytest.mark.parametrize("identity", TIERS)
def test_each_event_has_its_tier(identity: str) -> None:
    kinds = {
        st.kind
        for module in teaching().library.modules
        for section in module.sections
        for st in section.statements
        if st.id == identity
    }
    assert kinds == {TIERS[identity]}


@pytest.mark.parametrize("name", EXAMPLES)
def test_where_a_feeding_must_not_start_is_listed_once_for_who_is_fed(name: str) -> None:
    decision = decided(name)
    printed = [
        st.id
        for page in decision.selection.pages
        for section in page.sections
        for st in section.statements
    ]
    assert printed.count("feeding.position.not-start") == (1 if fed(decision) else 0)


@pytest.mark.parametrize("name", EXAMPLES)
def test_what_is_measured_at_home_stands_on_one_page(name: str) -> None:
    decision = decided(name)
    tables = [st.id for st in looked_up(decision) if st.text == "watch_table"]
    assert len(tables) == (1 if decision.facts.answers["watched"] == "true" else 0)
