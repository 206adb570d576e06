"""What the proofs of many packets come to: by kind of packet, and by checklist item."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field

from plainleaf.authoring.readability.cdc import INDEX
from plainleaf.authoring.readability.checklist import Item, Rating
from plainleaf.authoring.readability.pemat import A, U
from plainleaf.authoring.readability.reading_level import Level, PacketLevel, worst

_WORST = 3


@dataclass
class KindTally:
    """One kind of packet: how many, the hardest page, the lowest scores."""

    kind: str
    packets: int = 0
    hardest: Level | None = None
    lowest: dict[str, float] = field(default_factory=dict)

    def add(self, level: PacketLevel | None, ratings: tuple[Rating, Rating]) -> None:
        """Count one packet more."""
        self.packets += 1
        if level is not None:
            top = worst(level.pages, 1)[0]
            if self.hardest is None or top.grade > self.hardest.grade:
                self.hardest = top
        for rating, domain in ((ratings[0], U), (ratings[0], A), (ratings[1], INDEX)):
            value = rating.score(domain)
            if value is not None:
                self.lowest[domain] = min(value, self.lowest.get(domain, value))

    def line(self) -> str:
        """The kind in one line."""
        level = "no validated grade formula"
        if self.hardest is not None:
            level = (
                f"hardest page at grade {self.hardest.grade:.1f} raw, "
                f"{self.hardest.grade_explained:.1f} explained ({self.hardest.where})"
            )
        scores = ", ".join(f"{domain} {value:.1f}" for domain, value in self.lowest.items())
        packets = "packet" if self.packets == 1 else "packets"
        return f"  {self.kind}, {self.packets} {packets}: {level}; lowest scores: {scores}"


@dataclass
class Tally:
    """Everything that is counted over many packets."""

    kinds: dict[str, KindTally] = field(default_factory=dict)
    verdicts: dict[Item, Counter[str]] = field(default_factory=dict)
    checked: dict[Item, str] = field(default_factory=dict)
    hardest: list[tuple[float, str, str]] = field(default_factory=list)

    def add(
        self, name: str, kind: str, level: PacketLevel | None, ratings: tuple[Rating, Rating]
    ) -> None:
        """Count one packet more."""
        self.kinds.setdefault(kind, KindTally(kind)).add(level, ratings)
        for rating in ratings:
            for item, result in rating.results.items():
                self.verdicts.setdefault(item, Counter())[result.verdict] += 1
                self.checked.setdefault(item, result.checked)
        for page in worst(level.pages, _WORST) if level is not None else ():
            self.hardest.append((page.grade, name, str(page)))
        self.hardest = sorted(self.hardest, reverse=True)[:_WORST]

    def kind_lines(self) -> Iterator[str]:
        """A line for each kind of packet, in order of its name."""
        for kind in sorted(self.kinds):
            yield self.kinds[kind].line()

    def hardest_lines(self) -> Iterator[str]:
        """The pages that are hardest to read."""
        for _, name, page in self.hardest:
            yield f"  {name}, {page}"

    def item_lines(self) -> Iterator[str]:
        """Every item of both checklists: its verdicts, and what was checked in the first packet."""
        for item, counts in self.verdicts.items():
            verdicts = ", ".join(f"{verdict} {many}" for verdict, many in counts.items())
            yield f"  {item.id} {item.says}: {verdicts} ({self.checked[item]})"
