"""Reads all teaching content and reports every fault at once."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from plainleaf.authoring.prove.due import weakened_for_somebody
from plainleaf.authoring.prove.legal import legal_model
from plainleaf.authoring.prove.search import Search
from plainleaf.authoring.prove.tiers import told, unnamed
from plainleaf.facts import VOCABULARY
from plainleaf.inputs.content import TIERS, Library, Module, load_library
from plainleaf.vocabulary.errors import ContentError, Fault
from plainleaf.vocabulary.words_2 import DUTIES

_YES_NO = re.compile(r"^(do|does|did|is|are|can|could|have|has|will|would) ", re.I)
_SHAMING = re.compile(
    r"\b(test|quiz|wrong|failed|compliant|do you understand|any questions)\b", re.I
)
# Words of a tier that a line of a lower tier must not hold.
_OF_EMERGENCY = re.compile(
    r"\{emergency_phone\}|\b911\b|\bemergency\b|\bat once\b|\bright away\b", re.I
)
_OF_NOW = re.compile(r"\bnow\b(?! over)", re.I)
PUT_BACK = "Page 1 must hold the emergencies of the program: put the line back."
_SYMBOLS = re.compile(r"[<>&+/°@]|\bcc\b|\b[0-9]")


def lint(folder: Path) -> tuple[Library | None, list[Fault]]:
    """The library of a folder, and every fault found in it."""
    try:
        library = load_library(folder, VOCABULARY)
    except ContentError as error:
        return None, list(error.faults)
    faults = [fault for module in library.modules for fault in _module_faults(module)]
    faults += _unused_acts(library)
    faults += _unasked_duties(library)
    faults += _unnamed_events(library)
    faults += _lacking_emergencies(library)
    return library, sorted(faults, key=lambda fault: (fault.file, fault.line))


def _module_faults(module: Module) -> Iterator[Fault]:
    for identity, line, text in _texts(module):
        symbol = _SYMBOLS.search(re.sub(r"\{[a-z_]+\}", "", text))
        if symbol:
            wrong = f"'{identity}' holds '{symbol[0]}', a number or symbol outside a slot."
            yield Fault(module.file, line, wrong, "Use a slot or a word.")
    yield from _tier_faults(module)
    for prompt in module.teach_back:
        for ask in filter(None, (prompt.ask, prompt.child_ask)):
            sentences = re.split(r"(?<=[.?])\s+", ask)
            if any(_YES_NO.match(s) and s.endswith("?") for s in sentences):
                yield Fault(module.file, prompt.line, f"'{prompt.id}' asks a yes-or-no question.")
            if _SHAMING.search(ask):
                yield Fault(module.file, prompt.line, f"'{prompt.id}' holds a word that shames.")


def _tier_faults(module: Module) -> Iterator[Fault]:
    """Lines that hold the words of a higher tier than their own: each line says one haste."""
    for _, statement in module.statements():
        if statement.kind not in TIERS[1:]:
            continue
        for text in filter(None, (statement.text, statement.child_text)):
            word = _OF_EMERGENCY.search(text)
            if word is None and statement.kind in TIERS[2:]:
                word = _OF_NOW.search(text)
            if word:
                wrong = f"'{statement.id}' is of the tier {statement.kind} and says '{word[0]}'."
                yield Fault(module.file, statement.line, wrong, "Give the line a tier of its own.")


def _texts(module: Module) -> Iterator[tuple[str, int, str]]:
    """Every text of a module with the id and line it stands at."""
    texts: list[tuple[str, int, str | None]] = [
        (module.id, 1, module.title),
        (module.id, 1, module.child_title),
    ]
    for section in module.sections:
        texts += [(section.id, section.line, t) for t in (section.heading, section.child_heading)]
        for st in section.statements:
            words = (None, None) if st.kind == "block" else (st.text, st.child_text)
            texts += [(st.id, st.line, text) for text in words]
    for prompt in module.teach_back:
        words_of_prompt = (prompt.ask, prompt.child_ask, prompt.again, prompt.child_again)
        texts += [(prompt.id, prompt.line, text) for text in words_of_prompt]
    for skill in module.show_back:
        texts += [(skill.id, skill.line, text) for text in (skill.title, skill.child_title)]
    yield from ((identity, line, text) for identity, line, text in texts if text is not None)


def _unused_acts(library: Library) -> Iterator[Fault]:
    used = Counter(
        advice.act
        for module in library.modules
        for _, statement in module.statements()
        for advice in statement.advice
    )
    for act in library.acts:
        if not used[act]:
            yield Fault("acts.yaml", 0, f"'{act}' is used by no statement.", "Take it out.")


def _lacking_emergencies(library: Library) -> Iterator[Fault]:
    """Emergencies that page 1 lacks, or says too weakly, for some kind of patient."""
    for lacking, _ in weakened_for_somebody(library, Search(legal_model())):
        yield Fault(lacking.file, lacking.line, lacking.says, PUT_BACK)


def _unnamed_events(library: Library) -> Iterator[Fault]:
    """Lines of the finder without an event, and events that only one line tells of."""
    for place in unnamed(library):
        yield Fault(place.file, place.line, f"'{place.id}' names no event.", "Write event: [name].")
    led = any(st.leads_to for module in library.modules for _, st in module.statements())
    for event, lines in told(library).items() if led else ():
        if len(lines) == 1:
            place = lines[0].place
            wrong = f"'{place.id}' alone tells of '{event}'."
            yield Fault(place.file, place.line, wrong, "Write the name that its other lines have.")


def _unasked_duties(library: Library) -> Iterator[Fault]:
    """Duties of which nobody is asked anything, in a library that knows duties."""
    asked = {word for m in library.modules for item in m.asked() for word in item.asked_of.duty}
    for duty in DUTIES if asked else ():
        if duty not in asked:
            yield Fault("modules", 0, f"nothing is asked of who has the duty {duty}.",
                        "Give a question or a skill duty: …")  # fmt: skip
