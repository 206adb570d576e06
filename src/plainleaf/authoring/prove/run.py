"""All proofs over one library, one after the other, so that memory stays flat."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property
from time import monotonic

from plainleaf.authoring.prove.advice import prove_advice
from plainleaf.authoring.prove.choices import prove_choices
from plainleaf.authoring.prove.count import count_classes
from plainleaf.authoring.prove.due import prove_emergencies, prove_taught
from plainleaf.authoring.prove.duties import load_duties
from plainleaf.authoring.prove.failures import Failure, Proof, Proving
from plainleaf.authoring.prove.filled import prove_filled
from plainleaf.authoring.prove.legal import legal_model
from plainleaf.authoring.prove.lengths import prove_lengths
from plainleaf.authoring.prove.named import prove_named
from plainleaf.authoring.prove.reached import prove_reached
from plainleaf.authoring.prove.search import Search
from plainleaf.authoring.prove.taught_duties import prove_teach_back
from plainleaf.authoring.prove.tiers import prove_tiers
from plainleaf.authoring.readability.glossary import load_glossary
from plainleaf.inputs.content import Library
from plainleaf.inputs.policy import Policy

# In the order in which an author wants to see the faults.
PROOFS: tuple[tuple[str, Proof], ...] = (
    ("every choice has one variant", prove_choices),
    ("one stance on one act", prove_advice),
    ("every emergency is on page 1", prove_emergencies),
    ("one event has one tier", prove_tiers),
    ("nothing is named that is not there", prove_named),
    ("every slot and table is filled", prove_filled),
    ("what is asked agrees with what is said", prove_teach_back),
    ("every critical topic is taught back", prove_taught),
    ("no list is too long", prove_lengths),
    ("everything is reached by somebody", prove_reached),
)
Progress = Callable[[str], None]


@dataclass(frozen=True)
class Outcome:
    """What the proofs found.

    `counts` says how much they looked at, `seconds` how long it took. `search` answers further
    questions.
    """

    failures: tuple[Failure, ...]
    counts: Mapping[str, int]
    search: Search
    seconds: float

    @cached_property
    def legal(self) -> int:
        """How many kinds of patient there are, over all facts."""
        return count_classes(self.search)

    @property
    def facts(self) -> int:
        """How many facts the kinds of patient differ in."""
        return len(self.search.coding.names)

    @property
    def proved(self) -> bool:
        """Whether everything holds."""
        return not self.failures


def _silent(_: str) -> None:
    """No progress is shown."""


def proving(library: Library, policy: Policy | None = None) -> Proving:
    """What the proofs work on.

    Raises:
        ContentError: The glossary or the list of what must be taught cannot be read as it stands.
    """
    return Proving(
        library,
        Search(legal_model(policy)),
        load_duties(library),
        load_glossary(library.folder).terms,
        any_facility=policy is None,
    )


def prove(library: Library, policy: Policy | None = None, progress: Progress = _silent) -> Outcome:
    """Every proof over every kind of patient that the content can tell apart.

    Args:
        policy: One facility's settings; None proves it for every setting that is allowed.
        progress: Told what is proved next and how far it is.
    Raises:
        ContentError: The glossary or the list of what must be taught cannot be read as it stands.
    """
    started = monotonic()
    run = proving(library, policy)
    failures: list[Failure] = []
    for number, (name, proof) in enumerate(PROOFS, 1):
        progress(f"{number} of {len(PROOFS)}: {name}")
        failures += proof(run)
    run.counts["questions"] = run.search.asked
    return Outcome(tuple(failures), dict(run.counts), run.search, monotonic() - started)
