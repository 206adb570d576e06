"""What was taught, as resources: the filled sheet of each learner, and the teaching by topic.

A blank is not a no: what nobody entered is not in the bundle.
"""

from __future__ import annotations

import re
import uuid
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from plainleaf.inputs.fhir.codes import EDUCATION, OWN
from plainleaf.inputs.fhir.validate import named
from plainleaf.packet.fhir.context import Resource
from plainleaf.packet.fhir.resources import attached

Data = Mapping[str, Any]
# Papers that come of the teaching, by name; any other is told of under its name.
_TITLES = {"follow-up.pdf": "Follow-up call and re-teaching", "teach-back.pdf": "Teach-back sheet"}


def taught_entries(packet: Data, record: Data, pdfs: Mapping[str, bytes]) -> list[Resource]:
    """Entries to add to a packet's bundle: one answer sheet a learner, teaching, papers.

    Args:
        packet: The packet's bundle as data; record: `record.json` as data.
    """
    held = [entry for entry in packet["entry"] if "resource" in entry]
    addresses = {
        name: str(entry.get("fullUrl"))
        for (name, _), entry in zip(named(packet), held, strict=True)
    }
    subject = {"reference": addresses["Patient 1"]}
    device = addresses.get("Device 1")
    parts: dict[str, Resource] = {}
    for number, learner in enumerate(record["learners"]):
        source = {"reference": _address(packet, addresses, learner)}
        parts[f"sheet {number}"] = _sheet(record, learner, subject, source)
    for topic, rows in _by_topic(record).items():
        procedure = _teaching(record, topic, rows, subject, device)
        if procedure is not None:
            parts[f"teaching {topic}"] = procedure
    for name, pdf in pdfs.items():
        language = str(record["packet"].get("language") or "en")
        parts[f"paper {name}"] = attached(name, pdf, _TITLES.get(name, name), language) | {
            "subject": subject, "identifier": [_version(record)]
        }  # fmt: skip
    return [_entry(record, name, part) for name, part in parts.items()]


def _entry(record: Data, name: str, part: Resource) -> Resource:
    seed = f"plainleaf {record['sheet']['sha256']} {name}"
    identity = str(uuid.uuid5(uuid.NAMESPACE_OID, seed))
    resource = {"resourceType": part["resourceType"], "id": identity, **part}
    return {"fullUrl": f"urn:uuid:{identity}", "resource": resource}


def _version(record: Data) -> Resource:
    return {"system": f"{OWN}/packet-version", "value": str(record["packet"]["version"])}


def _address(packet: Data, addresses: Mapping[str, str], learner: Data) -> str:
    """The address of a learner: the relative of that name, else the patient."""
    for name, resource in named(packet):
        if resource["resourceType"] != "RelatedPerson" or learner["relation"] == "self":
            continue
        if any(
            human_name.get("text") == learner["name"] for human_name in resource.get("name", ())
        ):
            return addresses[name]
    return addresses["Patient 1"]


# --- the sheet ------------------------------------------------------------------------------


def _sheet(record: Data, learner: Data, subject: Resource, source: Resource) -> Resource:
    items = [*_needs(learner), *(_item(row) for row in learner["items"])]
    asked = [row for row in learner["items"] if row["tries"]]
    sheet: Resource = {
        "resourceType": "QuestionnaireResponse",
        "identifier": _version(record),
        "status": "completed" if len(asked) == len(learner["items"]) else "in-progress",
        "subject": subject,
        "source": source,
    }
    if record.get("date"):
        sheet["authored"] = record["date"]
    return sheet | ({"item": items} if items else {})


def _answer(link: str, **value: Any) -> Resource:
    return {"linkId": link, "answer": [value]}


def _said(text: Any) -> str:
    """Typed text as FHIR holds it: its only spaces are plain ones, tabs and line ends."""
    return re.sub(r"[^\S\r\n\t]", " ", str(text or "")).strip()


def _needs(learner: Data) -> Iterator[Resource]:
    for need, answer in learner["needs"].items():
        if _said(answer.get("answer")):
            yield _answer(f"need/{need}", valueString=_said(answer["answer"]))
        elif answer.get("not_assessed"):
            yield _answer(f"need/{need}", valueString="not assessed")


def _item(item: Data) -> Resource:
    """One question or skill: where it stands, every try, the steps that are marked, the plan."""
    name = item["id"]
    parts = [_answer(f"{name}/state", valueString=item["state"])]
    for attempt in item["tries"]:
        parts += _try(f"{name}/try-{attempt['try']}", attempt)
    for step in item.get("steps", ()):
        if step["marked"]:
            parts.append(_answer(f"{name}/step/{step['id']}", valueBoolean=True))
    if item.get("second_way_used"):
        parts.append(_answer(f"{name}/second-way", valueBoolean=True))
    plan = item.get("plan") or {}
    plan_words = ": ".join(_said(plan[key]) for key in ("choice", "words") if _said(plan.get(key)))
    if plan_words:
        parts.append(_answer(f"{name}/plan", valueString=plan_words))
    return {"linkId": name, "item": parts}


def _try(link: str, attempt: Data) -> Iterator[Resource]:
    if attempt.get("code") is not None:
        yield _answer(f"{link}/code", valueInteger=attempt["code"])
    for key, name in (("written", "when"), ("initials", "initials"), ("words", "words")):
        if _said(attempt.get(key)):
            yield _answer(f"{link}/{name}", valueString=_said(attempt[key]))


# --- the teaching ---------------------------------------------------------------------------


def _by_topic(record: Data) -> dict[str, list[Data]]:
    """Topic → its items, of every learner, in the order of the sheet."""
    by_topic: dict[str, list[Data]] = {}
    for learner in record["learners"]:
        for item in learner["items"]:
            by_topic.setdefault(str(item["id"]).partition(".")[0], []).append(item)
    return by_topic


def _teaching(
    record: Data, topic: str, items: Sequence[Data], subject: Resource, device: str | None
) -> Resource | None:
    """The teaching of a topic; None where nobody entered anything: then it is not said."""
    if not any(item["tries"] for item in items):
        return None
    open_items = [item for item in items if item["still_to_do"]]
    procedure: Resource = {
        "resourceType": "Procedure",
        "status": "in-progress" if open_items else "completed",
        "category": EDUCATION,
        "code": {"text": f"Teach-back: {topic.replace('-', ' ')}"},
        "subject": subject,
        "outcome": {"text": f"{len(items) - len(open_items)} of {len(items)} met"},
    }
    if device is not None:
        procedure["focalDevice"] = [{"manipulated": {"reference": device}}]
    days = sorted(attempt["on"] for item in items for attempt in item["tries"] if attempt.get("on"))
    if days:
        procedure["performedDateTime"] = days[-1]
    teacher = _teacher(record)
    if teacher is not None:
        procedure["performer"] = [{"actor": {"display": teacher}}]
    follow = [f"{item['id']}: {', '.join(item['still_to_do'])}" for item in open_items]
    if follow:
        procedure["followUp"] = [{"text": text} for text in dict.fromkeys(follow)]
    return procedure


def _teacher(record: Data) -> str | None:
    for signature in record.get("signatures", ()):
        if signature["key"] == "sign.teacher" and _said(signature.get("name")):
            return ", ".join(filter(None, (_said(signature["name"]), _said(signature.get("role")))))
    return None
