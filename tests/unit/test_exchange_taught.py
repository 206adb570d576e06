"""What was taught, added to the packet's bundle: nothing that nobody entered, nothing lost.

Judge: the models of fhir.resources (R4B). Row FH-01: teaching is a Procedure of category SNOMED CT
311401005.
"""

from __future__ import annotations

import json
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest
from bundles import packet_bundle, packet_decision, saved
from fhir.resources.R4B.procedure import Procedure
from fhir.resources.R4B.questionnaireresponse import QuestionnaireResponse
from test_exchange_bundle import HANDOUT, of

from plainleaf.inputs.fhir.validate import faults_of
from plainleaf.packet.fhir.bundle import bundle_from_record
from plainleaf.vocabulary.errors import ExchangeError

VERSION = "0123456789"
ITEM = {
    "id": "flushing.tb.when", "kind": "tell", "critical": True, "state": "blank",
    "still_to_do": ["not-taught"], "tries": [], "second_way_used": None, "plan": None,
}  # fmt: skip
TRY = {"try": 1, "code": 3, "on": "2026-03-05", "at": "14:30", "written": "2026-03-05 14:30",
       "initials": "JA", "words": "said\u00a0every day"}  # fmt: skip
AGAIN = {**TRY, "try": 2, "code": 1, "on": "2026-03-06", "written": "6 March", "words": None}
SKILL = {
    **ITEM, "id": "flushing.sb.flush", "kind": "show", "state": "met", "still_to_do": [],
    "tries": [AGAIN], "steps": [{"id": "flushing.how.wash", "marked": True},
                                {"id": "flushing.how.push", "marked": None}],
}  # fmt: skip
OPEN = {**ITEM, "state": "explained-another-way", "tries": [TRY], "second_way_used": True,
        "still_to_do": ["check-again"], "plan": {"choice": "home-nurse", "words": "Monday"},
        }  # fmt: skip
OTHER = {**ITEM, "id": "feeding.tb.start"}


def learner(name: str, relation: str, *items: dict[str, Any]) -> dict[str, Any]:
    return {
        "name": name, "relation": relation, "language": "en", "hands_on": True, "present": True,
        "needs": {"beliefs": {"answer": "none", "not_assessed": None},
                  "body": {"answer": None, "not_assessed": True},
                  "backup": {"answer": None, "not_assessed": None}},
        "ready": False, "items": list(items),
    }  # fmt: skip


RECORD = {
    "format": 1,
    "packet": {"version": VERSION, "language": "en", "sha256": "a" * 64},
    "sheet": {"sha256": "b" * 64},
    "date": "2026-03-06",
    "learners": [
        learner("Walter Brandvold", "self", OPEN, SKILL, OTHER),
        learner("Signe Brandvold", "wife", {**OPEN, "state": "met", "still_to_do": []}),
    ],
    "signatures": [{"key": "sign.teacher", "who": "Teacher", "name": "J. Amado", "role": "RN"}],
}


def taught(folder: Path, record: Any = RECORD, version: str = VERSION) -> Any:
    """The completed bundle of an example."""
    base = packet_bundle(packet_decision(), HANDOUT)
    text = json.dumps(base).replace(VERSION, version)
    pdfs = {"follow-up.pdf": b"%PDF-a", "teach-back.pdf": b"%PDF-b"}
    return json.loads(bundle_from_record(saved(folder, text), record, pdfs))


@pytest.fixture(name="bundle")
def _bundle(tmp_path: Path) -> Any:
    return taught(tmp_path)


def answers(sheet: Any) -> dict[str, Any]:
    """Link → value of every answer of a sheet."""
    found, waiting = {}, list(sheet["item"])
    while waiting:
        item = waiting.pop()
        waiting += item.get("item", ())
        for answer in item.get("answer", ()):
            found[item["linkId"]] = next(iter(answer.values()))
    return found


def test_the_packets_resources_are_all_still_there(bundle: Any, tmp_path: Path) -> None:
    base = packet_bundle(packet_decision(), HANDOUT)
    assert bundle["entry"][: len(base["entry"])] == base["entry"]
    assert faults_of(bundle) == []


def test_one_sheet_a_learner_from_the_right_person(bundle: Any) -> None:
    sheets = of(bundle, "QuestionnaireResponse")
    assert len(sheets) == 2
    patient, wife = (
        f"urn:uuid:{of(bundle, kind)[0]['id']}" for kind in ("Patient", "RelatedPerson")
    )
    assert [sheet["source"]["reference"] for sheet in sheets] == [patient, wife]
    assert {sheet["subject"]["reference"] for sheet in sheets} == {patient}
    assert [sheet["status"] for sheet in sheets] == ["in-progress", "completed"]
    for sheet in sheets:
        QuestionnaireResponse.model_validate(sheet)
        assert sheet["authored"] == "2026-03-06"


def test_answers_are_those_of_the_record_and_a_blank_is_no_answer(bundle: Any) -> None:
    told = answers(of(bundle, "QuestionnaireResponse")[0])
    assert told["flushing.tb.when/try-1/code"] == 3
    assert told["flushing.tb.when/try-1/when"] == "2026-03-05 14:30"
    assert told["flushing.tb.when/try-1/words"] == "said every day"
    assert told["flushing.tb.when/second-way"] is True
    assert told["flushing.tb.when/plan"] == "home-nurse: Monday"
    assert told["flushing.sb.flush/step/flushing.how.wash"] is True
    assert told["need/beliefs"] == "none"
    assert told["need/body"] == "not assessed"
    assert told["feeding.tb.start/state"] == "blank"
    blank = ("flushing.sb.flush/step/flushing.how.push", "need/backup",
             "feeding.tb.start/try-1/code", "flushing.sb.flush/try-2/words")  # fmt: skip
    assert not [link for link in blank if link in told]
    assert False not in told.values()


def test_no_item_stands_below_an_item_and_an_answer(bundle: Any) -> None:
    """Invariant qrs-1."""
    waiting = [item for sheet in of(bundle, "QuestionnaireResponse") for item in sheet["item"]]
    assert waiting
    while waiting:
        item = waiting.pop()
        assert not ("item" in item and "answer" in item)
        waiting += item.get("item", ())


def test_teaching_is_a_procedure_a_topic_and_says_what_is_open(bundle: Any) -> None:
    (procedure,) = of(bundle, "Procedure")  # nothing was entered for feeding
    Procedure.model_validate(procedure)
    (coding,) = procedure["category"]["coding"]
    assert (coding["system"], coding["code"]) == ("http://snomed.info/sct", "311401005")
    assert procedure["code"]["text"] == "Teach-back: flushing"
    assert procedure["status"] == "in-progress"
    assert procedure["performedDateTime"] == "2026-03-06"
    assert procedure["performer"] == [{"actor": {"display": "J. Amado, RN"}}]
    assert procedure["outcome"]["text"] == "2 of 3 met"
    assert procedure["followUp"] == [{"text": "flushing.tb.when: check-again"}]


def test_teaching_without_anything_open_is_completed(tmp_path: Path) -> None:
    record: Any = deepcopy(RECORD)
    record["learners"] = [learner("Walter Brandvold", "self", SKILL)]
    record["date"], record["signatures"] = None, []
    bundle = taught(tmp_path, record)
    (procedure,) = of(bundle, "Procedure")
    assert procedure["status"] == "completed"
    assert "performer" not in procedure
    (sheet,) = of(bundle, "QuestionnaireResponse")
    assert "authored" not in sheet


def test_the_papers_are_told_of(bundle: Any) -> None:
    names = [d["content"][0]["attachment"]["url"] for d in of(bundle, "DocumentReference")]
    assert names == ["handout.pdf", "follow-up.pdf", "teach-back.pdf"]


def test_the_same_record_gives_the_same_bytes(tmp_path: Path) -> None:
    assert taught(tmp_path) == taught(tmp_path)


def test_a_bundle_of_another_packet_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ExchangeError, match="is of packet version 9999999999, and the sheet is of"):
        taught(tmp_path, version="9999999999")
