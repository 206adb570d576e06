"""A file of format 2 from which one value was taken is reviewed, or refused with what is missing.

Every seventh value of each of the six files, each time from another beginning.
"""

from __future__ import annotations

from typing import Any

import pytest
import yaml
from builders import library
from dated_patients import NAMES, facility, text_of
from single_changes import REMOVE, changed, spots

from plainleaf.facts import derive
from plainleaf.inputs.patient import read_patient
from plainleaf.inputs.strict_yaml import parse
from plainleaf.vocabulary.errors import PatientError


def _derived(data: Any) -> bool:
    """Whether facts could be told; what cannot be used is refused by its own error."""
    text = yaml.safe_dump(data, allow_unicode=True, sort_keys=False)
    try:
        patient = read_patient(parse(text, "patient.yaml"), facility().named)
        facts = derive(patient, facility(), library().medicine_words)
    except PatientError:
        return False
    assert facts.plans[0].first == patient.prepared_on.date()
    return True


@pytest.mark.parametrize(("number", "name"), list(enumerate(NAMES)))
def test_without_one_value_a_file_is_reviewed_or_refused(number: int, name: str) -> None:
    data = yaml.load(text_of(name), Loader=yaml.BaseLoader)
    places = list(spots(data))[number::7]
    told = [_derived(changed(data, place, REMOVE)) for place in places]
    assert any(told)
    assert not all(told)
