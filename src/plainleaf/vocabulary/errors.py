"""Every exception of plainleaf, sorted by who can fix it.

PlainleafError
├── PatientError      the clinician: the patient file cannot be read as it stands
│   └── MissingFactError   a value the packet needs is not in the patient file
├── StoppedError      the clinician: open findings keep the packet from being built
├── ContentError      the author: a teaching file cannot be read as it stands
├── PolicyError       the facility: a setting is missing, out of range or past its review
├── ConfigurationError   the facility: what it named to work with is not there
├── LocaleError       the translator: words are missing, stale or their slots differ
├── UnitError         a number or unit cannot be read (turned into one of the above by loaders)
├── RenderError       the developer: the page cannot be made
│   └── CacheError         the folder for fonts and compiled templates cannot be used
├── CheckError        nobody hands this packet out: the finished print is not what was meant
├── ExchangeError     a bundle from outside cannot be read, or does not say enough
├── ReplaceError      the packet that is to be replaced is another patient's, or is newer
├── SheetError        a filled teach-back sheet cannot be read, or belongs to another packet
├── RecordError       a record cannot be read, or an older program wrote it
└── DeliveryError     the files cannot be written
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Fault:
    """One thing wrong in a file: where, what, and what to write instead.

    Line 0 is the file as a whole.
    """

    file: str
    line: int
    wrong: str
    instead: str = ""

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}" if self.line else self.file
        tail = f" {self.instead}" if self.instead else ""
        return f"{place}: {self.wrong}{tail}"


class PlainleafError(Exception):
    """Root of all errors that plainleaf raises on purpose."""


class _FaultyFile(PlainleafError, ValueError):
    """A file with one or more faults; `faults` holds them all, in file order."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        super().__init__("\n".join(str(fault) for fault in faults))
        self.faults = tuple(faults)

    def __reduce__(self) -> tuple[type, tuple[tuple[Fault, ...]]]:
        return type(self), (self.faults,)


class PatientError(_FaultyFile):
    """The patient file cannot be read as it stands."""


class ContentError(_FaultyFile):
    """A teaching file cannot be read as it stands."""


class PolicyError(_FaultyFile):
    """The policy file cannot be read as it stands."""


class ConfigurationError(_FaultyFile):
    """What `plainleaf.toml`, the environment or an option names cannot be taken as it stands."""


class LocaleError(_FaultyFile):
    """A catalog cannot be used as it stands."""


class MissingFactError(PlainleafError, LookupError):
    """A fact is unknown where an answer is needed.

    `fact` is its name, `needs` the patient-file key that would settle it.
    """

    def __init__(self, fact: str, needs: str) -> None:
        super().__init__(f"{fact} is not known: write {needs} in the patient file")
        self.fact = fact
        self.needs = needs

    def __reduce__(self) -> tuple[type, tuple[str, str]]:
        return type(self), (self.fact, self.needs)


class StoppedError(PlainleafError, ValueError):
    """No packet may be built while these findings are open; `findings` holds their ids."""

    def __init__(self, findings: Sequence[str]) -> None:
        super().__init__(f"no packet may be built before this is settled: {', '.join(findings)}")
        self.findings = tuple(findings)

    def __reduce__(self) -> tuple[type, tuple[tuple[str, ...]]]:
        return type(self), (self.findings,)


class UnitError(PlainleafError, ValueError):
    """A number or unit cannot be read; `wrong` says why, `instead` what to write."""

    def __init__(self, wrong: str, instead: str) -> None:
        super().__init__(f"{wrong} {instead}")
        self.wrong = wrong
        self.instead = instead

    def __reduce__(self) -> tuple[type, tuple[str, str]]:
        return type(self), (self.wrong, self.instead)


class RenderError(PlainleafError, RuntimeError):
    """The page cannot be made from sound input: a fault of the program or of a template."""


class CacheError(RenderError):
    """The folder in which fonts and compiled templates are kept cannot be used."""


class CheckError(PlainleafError, RuntimeError):
    """The finished print differs from what was meant; `faults` lists each difference."""

    def __init__(self, faults: Sequence[str]) -> None:
        super().__init__("\n".join(faults))
        self.faults = tuple(faults)

    def __reduce__(self) -> tuple[type, tuple[tuple[str, ...]]]:
        return type(self), (self.faults,)


class ExchangeError(PlainleafError, ValueError):
    """A bundle from outside cannot be taken; one line a fault, each with the file's name."""


class ReplaceError(PlainleafError, ValueError):
    """A packet cannot replace the one that was named; the message says why and what to do."""


class SheetError(PlainleafError, ValueError):
    """A filled teach-back sheet cannot be read; the message is one line: file, wrong, instead."""


class RecordError(PlainleafError, ValueError):
    """A record cannot be read, or lacks what is compared; the message says what to do."""


class DeliveryError(PlainleafError, OSError):
    """The files of the packet cannot be written; nothing was left half written."""
