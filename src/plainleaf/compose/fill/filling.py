"""Fills the selected statements: slots, tables and pictures."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import replace

from plainleaf.compose.fill import (
    tables_contacts,
    tables_day,
    tables_doses,
    tables_drain,
    tables_feed_orders,
    tables_feeds,
    tables_medicines,
    tables_mouth,
    tables_recipes,
    tables_sugar,
    tables_tube,
    tables_visits,
    tables_water,
)
from plainleaf.compose.fill.filled_packet import (
    FilledBlock,
    FilledModule,
    FilledPacket,
    FilledPage,
    FilledPrompt,
    FilledSection,
    FilledSkill,
    FilledStatement,
    FilledText,
)
from plainleaf.compose.fill.ordered_words import ordered_section
from plainleaf.compose.fill.picture_slots import fill_picture
from plainleaf.compose.fill.source import SlotSource
from plainleaf.facts.derived import Phrase, Typed
from plainleaf.inputs.content import ShowBack, Statement, TeachBack, pointer_to, slots_in
from plainleaf.rules.decision import Decision, meaning_of_slot
from plainleaf.rules.select import SelectedModule, SelectedSection, Selection
from plainleaf.vocabulary.errors import MissingFactError

BLOCKS: dict[str, Callable[[SlotSource], FilledBlock]] = {
    "contacts_box": tables_contacts.contacts_box,
    "contacts_more": tables_contacts.contacts_more,
    "low_sugar_box": tables_sugar.low_sugar_box,
    "watch_calls": tables_sugar.watch_calls,
    "watch_calls_now": tables_sugar.watch_calls_now,
    "watch_table": tables_sugar.watch_table,
    "port_table": tables_tube.port_table,
    "tube_card": tables_tube.tube_card,
    "first_days_table": tables_tube.first_days_table,
    "other_lines_list": tables_tube.other_lines_list,
    "feed_table": tables_feeds.feed_table,
    "flush_table": tables_feeds.flush_table,
    "flush_kept_back": tables_water.flush_kept_back,
    "recipe_table": tables_recipes.recipe_table,
    "step_rules": tables_feed_orders.step_rules,
    "feeds_by_order": tables_feed_orders.feeds_by_order,
    "additives_table": tables_feed_orders.additives_table,
    "medicine_table": tables_medicines.medicine_table,
    "sugar_scale": tables_doses.sugar_scale,
    "dose_steps": tables_doses.dose_steps,
    "day_schedule": tables_day.day_schedule,
    "day_log": tables_day.day_log,
    "supplies_table": tables_feeds.supplies_table,
    "visits_table": tables_visits.visits_table,
    "mouth_table": tables_mouth.mouth_table,
    "drain_table": tables_drain.drain_table,
    "drain_log": tables_drain.drain_log,
    "vent_table": tables_drain.vent_table,
}


class Filler:
    """Fills statements of one patient.

    `numbers`: page → its number, for the texts that point to it; `sections`: those that this
    patient gets, for the lines of the finder.
    """

    def __init__(
        self, source: SlotSource, numbers: Mapping[str, int], sections: Collection[str] = ()
    ) -> None:
        self.source = source
        self.sections = sections
        self.facts = source.facts
        self.pointers = {
            pointer_to(page): Typed("count", number) for page, number in numbers.items()
        }

    def text(self, identity: str, adult: str, child: str | None) -> FilledText:
        """The words for this reader with a value for every slot.

        Raises:
            MissingFactError: A slot has no value for this patient.
        """
        use_child = self.source.child and child is not None
        words = child if use_child and child is not None else adult
        values = []
        for slot in slots_in(words):
            value = self.pointers.get(slot) or self.facts.values.get(slot)
            if value is None:
                raise MissingFactError(slot, meaning_of_slot(slot))
            values.append((slot, value))
        return FilledText(identity + ("+child" if use_child else ""), words, tuple(values))

    def statement(self, statement: Statement) -> FilledStatement:
        """A statement with its text, table or picture filled."""
        if statement.kind == "block":
            block = BLOCKS[statement.text](self.source)
            return FilledStatement(statement.id, "block", None, block, statement.sources)
        text = self.text(statement.id, statement.text, statement.child_text)
        if statement.picture is None or statement.alt is None:
            return FilledStatement(
                statement.id,
                statement.kind,
                text,
                None,
                statement.sources,
                leads_to=next((s for s in statement.leads_to if s in self.sections), None),
            )
        picture = fill_picture(statement.picture, self.source.patient, self.facts)
        alt = self.text(f"{statement.id}/alt", statement.alt, None)
        return FilledStatement(
            statement.id, statement.kind, text, None, statement.sources, picture, alt
        )

    def module(self, chosen: SelectedModule) -> FilledModule:
        """A module with all that it prints."""
        module = chosen.module
        sections = tuple(self.section(selected) for selected in chosen.sections)
        printed = frozenset(st.id for section in sections for st in section.statements)
        return FilledModule(
            module.id,
            self.text(f"{module.id}/title", module.title, module.child_title),
            sections,
            tuple(self.prompt(prompt, printed) for prompt in chosen.teach_back),
            tuple(self.skill(skill, sections) for skill in chosen.show_back),
        )

    def section(self, selected: SelectedSection) -> FilledSection:
        """A section with its statements."""
        section = selected.section
        return FilledSection(
            section.id,
            self.text(f"{section.id}/heading", section.heading, section.child_heading),
            section.level,
            tuple(self.statement(statement) for statement in selected.statements),
        )

    def prompt(self, prompt: TeachBack, printed: frozenset[str]) -> FilledPrompt:
        """A question; of what to listen for, only what this patient's handout prints."""
        return FilledPrompt(
            prompt.id,
            self.text(f"{prompt.id}/ask", prompt.ask, prompt.child_ask),
            tuple(name for name in prompt.listen_for if name in printed),
            self.text(f"{prompt.id}/again", prompt.again, prompt.child_again),
            prompt.critical,
            prompt.asked_of,
            tuple(
                (self.text(f"{prompt.id}/listen-{number}", heard.say, None), heard.of)
                for number, heard in enumerate(prompt.listen, 1)
                if printed & set(heard.of)
            ),
        )

    def skill(self, skill: ShowBack, sections: Sequence[FilledSection]) -> FilledSkill:
        """A skill with the steps that its section prints."""
        steps = tuple(
            st.id
            for section in sections
            if section.id == skill.section
            for st in section.statements
            if st.kind == "step"
        )
        title = self.text(f"{skill.id}/title", skill.title, skill.child_title)
        return FilledSkill(skill.id, title, skill.section, steps, skill.critical, skill.asked_of)


def filler_of(source: SlotSource, selection: Selection) -> Filler:
    """Fills the statements of one patient who gets these pages."""
    sections = frozenset(s.section.id for page in selection.pages for s in page.sections)
    return Filler(source, selection.page_numbers, sections)


def fill(decision: Decision) -> FilledPacket:
    """The selected statements with every slot and table filled.

    Raises:
        MissingFactError: A slot has no value for this patient.
    """
    selection = decision.selection
    source = SlotSource(decision.patient, decision.facts, selection.page_numbers)
    filler = filler_of(source, selection)
    modules = tuple(_with_orders(filler, decision))
    phrases = decision.library.phrases
    return FilledPacket(modules, tuple(_pages(decision, modules, phrases, child=source.child)))


def _with_orders(filler: Filler, decision: Decision) -> Iterator[FilledModule]:
    """The modules, each with the orders in words of its topic."""
    chosen = decision.selection.modules
    printed = [selected.module.id for selected in chosen]
    for selected in chosen:
        module = filler.module(selected)
        ordered = ordered_section(module.id, printed, decision.patient, decision.library.phrases)
        yield replace(module, sections=module.sections + ordered)


def _pages(
    decision: Decision,
    modules: Sequence[FilledModule],
    phrases: Collection[str],
    *,
    child: bool,
) -> Iterator[FilledPage]:
    """The pages with their sections; orders in words stand on the first page of their topic."""
    own = {s.section.id for page in decision.selection.pages for s in page.sections}
    ordered = {s.id: m for m in modules for s in m.sections if s.id not in own}
    for chosen in decision.selection.pages:
        sections = [selected.section.id for selected in chosen.sections]
        for name, module in list(ordered.items()):
            if any(section.id in sections for section in module.sections):
                sections.append(name)
                del ordered[name]
        yield FilledPage(
            chosen.page.id,
            chosen.page.part,
            chosen.number,
            Phrase(chosen.page.title(phrases, child=child)),
            tuple(sections),
        )
