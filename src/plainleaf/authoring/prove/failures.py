"""What a proof hands on: a fault with the class of patient that shows it, and counts."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field

from plainleaf.authoring.prove.duties import Duties
from plainleaf.authoring.prove.search import Search
from plainleaf.authoring.prove.texts import Place
from plainleaf.authoring.readability.glossary import Term
from plainleaf.inputs.content import Library


@dataclass(frozen=True)
class Failure:
    """One thing that is not as it must be.

    `patient`: the answers of a smallest class that shows it; None where nobody shows it, because
    the fault is that something reaches no one.
    """

    proof: str
    place: Place
    says: str
    patient: Mapping[str, str] | None = None

    def __str__(self) -> str:
        return f"{self.place}: {self.says}"


@dataclass
class Proving:
    """One run: what is proved, with which search, and what was counted on the way.

    `any_facility`: the search knows every setting that is allowed, so what nobody gets is dead;
    in one facility it may be there for others.
    """

    library: Library
    search: Search
    duties: Duties
    terms: tuple[Term, ...]
    any_facility: bool = True
    counts: Counter[str] = field(default_factory=Counter)


# A proof: takes the run, gives the faults it finds, one after the other.
Proof = Callable[[Proving], Iterator[Failure]]
