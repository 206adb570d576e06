"""Whether what a packet is made from is what `plainleaf prove` has proved."""

from __future__ import annotations

from plainleaf.facts import kinds_digest
from plainleaf.inputs.load_inputs import Teaching
from plainleaf.inputs.policy import Policy
from plainleaf.inputs.seal import Seal, differences
from plainleaf.inputs.setting_values import value_text
from plainleaf.vocabulary.errors import Fault
from plainleaf.vocabulary.version import program_version


def seal_of_today(teaching: Teaching, policy: Policy, counted: str = "") -> Seal:
    """What a proof of this content with these settings seals.

    What the proof does not read has no place in it: the directory, the formulary, dates, owners.

    Args:
        counted: How many kinds of patient there are.
    """
    settings = {name: value_text(entry.value) for name, entry in policy.entries.items()}
    roles = {f"may_settle.{role}": ", ".join(words) for role, words in policy.roles.items()}
    return Seal(program_version(), kinds_digest(), counted, teaching.files, settings | roles)


def unproved(teaching: Teaching, policy: Policy) -> tuple[Fault, ...]:
    """What was not proved as it stands, each with its file; empty where all of it was."""
    seal = policy.seal
    if seal is None:
        return (Fault(policy.file, 0, "was not proved with this teaching content."),)
    if isinstance(seal, Fault):
        return (Fault(seal.file, seal.line, f"The seal cannot be read: {seal.wrong}"),)
    return tuple(differences(seal, seal_of_today(teaching, policy), policy.file))
