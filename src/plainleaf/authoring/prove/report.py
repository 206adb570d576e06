"""The outcome in words, and the patient files that show each fault."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import yaml

from plainleaf.authoring.prove.failures import Failure
from plainleaf.authoring.prove.run import Outcome
from plainleaf.authoring.prove.synthesize import Example, NoExampleError, synthesize
from plainleaf.facts import FACTS
from plainleaf.inputs.content import Library
from plainleaf.inputs.policy import Policy
from plainleaf.inputs.setting_values import value_text

# What was counted, in the order of the report.
_COUNTED = (
    "statements", "texts", "choices", "classes", "acts", "opposed pairs", "emergencies",
    "topics to teach back", "prompts", "skills", "terms with a need", "mentions", "slots",
    "tables", "sections", "rules", "questions",
)  # fmt: skip
_MEANS = {
    "classes": "classes of patient that the choices can tell apart, each tried",
    "opposed pairs": "pairs of statements with opposed stances, none for one patient",
    "mentions": "mentions of such terms",
    "terms with a need": "glossary terms that only some patients may read",
    "questions": "questions asked of the search",
}
# How each file of an example begins.
_SHOWS, _SETTINGS = "# Shows: ", "# Invented settings, for one example. Changed: "


def lines(outcome: Outcome) -> Iterator[str]:
    """The report: one line a fault with the patient that shows it, then the counts."""
    for number, failure in enumerate(outcome.failures):
        yield f"{failure.proof}: {failure}"
        if failure.patient is not None:
            yield f"    {_name(failure, number)} is {_apart(outcome, failure)}"
    yield f"{outcome.legal:,} kinds of patient are legal, by {outcome.facts} answers."
    for name in _COUNTED:
        if name in outcome.counts:
            yield f"{outcome.counts[name]:>7,} {_MEANS.get(name, name)}"
    verdict = "Everything holds" if outcome.proved else f"Faults: {len(outcome.failures)}"
    yield f"{verdict}. {outcome.seconds:.1f} s."


def _name(failure: Failure, number: int) -> str:
    """Name of the file that shows a fault, without its ending."""
    return f"{number + 1:02}-{failure.place.id.replace('/', '.')}"


def _apart(outcome: Outcome, failure: Failure) -> str:
    """How the patient differs from the plainest one, in the order of the vocabulary."""
    assert failure.patient is not None
    differs = outcome.search.apart(failure.patient)
    told = {name: word for name, word in differs.items() if name in FACTS}
    return ", ".join(f"{name} {word}" for name, word in told.items()) or "the plainest patient"


def examples(
    outcome: Outcome, policy: Policy, library: Library, *, any_facility: bool
) -> dict[str, bytes]:
    """File name → content: for each fault the patient file that shows it, ready to build.

    Where a class takes other settings, their policy file stands beside it. Where no file can be
    made, a text file says so.
    """
    files: dict[str, str] = {}
    for number, failure in enumerate(outcome.failures):
        if failure.patient is not None:
            files |= _example(failure, _name(failure, number), policy, library, any_facility)
    return {name: text.encode() for name, text in files.items()}


def examples_in(folder: Path) -> tuple[str, ...]:
    """Names of the files that an earlier proof wrote into a folder: they say so themselves."""
    if not folder.is_dir():
        return ()
    marks = (_SHOWS.encode(), _SETTINGS.encode())
    return tuple(
        path.name
        for path in sorted(folder.iterdir())
        if path.suffix in (".yaml", ".txt") and path.is_file() and _begins(path).startswith(marks)
    )


def _begins(path: Path) -> bytes:
    with path.open("rb") as stream:
        return stream.read(100)


def _example(
    failure: Failure, name: str, policy: Policy, library: Library, any_facility: bool
) -> dict[str, str]:
    assert failure.patient is not None
    head = f"{_SHOWS}{failure}\n"
    try:
        example = synthesize(failure.patient, policy, library, any_facility=any_facility)
    except NoExampleError as error:
        return {f"{name}.txt": f"{head}# {error}\n"}
    head += "# Everything in this file is invented.\n"
    if not example.changed:
        return {f"{name}.yaml": head + example.text}
    settings = f"{name}.policy.yaml"
    head += f"# It needs other settings: review it with --policy {settings}\n"
    return {f"{name}.yaml": head + example.text, settings: policy_text(example)}


def policy_text(example: Example) -> str:
    """The facility's settings of an example as a policy file."""
    policy = example.policy
    settings = {}
    for name, entry in policy.entries.items():
        settings[name] = {
            "value": value_text(entry.value),
            "owner": entry.origin,
            "review_by": entry.review_by.isoformat(),
        }
    data = {
        "facility": policy.facility,
        "example": True,
        "holds_from": policy.holds_from.isoformat(),
        "settings": settings,
    }
    return _SETTINGS + (
        ", ".join(example.changed)
        + "\n"
        + yaml.safe_dump(data, allow_unicode=True, sort_keys=False)
    )
