"""Any file of format 2 that the review lets pass is worded without a fault."""

from __future__ import annotations

import random

from builders import library, policy
from hypothesis import assume, given
from hypothesis import strategies as st
from packets import decision_from
from strategies import few

from plainleaf.authoring.prove.legal import Model, legal_model
from plainleaf.authoring.prove.search import Search
from plainleaf.authoring.prove.synthesize import written
from plainleaf.facts import Constraint
from plainleaf.facts.declare import ORDER_SET
from plainleaf.packet.build import word_only
from plainleaf.rules.decision import Decision
from plainleaf.vocabulary.conditions import yes

MODEL = legal_model()
CLASSES = Search(Model(
    MODEL.variables,
    (*MODEL.constraints, Constraint(yes(ORDER_SET), "the format", "loader")),
    MODEL.plain,
))  # fmt: skip


@st.composite
def decided(draw: st.DrawFn) -> Decision:
    """A random order set of which nothing is left to ask."""
    seed = draw(st.integers(min_value=0, max_value=2**32))
    example, _ = written(CLASSES.sample(random.Random(seed)), policy(), library())
    decision = decision_from(example.text, rules=example.policy)
    assume(not decision.stopped)
    return decision


@given(decided())
@few(10)
def test_what_the_review_lets_pass_is_worded(decision: Decision) -> None:
    packet, _ = word_only(decision)
    assert packet.modules
    assert all(line.right for line in decision.settled_lines)
