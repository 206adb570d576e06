"""Proof of the content over every kind of patient that the conditions can tell apart.

legal: which combinations of answers exist · search: is there one for which all of this holds ·
the proofs, one a file · synthesize: the patient file that shows a fault · report: the words.
"""

from plainleaf.authoring.prove.failures import Failure
from plainleaf.authoring.prove.report import examples, examples_in, lines
from plainleaf.authoring.prove.run import Outcome, prove

__all__ = ["Failure", "Outcome", "examples", "examples_in", "lines", "prove"]
