"""Any filling of the sheet comes back as it was filled, and only what was checked counts as met."""

from __future__ import annotations

import unicodedata
from datetime import date, time

from hypothesis import given
from hypothesis import strategies as st
from returned_sheets import as_texts
from returned_sheets import sheet_outline as outline

from plainleaf.packet.sheet.form_fields import TICK, field_name, fields_of
from plainleaf.packet.sheet.outline import SHOW, OutlineItem
from plainleaf.teach_back.answers import Returned, read_answers
from plainleaf.teach_back.filled_form import Filled
from plainleaf.teach_back.verdict import judge_sheet, ready_to_go_home

FIELDS = fields_of(outline())
letters = st.text(st.characters(exclude_categories=("Cc", "Cs", "Cn")), max_size=40)
codes = st.sampled_from(("1", "1", "2", "3", "4", "", "x"))


@st.composite
def sheets(draw: st.DrawFn) -> dict[str, str]:
    """A filling: most items checked in some way, everything else anything."""
    values: dict[str, str] = {}
    met = draw(st.booleans())
    for item in outline().items:
        for learner, _ in outline().takers(item):
            _fill_item(draw, values, item, learner, met=met)
    for name in draw(st.lists(st.sampled_from(sorted(FIELDS)), max_size=12, unique=True)):
        values[name] = draw(letters) if FIELDS[name].kind != TICK else draw(ticks)
    return values


ticks = st.sampled_from(("on", "Yes", "1", "Off", ""))


def _fill_item(
    draw: st.DrawFn, values: dict[str, str], item: OutlineItem, learner: int, *, met: bool
) -> None:
    code = "1a" if met else draw(codes)
    values[field_name(item.id, learner, "try-1", "code")] = code
    if code == "1a":
        for step in item.ticked:
            values[field_name(item.id, learner, f"step-{step}")] = "on"


def read(values: dict[str, str]) -> Returned:
    filled = Filled(as_texts(values, outline()), frozenset())
    return read_answers(filled, outline(), "f.pdf", "p.json")


@given(sheets())
def test_what_was_written_comes_back(values: dict[str, str]) -> None:
    returned = read(values)
    for answer in returned.answers:
        kept = {one.number: one for one in answer.tries}
        for number in range(1, outline().tries + 1):
            name = field_name(answer.item.id, answer.learner, f"try-{number}", "code")
            written = values.get(name, "").strip()
            assert (number in kept) is bool(written)
            if number in kept:
                assert kept[number].code in (None, 1, 2, 3, 4)
                assert kept[number].session in ("", *outline().letters)
    for name in returned.blanks:
        assert values.get(name, "").strip().lower() in ("", "off")


@given(sheets())
def test_ready_means_that_all_that_is_critical_was_checked(values: dict[str, str]) -> None:
    """Reckoned here from the fields alone: the last try that holds anything must be a 1."""
    returned = read(values)
    verdicts = judge_sheet(returned, outline())
    for verdict in verdicts:
        left = [
            item
            for item in outline().items
            if item.critical
            and verdict.number in dict(outline().takers(item))
            and not _met(values, item, verdict.number)
        ]
        assert {one.item.id for one in verdict.critical} == {item.id for item in left}
    carers = [v for v in verdicts if v.learner.hands_on]
    assert ready_to_go_home(verdicts) is all(not v.critical for v in carers)


def _met(values: dict[str, str], item: OutlineItem, learner: int) -> bool:
    last = ""
    for number in range(1, outline().tries + 1):
        code = values.get(field_name(item.id, learner, f"try-{number}", "code"), "").strip()
        last = code or last
    shown = range(1, len(item.points) + 1) if item.kind == SHOW and item.critical else ()
    steps = [field_name(item.id, learner, f"step-{n}") for n in shown]
    ticked = all(values.get(s, "") in ("on", "Yes", "1") for s in steps)
    return _digit(last) == 1 and ticked


def _digit(text: str) -> int | None:
    """The digit of a code with the letter of a session, or of one without."""
    rest = text[1:].strip().lower()
    return unicodedata.digit(text[:1] or " ", None) if rest in ("", *"abcd") else None


@given(st.dates(date(2026, 1, 1), date(2027, 12, 31)), st.times())
def test_every_date_and_time_in_the_form_asked_for_is_read(day: date, at: time) -> None:
    name = field_name("flushing.tb.when", 1, "try-1", "code")
    returned = read({name: "1a", "session/a/start": f"{day} {at:%H:%M}"})
    (one,) = (t for a in returned.answers for t in a.tries)
    assert one.when is not None
    assert (one.when.day, one.when.clock) == (day, at.replace(second=0, microsecond=0))
