"""Which settings each part of a packet was made from: noted while it is made once more.

What did not read a setting cannot change with it. So a record that holds what was read can be held
against other settings later, without the patient file.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

from plainleaf.compose.fill import SlotSource, filler_of
from plainleaf.facts import Noting, noting, settings_in
from plainleaf.inputs.content import Library, Statement
from plainleaf.packet.calendar import reminders
from plainleaf.rules.decision import Decision
from plainleaf.rules.findings import judge
from plainleaf.rules.select import Selection
from plainleaf.vocabulary.conditions import Answer

_POLICY = "policy."


def noting_of(decision: Decision) -> Noting:
    """The facts of a decision, in such a way that what is read for them is noted."""
    return noting(decision.patient, decision.policy, decision.library.medicine_words)


def behind_statement(
    noted: Noting, library: Library, selection: Selection, statement: Statement
) -> tuple[str, ...]:
    """Keys and settings behind a statement: cited, asked by its rule, or shown by its words.

    Words are looked at only where its rule holds.

    Args:
        selection: What this patient gets.
    Raises:
        MissingFactError: A slot has no value for this patient.
    """
    condition, facts = library.conditions[statement.id], noted.facts

    def make() -> None:
        if condition.ask(facts.answers) is Answer.TRUE:
            filler_of(SlotSource(noted.patient, facts), selection).statement(statement)

    cited = (
        source
        for source in statement.sources
        if source.startswith(_POLICY) and source.removeprefix(_POLICY) not in noted.policy.ordered
    )
    return tuple(dict.fromkeys((*cited, *noted.behind(make))))


def _settings(noted: Noting, work: Callable[[], object]) -> list[str]:
    return list(settings_in(noted.behind(work)))


def _reminders(noted: Noting) -> object:
    zone = noted.policy.word("time_zone")
    return zone, reminders(noted.patient, noted.policy, noted.facts)


def settings_read(decision: Decision) -> dict[str, Any]:
    """Settings by what was read with them: each statement that prints, each fact that was asked,
    the findings, the day's totals and the reminders for the phone.
    """
    noted, library, selection = noting_of(decision), decision.library, decision.selection
    facts = noted.facts
    asked = dict.fromkeys(fact for row in selection.rulings for fact in row.condition.facts())
    printed = [
        statement
        for chosen in selection.modules
        for section in chosen.sections
        for statement in section.statements
    ]
    statements = {
        st.id: settings_in(behind_statement(noted, library, selection, st)) for st in printed
    }
    answers = {fact: _settings(noted, partial(facts.answers.get, fact)) for fact in asked}
    return {
        "statements": {name: list(read) for name, read in statements.items() if read},
        "facts": {name: read for name, read in answers.items() if read},
        "findings": _settings(noted, lambda: judge(library.rules, facts, noted.patient)),
        "totals": _settings(noted, lambda: facts.totals),
        "reminders": _settings(noted, lambda: _reminders(noted)),
    }
