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
    for topic, found in _by_topic(record).items():
        procedure = _teaching(record, topic, found, subject, device)
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
        if any(one.get("text") == learner["name"] for one in resource.get("name", ())):
            return addresses[name]
    return addresses["Patient 1"]


# --- the sheet ------------------------------------------------------------------------------


def _sheet(record: Data, learner: Data, subject: Resource, source: Resource) -> Resource:
    items = [*_needs(learner), *(_item(one) for one in learner["items"])]
    asked = [one for one in learner["items"] if one["tries"]]
    found: Resource = {
        "resourceType": "QuestionnaireResponse",
        "identifier": _version(record),
        "status": "completed" if len(asked) == len(learner["items"]) else "in-progress",
        "subject": subject,
        "source": source,
    }
    if record.get("date"):
        found["authored"] = record["date"]
    return found | ({"item": items} if items else {})


def _answer(link: str, **value: Any) -> Resource:
    return {"linkId": link, "answer": [value]}


def _said(text: Any) -> str:
    """Typed text as FHIR holds it: its only spaces are plain ones, tabs and line ends."""
    return re.sub(r"[^\S\r\n\t]", " ", str(text or "")).strip()


def _needs(learner: Data) -> Iterator[Resource]:
    for need, said in learner["needs"].items():
        if _said(said.get("answer")):
            yield _answer(f"need/{need}", valueString=_said(said["answer"]))
        elif said.get("not_assessed"):
            yield _answer(f"need/{need}", valueString="not assessed")


def _item(item: Data) -> Resource:
    """One question or skill: where it stands, every try, the steps that are marked, the plan."""
    name = item["id"]
    parts = [_answer(f"{name}/state", valueString=item["state"])]
    for one in item["tries"]:
        parts += _try(f"{name}/try-{one['try']}", one)
    for step in item.get("steps", ()):
        if step["marked"]:
            parts.append(_answer(f"{name}/step/{step['id']}", valueBoolean=True))
    if item.get("second_way_used"):
        parts.append(_answer(f"{name}/second-way", valueBoolean=True))
    plan = item.get("plan") or {}
    said = ": ".join(_said(plan[key]) for key in ("choice", "words") if _said(plan.get(key)))
    if said:
        parts.append(_answer(f"{name}/plan", valueString=said))
    return {"linkId": name, "item": parts}


def _try(link: str, one: Data) -> Iterator[Resource]:
    if one.get("code") is not None:
        yield _answer(f"{link}/code", valueInteger=one["code"])
    for key, name in (("written", "when"), ("initials", "initials"), ("words", "words")):
        if _said(one.get(key)):
            yield _answer(f"{link}/{name}", valueString=_said(one[key]))


# --- the teaching ---------------------------------------------------------------------------


def _by_topic(record: Data) -> dict[str, list[Data]]:
    """Topic → its items, of every learner, in the order of the sheet."""
    found: dict[str, list[Data]] = {}
    for learner in record["learners"]:
        for item in learner["items"]:
            found.setdefault(str(item["id"]).partition(".")[0], []).append(item)
    return found


def _teaching(
    record: Data, topic: str, items: Sequence[Data], subject: Resource, device: str | None
) -> Resource | None:
    """The teaching of a topic; None where nobody entered anything: then it is not said."""
    if not any(item["tries"] for item in items):
        return None
    open_items = [item for item in items if item["still_to_do"]]
    found: Resource = {
        "resourceType": "Procedure",
        "status": "in-progress" if open_items else "completed",
        "category": EDUCATION,
        "code": {"text": f"Teach-back: {topic.replace('-', ' ')}"},
        "subject": subject,
        "outcome": {"text": f"{len(items) - len(open_items)} of {len(items)} met"},
    }
    if device is not None:
        found["focalDevice"] = [{"manipulated": {"reference": device}}]
    days = sorted(one["on"] for item in items for one in item["tries"] if one.get("on"))
    if days:
        found["performedDateTime"] = days[-1]
    teacher = _teacher(record)
    if teacher is not None:
        found["performer"] = [{"actor": {"display": teacher}}]
    follow = [f"{item['id']}: {', '.join(item['still_to_do'])}" for item in open_items]
    if follow:
        found["followUp"] = [{"text": text} for text in dict.fromkeys(follow)]
    return found


def _teacher(record: Data) -> str | None:
    for one in record.get("signatures", ()):
        if one["key"] == "sign.teacher" and _said(one.get("name")):
            return ", ".join(filter(None, (_said(one["name"]), _said(one.get("role")))))
    return None
