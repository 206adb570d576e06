"""Slot values and tables for one patient: typed amounts, times and phrases, still no language."""

from plainleaf.compose.fill.filling import BLOCKS, Filler, fill
from plainleaf.compose.fill.records import (
    Block,
    Cell,
    FilledModule,
    FilledPacket,
    FilledPrompt,
    FilledSection,
    FilledSkill,
    FilledStatement,
    FilledText,
)
from plainleaf.compose.fill.source import Source, port_phrase
from plainleaf.compose.fill.tables_card import card_day, card_facts, card_ports
from plainleaf.compose.fill.tables_day import dose_value, event_words

__all__ = [
    "BLOCKS",
    "Block",
    "Cell",
    "FilledModule",
    "FilledPacket",
    "FilledPrompt",
    "FilledSection",
    "FilledSkill",
    "FilledStatement",
    "FilledText",
    "Filler",
    "Source",
    "card_day",
    "card_facts",
    "card_ports",
    "dose_value",
    "event_words",
    "fill",
    "port_phrase",
]
