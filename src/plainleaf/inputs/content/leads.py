"""Lines of the finder hold where what they lead to is printed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from plainleaf.inputs.content.loader import Loader
from plainleaf.inputs.content.teaching_parts import Module, Section, Statement
from plainleaf.vocabulary.conditions import Condition, both, some
from plainleaf.vocabulary.errors import Fault


def with_leads(loader: Loader, modules: Sequence[Module]) -> list[Module]:
    """The modules, in which each line that leads to sections holds only where one of them does."""
    holds = {s.id: both(m.when, s.when) for m in modules for s in m.sections}
    return [
        replace(module, sections=tuple(_section(loader, module, s, holds) for s in module.sections))
        for module in modules
    ]


def _section(
    loader: Loader, module: Module, section: Section, holds: Mapping[str, Condition]
) -> Section:
    return replace(
        section,
        statements=tuple(_statement(loader, module, s, holds) for s in section.statements),
    )


def _statement(
    loader: Loader, module: Module, statement: Statement, holds: Mapping[str, Condition]
) -> Statement:
    for name in statement.leads_to:
        if name not in holds:
            wrong = f"'{statement.id}' leads to '{name}', which is no section."
            loader.faults.append(Fault(module.file, statement.line, wrong))
    led = [holds[name] for name in statement.leads_to if name in holds]
    return replace(statement, when=both(statement.when, some(*led))) if led else statement
