"""The proof of the words: reading level, print rules, checklists, glossary, sources.

Pure functions over worded packets; nothing here reads a patient file or makes a page.
"""

from __future__ import annotations

from plainleaf.authoring.readability.pieces import Printed, Remark
from plainleaf.authoring.readability.proof import (
    PacketProof,
    WordProof,
    prove_packet,
    prove_words,
)

__all__ = ["PacketProof", "Printed", "Remark", "WordProof", "prove_packet", "prove_words"]
