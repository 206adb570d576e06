"""The nurse's call script: one page of this patient's danger signs and of what is still open."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from plainleaf.compose.word import Wording, Words
from plainleaf.facts.derived import Typed
from plainleaf.packet.sheet.loop import State
from plainleaf.packet.sheet.outline import SHOW, OutlineLearner, Speech
from plainleaf.printing.fonts import missing_letters
from plainleaf.teach_back.answers import Returned
from plainleaf.teach_back.call_time import CallTime
from plainleaf.teach_back.chart_note import one_line, plan_text
from plainleaf.teach_back.follow_up_paper import FollowUpMaking
from plainleaf.teach_back.verdict import ItemStanding, Verdict
from plainleaf.vocabulary.languages import locale_name


@dataclass(frozen=True)
class Ask:
    """One row of the script."""

    words: Words
    whom: str
    critical: bool
    plan: Words | None


@dataclass(frozen=True)
class Script:
    """The nurse's page. `topics`: what is open besides the rows."""

    when: Words
    people: tuple[OutlineLearner, ...]
    notes: tuple[Words, ...]
    signs: dict[str, Words]
    now: tuple[str, ...]
    now_do: Words
    us: tuple[str, ...]
    us_do: Words | None
    today: tuple[str, ...]
    today_do: Words
    asks: tuple[Ask, ...]
    topics: Words | None


def _open_items(verdicts: Sequence[Verdict]) -> dict[str, list[tuple[Verdict, ItemStanding]]]:
    """Item id → of whom it is open, by danger: critical for who gives care first, of these what was
    answered wrong, then with a prompt, then what nobody checked; else as on the sheet.
    """
    rows: dict[str, list[tuple[Verdict, ItemStanding]]] = {}
    for verdict in verdicts:
        for standing in verdict.open:
            rows.setdefault(standing.item.id, []).append((verdict, standing))
    ranked = sorted(
        rows.items(), key=lambda row: max(_danger(v, s) for v, s in row[1]), reverse=True
    )
    return dict(ranked)


def _danger(verdict: Verdict, standing: ItemStanding) -> tuple[bool, bool, int]:
    """How much an open item can hurt; larger is worse."""
    heard = {State.NOT_YET: 2, State.PROMPTED: 1}.get(standing.state, 0)
    return standing.item.critical, verdict.learner.hands_on, heard


def scripts(
    making: FollowUpMaking,
    staff: Wording,
    returned: Returned,
    verdicts: Sequence[Verdict],
    call: CallTime,
) -> Iterator[Script]:
    """Scripts with fewer and fewer questions in full, until one fits the page."""
    rows = list(_open_items(verdicts).values())
    for full in dict.fromkeys((len(rows), 12, 8, 6, 5, 4, 3, 2, 1, 0)):
        if full <= len(rows):
            yield _script(making, staff, returned, rows, full, call)


def _script(
    making: FollowUpMaking,
    staff: Wording,
    returned: Returned,
    rows: Sequence[list[tuple[Verdict, ItemStanding]]],
    full: int,
    call: CallTime,
) -> Script:
    outline = making.outline
    speech = outline.speeches[outline.staff]
    phones = {name: Typed("phone", number) for name, number in outline.phones.items()}
    signs = {id_: speech.statements[id_].words for ids in outline.danger.values() for id_ in ids}
    rest = dict.fromkeys(speech.titles[row[0][1].item.module].plain for row in rows[full:])
    people = sorted(outline.learners, key=lambda learner: not learner.hands_on)
    return Script(
        _when(staff, call),
        tuple(people),
        tuple(_notes(making, staff, returned)),
        {identity: words for identity, words in signs.items() if words is not None},
        outline.danger.get("now", ()),
        now_do(staff, phones),
        outline.danger.get("us", ()),
        staff.phrase("call-us-do", phone=phones["clinic"]) if "us" in outline.danger else None,
        outline.danger.get("today", ()),
        staff.phrase("call-today-do", phone=phones["clinic"]),
        tuple(_ask(making, staff, speech, row) for row in rows[:full]),
        staff.phrase("call-topics", topics=", ".join(rest)) if rest else None,
    )


def now_do(staff: Wording, phones: Mapping[str, Typed]) -> Words:
    """What to do at a sign of the first list, with the hospice where it comes first."""
    if "hospice" in phones:
        return staff.phrase("call-now-do-hospice", phone=phones["hospice"])
    return staff.phrase("call-now-do", phone=phones["emergency"])


def _when(staff: Wording, call: CallTime) -> Words:
    if call.window is None:
        low, high = (Typed("span", amount) for amount in (call.low, call.high))
        return staff.phrase("call-when-open", **{"from": low, "by": high})
    first, last = call.window
    if call.whole_days:
        low, high = Typed("date", first.date()), Typed("date", last.date())
    else:
        low, high = Typed("moment", first), Typed("moment", last)
    return staff.phrase("call-when", **{"from": low, "by": high})


def _notes(making: FollowUpMaking, staff: Wording, returned: Returned) -> Iterator[Words]:
    """The interpreter and the back-up person, as far as they are known."""
    outline = making.outline
    foreign = dict.fromkeys(
        locale_name(learner.language)
        for learner in outline.learners
        if learner.language.split("-")[0] != outline.staff
    )
    if foreign:
        yield staff.phrase("call-interpreter", languages=", ".join(foreign))
    answer = one_line(returned.sign["backup"])
    if answer:
        yield staff.phrase("call-backup", answer=_printable(making, answer))


def _printable(making: FollowUpMaking, text: str) -> str:
    """What was typed into the sheet, cut to a line; letters that no font has become a mark."""
    missing = set(missing_letters(text, *making.fonts.letters))
    shown = "".join("▯" if letter in missing else letter for letter in text)
    shown = shown.replace("▯", "[?]")
    return shown if len(shown) <= 80 else f"{shown[:80]}…"


def _ask(
    making: FollowUpMaking,
    staff: Wording,
    speech: Speech,
    row: Sequence[tuple[Verdict, ItemStanding]],
) -> Ask:
    item = row[0][1].item
    words = speech.asks[item.id]
    if item.kind == SHOW:
        words = staff.phrase("call-show", title=words)
    plans = dict.fromkeys(
        plan_text(standing.answer.plan) for _, standing in row if standing.answer.plan
    )
    plan = _printable(making, "; ".join(plans))
    return Ask(
        words,
        ", ".join(verdict.learner.name for verdict, _ in row),
        item.critical,
        staff.phrase("call-plan", plan=plan) if plan else None,
    )


def script_lines(script: Script) -> Iterator[str]:
    """What must stand in its print."""
    yield str(script.when)
    yield from (str(words) for words in script.signs.values())
    yield from (str(ask.words) for ask in script.asks)
    told = (*script.notes, script.now_do, script.us_do, script.today_do)
    yield from (str(words) for words in told if words is not None)
    yield from (person.name for person in script.people)
