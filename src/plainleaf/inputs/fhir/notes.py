"""What a bundle does not say or says twice, kept for the head of the file and the screen."""

from __future__ import annotations

from dataclasses import dataclass, field

from plainleaf.inputs.fhir.codes import printable


@dataclass
class Notes:
    """What could not be known or does not fit, one line each."""

    lines: list[str] = field(default_factory=list)

    def add(self, place: str, says: str) -> None:
        """Keep one line."""
        self.lines.append(printable(f"{place}: {says}"))
