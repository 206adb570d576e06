"""Writes the seal of what was proved: never without a proof, never of what changed meanwhile."""

from __future__ import annotations

from plainleaf.authoring.prove import Outcome
from plainleaf.facts import VOCABULARY
from plainleaf.inputs.load_inputs import Teaching, load_teaching
from plainleaf.inputs.policy import Policy, load_policy
from plainleaf.inputs.seal import seal_path, seal_text
from plainleaf.packet.delivery import replace_file
from plainleaf.packet.places import Places
from plainleaf.rules.proved import seal_of_today
from plainleaf.vocabulary.errors import DeliveryError


def write_seal(outcome: Outcome, teaching: Teaching, policy: Policy, places: Places) -> str:
    """Write the seal of a proof beside the policy file; its path.

    Args:
        outcome: What was found after every packet could be worded.
        teaching, policy: What was proved, as it was loaded before.
    Raises:
        DeliveryError: The proof has a counter-example, a file was changed meanwhile, or the seal
            cannot be written; an earlier seal stays as it was.
    """
    path = seal_path(places.policy)
    if not outcome.proved:
        count = len(outcome.failures)
        raise DeliveryError(f"{path}: no seal was written, because the proof has {count} faults. "
                            "Mend them and run plainleaf prove --seal again.")  # fmt: skip
    seal = seal_of_today(teaching, policy, str(outcome.legal))
    now = seal_of_today(load_teaching(places.teaching, VOCABULARY), load_policy(places.policy))
    if (now.content, now.settings) != (seal.content, seal.settings):
        raise DeliveryError(f"{path}: no seal was written, because a file was changed while it was "
                            "proved. Run plainleaf prove --seal again.")  # fmt: skip
    if policy.seal != seal:
        replace_file(path, seal_text(seal), places.policy)
    return str(path)
