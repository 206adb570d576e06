"""Slot values and tables for one patient: typed amounts, times and phrases, still no language."""

from plainleaf.compose.fill.filled_packet import (
    Cell,
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
from plainleaf.compose.fill.filling import BLOCKS, Filler, fill, filler_of
from plainleaf.compose.fill.medicine_words import dose_value
from plainleaf.compose.fill.source import SlotSource, port_phrase
from plainleaf.compose.fill.tables_day import event_words

__all__ = [
    "BLOCKS",
    "Cell",
    "FilledBlock",
    "FilledModule",
    "FilledPacket",
    "FilledPage",
    "FilledPrompt",
    "FilledSection",
    "FilledSkill",
    "FilledStatement",
    "FilledText",
    "Filler",
    "SlotSource",
    "dose_value",
    "event_words",
    "fill",
    "filler_of",
    "port_phrase",
]
