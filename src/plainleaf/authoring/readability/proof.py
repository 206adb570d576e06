"""The proof of the words over many packets: one after the other, so that memory stays flat."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field

from plainleaf.authoring.readability.cdc import INDEX, cdc, cdc_remarks
from plainleaf.authoring.readability.checklist import AID, Rating
from plainleaf.authoring.readability.evidence import (
    evidence,
    evidence_lines,
    evidence_remarks,
)
from plainleaf.authoring.readability.glossary import (
    Glossary,
    explained_words,
    first_uses,
    load_glossary,
    term_remarks,
)
from plainleaf.authoring.readability.other_levels import (
    OtherLevel,
    hardest_lines,
    other_level,
)
from plainleaf.authoring.readability.packet_view import Look
from plainleaf.authoring.readability.pemat import A, U, pemat, pemat_remarks
from plainleaf.authoring.readability.pieces import Printed, Remark
from plainleaf.authoring.readability.print_rules import print_remarks
from plainleaf.authoring.readability.reading_level import (
    PacketLevel,
    level_remarks,
    packet_level,
    worst,
)
from plainleaf.authoring.readability.tally import Tally
from plainleaf.inputs.catalog import SOURCE
from plainleaf.inputs.content import Library

# As many remarks are printed; the rest is counted.
MOST_LINES = 60


@dataclass(frozen=True)
class PacketProof:
    """What the proof says of one packet in English."""

    name: str
    level: PacketLevel
    pemat: Rating
    cdc: Rating
    remarks: tuple[Remark, ...]

    def line(self) -> str:
        """The packet in one line: worst page or section, scores."""
        scores = (
            f"PEMAT-P understandability {_score(self.pemat, U)}, actionability "
            f"{_score(self.pemat, A)}; CDC index {_score(self.cdc, INDEX)}"
        )
        top = worst(self.level.pages, 1)[0]
        return (
            f"{self.name}: worst {top.where} at grade {top.grade:.1f} raw, "
            f"{top.grade_explained:.1f} explained; whole packet {self.level.whole.grade:.1f}; "
            f"{scores}"
        )


def _score(rating: Rating, domain: str) -> str:
    value = rating.score(domain)
    return "not decided" if value is None else f"{value:.1f}"


def prove_packet(printed: Printed, glossary: Glossary) -> PacketProof:
    """The proof of one packet in English: level, print rules, terms, checklists.

    Raises:
        NoFormulaError: The packet is in another language.
    """
    firsts = first_uses(printed, glossary)
    level = packet_level(printed, explained_words(firsts))
    look = Look(printed, tuple(firsts))
    rated, index = pemat(look), cdc(look)
    remarks = (
        *level_remarks(level),
        *print_remarks(printed),
        *term_remarks(printed, glossary, firsts),
        *pemat_remarks(rated, printed.name),
        *cdc_remarks(index, printed.name),
    )
    return PacketProof(printed.name, level, rated, index, remarks)


@dataclass
class WordProof:
    """Collects the proofs of many packets; each remark is kept once, with how often it shows."""

    library: Library
    glossary: Glossary
    packets: int = 0
    left_out: str = ""
    tally: Tally = field(default_factory=Tally)
    printed: Counter[str] = field(default_factory=Counter)
    shown: list[PacketProof] = field(default_factory=list)
    others: list[OtherLevel] = field(default_factory=list)
    _remarks: dict[tuple[str, str, str], tuple[Remark, int]] = field(default_factory=dict)

    def add(self, printed: Printed) -> None:
        """Prove one packet more; one that was laid out keeps its own line in the report.

        The checklists and the glossary go by English words. A packet in another language has the
        same statements, so that of it the level and the rules of print are proved.
        """
        self.packets += 1
        if printed.packet.language != SOURCE:
            level = other_level(printed)
            self.others.append(level)
            self._keep((*level.remarks, *print_remarks(printed)))
            return
        proof = prove_packet(printed, self.glossary)
        if printed.pages:
            self.shown.append(proof)
        self.printed.update(printed.packet.statements().keys())
        self.tally.add(printed.name, printed.kind, proof.level, (proof.pemat, proof.cdc))
        if not self.left_out:
            self.left_out = ", ".join(f"{n} {what}" for what, n in proof.level.left_out.items())
        self._keep(proof.remarks)

    def _keep(self, remarks: Iterable[Remark]) -> None:
        for remark in remarks:
            key = (remark.rule, remark.where, remark.says)
            first, many = self._remarks.get(key, (remark, 0))
            self._remarks[key] = (first, many + 1)

    def remarks(self) -> list[Remark]:
        """Every remark once, faults first."""
        remarks = [remark for remark, _ in self._remarks.values()]
        remarks += evidence_remarks(evidence(self.library, self.printed))
        return sorted(remarks, key=lambda remark: (remark.level, remark.rule, remark.where))

    @property
    def faults(self) -> list[Remark]:
        """What stops the proof."""
        return [remark for remark in self.remarks() if remark.level == "fault"]

    def report(self, *, items: bool = False) -> str:
        """The report in words.

        Args:
            items: Print every item of both checklists with its verdicts.
        """
        faults = len(self.faults)
        lines = [
            f"Words of {self.packets} packets: {faults} faults.",
            "Reading level: Flesch-Kincaid grade by page; where a packet was not laid out, by",
            "stretches of sections about a page long. Hardest:",
            *self.tally.hardest_lines(),
            *(proof.line() for proof in self.shown),
            *hardest_lines(self.others),
            f"Checklists, over the items that a program decides. {AID}",
            *self.tally.kind_lines(),
        ]
        if self.left_out:
            lines.append(f"Not scored in the first packet: {self.left_out}")
        if items:
            lines += ["", "Items", *self.tally.item_lines()]
        lines += ["", "Remarks", *self._remark_lines()]
        lines += ["", "Sources", *evidence_lines(evidence(self.library, self.printed))]
        return "\n".join(lines) + "\n"

    def _remark_lines(self) -> list[str]:
        remarks = self.remarks()
        lines = []
        for remark in remarks[:MOST_LINES]:
            _, many = self._remarks.get((remark.rule, remark.where, remark.says), (remark, 1))
            lines.append(f"{remark}" + (f" and {many - 1} more" if many > 1 else ""))
        if len(remarks) > MOST_LINES:
            lines.append(f"and {len(remarks) - MOST_LINES} remarks more")
        return lines or ["none"]


def prove_words(library: Library, packets: Iterable[Printed]) -> WordProof:
    """Proves the words of packets, one at a time.

    Raises:
        ContentError: The glossary of the library cannot be read.
    """
    proof = WordProof(library, load_glossary(library.folder))
    for printed in packets:
        proof.add(printed)
    return proof
