"""Which statement, table or paper prints each value that was typed in a patient file of format 2.

All that somebody reads is filled once more from a patient of whom every value is noted that is
read. A value prints where words are made from it; a word of a list, a flag and a date also where a
rule asks for it and its statement prints.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from functools import cache, partial

from plainleaf.compose.fill import SlotSource, filler_of
from plainleaf.compose.word import Wording, wording_of
from plainleaf.facts import Noting, noting_leaves
from plainleaf.facts.leaf_places import typed_behind
from plainleaf.inputs.content import Statement, slots_in
from plainleaf.inputs.load_inputs import Inputs
from plainleaf.inputs.patient import Patient
from plainleaf.inputs.patient.order_values import Decided, Settled
from plainleaf.packet.calendar import reminders
from plainleaf.packet.papers.handout import cautions_of, handout_title
from plainleaf.packet.papers.paper import furniture
from plainleaf.packet.papers.teach_back import sheet_case
from plainleaf.packet.sheet.sheet_rows import session_words
from plainleaf.rules import decision as deciding
from plainleaf.rules.decision import Decision
from plainleaf.rules.findings import Finding, Settlement
from plainleaf.rules.select import SelectedModule
from plainleaf.rules.typed_keys import TypedKey, not_printed, unprinted, without_numbers
from plainleaf.vocabulary.errors import MissingFactError
from plainleaf.vocabulary.patient_file import FORMAT_2, Count, Flag, Scalar, Word
from plainleaf.vocabulary.patient_file.leaf_shapes import leaf_shapes

# Every page; the nurse's sheet and the reminders besides what the handout prints.
EVERY_PAGE, SHEET, CALENDAR = "every-page", "sheet", "calendar"
# What a decision takes back; the sheet says so in the line of that decision.
TAKEN_BACK = {"not-taught": "tube.may_put_back."}
_DATES = ("date", "date with time", "date, perhaps with time")
Work = Callable[[], object]


@cache
def shown_by_a_rule() -> frozenset[str]:
    """Keys that a rule alone can show: which words print is what they say."""
    return frozenset(
        key
        for key, shapes in leaf_shapes(FORMAT_2).items()
        if any(
            isinstance(shape, Word | Flag | Count)
            or (isinstance(shape, Scalar) and shape.name in _DATES)
            for shape in shapes
        )
    )


def typed_keys(decision: Decision) -> tuple[TypedKey, ...]:
    """What prints each typed value, in file order; nothing of a file of format 1."""
    typed = decision.patient.typed
    prints: dict[str, list[str]] = {key: [] for key in typed}
    for name, keys in _Prints(decision).parts():
        for key in keys:
            if name not in prints[key]:
                prints[key].append(name)
    return tuple(
        TypedKey(key, tuple(names or _of_the_only_port(key, prints)))
        for key, names in prints.items()
    )


def _of_the_only_port(key: str, prints: Mapping[str, list[str]]) -> list[str]:
    """What prints the way of an order where the tube has one port: what prints that port."""
    ports = [names for name, names in prints.items() if name.startswith("tube.ports.")]
    return ports[0] if key.endswith(".through") and len(ports) == 1 else []


class _Prints:
    """All that is printed of one decision, part by part, with the typed keys behind each."""

    def __init__(self, decision: Decision) -> None:
        library = decision.library
        self.noted: Noting = noting_leaves(
            decision.patient, decision.policy, library.medicine_words, decision.facts
        )
        inputs = replace(decision.inputs, patient=self.noted.patient, policy=self.noted.policy)
        self.decision = replace(decision, inputs=inputs, facts=self.noted.facts)
        source = SlotSource(self.noted.patient, self.noted.facts)
        self.filler = filler_of(source, decision.selection)
        self.patient = decision.patient
        self.child = decision.facts.answers["child"] == "true"
        self.asked = {ruling.statement: ruling.facts for ruling in decision.selection.rulings}
        self.typed = frozenset(decision.patient.typed)
        self._places: dict[str, frozenset[str]] = {}
        self._facts: dict[str, frozenset[str]] = {}
        self._slots: dict[str, frozenset[str]] = {}

    def parts(self) -> Iterator[tuple[str, Iterable[str]]]:
        """Name of a part → the typed keys that it prints."""
        for chosen in self.decision.selection.modules:
            yield from self._module(chosen)
        wording = wording_of(self.decision)
        yield EVERY_PAGE, self._behind(partial(self._every_page, wording))
        yield SHEET, self._behind(partial(_sheet, self.decision, self.patient, wording))
        yield SHEET, self._taken_back()
        yield CALENDAR, self._behind(self._calendar)

    # --- what stands behind some words --------------------------------------------------------

    def _behind(self, work: Work) -> frozenset[str]:
        """The typed keys behind some words; of words that cannot be filled, those read so far."""

        def tried() -> None:
            try:
                work()
            except MissingFactError:
                return

        _, looks = self.noted.notebook.looked(tried)
        return _all(self._place(place) for place in looks)

    def _place(self, place: str) -> frozenset[str]:
        if place not in self._places:
            self._places[place] = frozenset(typed_behind(place, self.typed))
        return self._places[place]

    def _fact(self, name: str) -> frozenset[str]:
        """The typed keys that a fact shows by its answer alone."""
        if name not in self._facts:
            keys = self._behind(lambda: self.noted.facts.answers[name])
            shown = shown_by_a_rule()
            self._facts[name] = frozenset(key for key in keys if without_numbers(key) in shown)
        return self._facts[name]

    def _slot(self, name: str) -> frozenset[str]:
        if name not in self._slots:
            self._slots[name] = self._behind(lambda: self.noted.facts.values.get(name))
        return self._slots[name]

    def _words(self, text: str) -> frozenset[str]:
        return _all(map(self._slot, slots_in(text)))

    # --- the handout and what is asked of it --------------------------------------------------

    def _module(self, chosen: SelectedModule) -> Iterator[tuple[str, frozenset[str]]]:
        module, child = chosen.module, self.child
        yield module.id, self._words(module.words(child=child))
        for selected in chosen.sections:
            yield selected.section.id, self._words(selected.section.words(child=child))
            for statement in selected.statements:
                yield statement.id, self._statement(statement)
        for prompt in chosen.teach_back:
            asks = (prompt.child_ask, prompt.child_again) if child else (None, None)
            texts = zip(asks, (prompt.ask, prompt.again), strict=True)
            yield prompt.id, _all(self._words(own or text) for own, text in texts)
        for skill in chosen.show_back:
            yield skill.id, self._words((child and skill.child_title) or skill.title)

    def _statement(self, statement: Statement) -> frozenset[str]:
        by_rule = _all(map(self._fact, self.asked[statement.id]))
        if statement.kind == "block" or statement.picture is not None:
            return by_rule | self._behind(lambda: self.filler.statement(statement))
        return by_rule | self._words(statement.words(child=self.child))

    # --- the rest -----------------------------------------------------------------------------

    def _every_page(self, wording: Wording) -> object:
        """Head and foot, the title, the cautions; the language and size of all that is printed."""
        decision, person = self.decision, self.noted.patient.person
        readers = [learner.language for learner in self.noted.patient.learners]
        return (
            handout_title(decision, wording),
            furniture(decision, wording, handout_title(decision, wording), ""),
            cautions_of(decision, wording),
            (person.language, person.print_size, person.born, readers),
        )

    def _taken_back(self) -> frozenset[str]:
        """The typed keys of orders that a decision took back."""
        orders = {TAKEN_BACK[one.do] for one in self.patient.outcomes if one.do in TAKEN_BACK}
        return frozenset(key for key in self.typed if key.startswith(tuple(orders)))

    def _calendar(self) -> object:
        return reminders(self.noted.patient, self.noted.policy, self.noted.facts)


def _all(several: Iterable[frozenset[str]]) -> frozenset[str]:
    return frozenset().union(*several)


def _sheet(decision: Decision, patient: Patient, wording: Wording) -> object:
    """What the nurse's sheet says besides the teaching.

    Args:
        patient: As it is read; `decision` holds the one that notes.
    """
    lines = _lines_of(decision.patient, patient)
    findings = tuple(_noted(finding, lines) for finding in decision.findings)
    sessions = enumerate(decision.patient.sessions, 1)
    return (
        sheet_case(replace(decision, findings=findings), wording),
        [session_words(number, one, decision.patient, wording) for number, one in sessions],
    )


_Lines = list[tuple[Decided, Settled, Decided]]


def _lines_of(noted: Patient, patient: Patient) -> _Lines:
    """Each line of `settled` with its block and itself as they are noted."""
    return [
        (line, noted.settled[number], noted.settled[number].decided[place])
        for number, block in enumerate(patient.settled)
        for place, line in enumerate(block.decided)
    ]


def _noted(finding: Finding, lines: _Lines) -> Finding:
    """A finding with what settled it noted when it is read; what it is about stands in its name."""
    settled = finding.settled
    if settled is None:
        return finding
    mine = [found for found in lines if any(found[0] is line for line in settled.decisions)]
    block = mine[0][1]
    for _, _, line in mine:
        _ = line.about
    decisions = tuple(line for _, _, line in mine)
    return replace(finding, settled=Settlement(block.by, block.other, block.on, decisions))


def decide(inputs: Inputs) -> Decision:
    """Everything that follows from the inputs, with a stop for what was typed and prints nowhere.

    Where something else stops, nothing is said of it: which words print depends on the answers.
    """
    decision = deciding.decide(inputs)
    if decision.patient.format == 1 or decision.stopped:
        return decision
    typed = typed_keys(decision)
    stops = tuple(map(not_printed, unprinted(typed)))
    return replace(decision, typed=typed, findings=(*stops, *decision.findings))
