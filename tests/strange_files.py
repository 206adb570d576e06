"""Patient files with strange values, drawn by a seed: long words, other scripts, odd hours.

A drawn file starts from a given one of either format, or from one that shows a class of the proof.
Some of its leaves hold other values than before; it may be refused or stopped like any other.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from copy import deepcopy
from dataclasses import dataclass
from functools import cache
from typing import Any

import yaml
from builders import ROOT, _words, library, policy, policy_with, teaching
from format_2 import NAMES as FORMAT_2
from format_2 import data_with
from leaves import Leaf, leaves
from packets import NAMES as FORMAT_1
from packets import settled_text
from single_changes import changed

from plainleaf.authoring.prove.legal import legal_model
from plainleaf.authoring.prove.search import Search
from plainleaf.authoring.prove.synthesize import NoExampleError, written
from plainleaf.inputs.load_inputs import inputs_for
from plainleaf.inputs.patient import patient_from_text
from plainleaf.inputs.policy import Policy
from plainleaf.rules.decision import Decision, decide
from plainleaf.vocabulary import terms
from plainleaf.vocabulary.errors import PatientError
from plainleaf.vocabulary.patient_file import Scalar, Text, Word

DICTATED = ROOT / "tests" / "oracles" / "dictated"
LANGUAGES = ("en", "es", "ar")
# Words of every length and kind that a name or a note may hold.
TEXTS = (
    "A", "Jo", "Ng", "W", "i", "12", "3 pm", "+1 555", "x-y-z-x-y-z-x-y-z-x-y-z", "{{7*7}} & <b>",
    "O\u2019Neil-\u0141ukaszewicz", "\u00c9\u00c5\u00d1\u0125", "(see page 3)", "1-2 tabs",
    "a/b/c/d/e/f/g/h/i/j", "Dr. A, B, C", "mm mm mm mm mm mm mm mm mm mm mm mm",
    "W i W i W i W i W i W i W i W i", "Omar \u0639\u0645\u0631 3",
    "\u0645\u0631\u064a\u0645 \u0627\u0644\u0639\u0644\u064a",
    "\u0644\u064e\u0645\u0651\u064e\u0627",
)  # fmt: skip
# Kind of value → others that are written so.
AMOUNTS: dict[str, tuple[str, ...]] = {
    "time of day": ("00:00", "00:05", "00:30", "11:59", "12:00", "12:30", "23:59"),
    "volume": ("0.5 mL", "7.25 mL", "15 mL", "118 mL", "237.5 mL", "1499.75 mL", "2 L"),
    "rate": ("0.5 mL/h", "33.3 mL/h", "124.75 mL/h"),
    "time span": ("1 min", "59 min", "61 min", "1439 min", "5 h", "23 h", "36 h", "3 d", "11 wk"),
    "weight": ("2.75 kg", "9.9 kg", "101.4 kg", "220.5 lb"),
    "length": ("0.5 cm", "1.25 cm", "30.5 cm", "150 cm"),
    "tube size": ("8 Fr", "14 Fr", "24 Fr"),
    "phone number": ("911", "+1 555 010 0199, then 2, then 14", "555-0100", "ext. 12 555 0188"),
}


@dataclass(frozen=True)
class Strange:
    """A drawn file: its data, the settings and the language that it is built with."""

    data: Any
    policy: Policy
    language: str

    @property
    def text(self) -> str:
        """As a patient file."""
        plain = _words(self.data)
        return yaml.dump(plain, Dumper=yaml.CSafeDumper, allow_unicode=True, sort_keys=False)

    def decided(self) -> Decision | None:
        """What is decided, with the codes of its lines written anew; None where it is refused."""
        try:
            decision = self._decide()
            if any(not line.right for line in decision.settled_lines):
                decision = Strange(
                    _recoded(self.data, decision), self.policy, self.language
                )._decide()
        except PatientError:
            return None
        return decision

    def _decide(self) -> Decision:
        patient = patient_from_text(self.text, "patient.yaml", self.policy.named)
        return decide(inputs_for(patient, self.policy, teaching(), self.language))


def _recoded(data: Any, decision: Decision) -> Any:
    new, lines = deepcopy(data), iter(decision.settled_lines)
    for line in (line for block in new["settled"] for line in block["decided"]):
        code = next(lines).code
        line.update({} if code is None else {"code": code})
    return new


@cache
def _given() -> tuple[Any, ...]:
    """The files that strange ones start from, as data."""
    files = [data_with(base=name) for name in FORMAT_2]
    files += [
        yaml.load(path.read_text("utf-8"), yaml.BaseLoader)
        for path in sorted(DICTATED.glob("*.yaml"))
    ]
    files += [yaml.load(settled_text(base=name), yaml.BaseLoader) for name in FORMAT_1]
    return tuple(files)


@cache
def _classes() -> Search:
    return Search(legal_model())


def _start(draw: random.Random) -> tuple[Any, Policy]:
    if draw.random() < 0.5:
        return draw.choice(_given()), policy()
    try:
        example, _ = written(_classes().sample(draw), policy(), library())
    except NoExampleError:
        return draw.choice(_given()), policy()
    return yaml.load(example.text, yaml.BaseLoader), example.policy


def strange(seed: int) -> Strange:
    """A drawn file; the same seed gives the same."""
    draw = random.Random(seed)
    data, rules = _start(draw)
    places = [leaf for leaf in leaves(data) if list(_others(leaf))]
    for leaf in draw.sample(places, min(len(places), draw.choice((0, 1, 3, 8, 20)))):
        data = changed(data, leaf.place, draw.choice(list(_others(leaf))))
    if draw.random() < 0.6:
        data = changed(data, ("patient", "print_size"), draw.choice(terms.PRINT_SIZES))
    if rules is policy():
        rules = policy_with(paper=draw.choice(("letter", "A4")), sides=draw.choice(("one", "two")))
    return Strange(data, rules, draw.choice(LANGUAGES))


def _others(leaf: Leaf) -> Iterator[Any]:
    """Strange values that the shape of a leaf may hold."""
    shape = leaf.shape
    if isinstance(shape, Text):
        longest = (
            "W" * shape.longest,
            "mild " * (shape.longest // 5),
            "Llanfair-" * (shape.longest // 9),
        )
        texts = (text[: shape.longest].strip() for text in (*TEXTS, *longest))
        yield from (text for text in texts if shape.marks or not set(text) & set("<>"))
    elif isinstance(shape, Word):
        yield from (word for word in shape.words if word != leaf.value)
    elif isinstance(shape, Scalar):
        yield from AMOUNTS.get(shape.name, ())
