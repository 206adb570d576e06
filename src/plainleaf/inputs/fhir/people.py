"""Who and which tube, as far as a bundle says it, as lines of a patient file.

A value is YAML as it will stand in the file; a text is quoted, so that no sign in it can mean
something else there.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from typing import Any
from zoneinfo import ZoneInfo

from plainleaf.inputs.fhir.codes import (
    DEVICES,
    OWN,
    SNOMED,
    code_in,
    local_moment,
    read_amount,
    text_of,
)
from plainleaf.inputs.fhir.notes import Notes
from plainleaf.inputs.fhir.validate import named
from plainleaf.vocabulary import terms
from plainleaf.vocabulary.errors import UnitError

Bundle = Mapping[str, Any]
# Property of the device → key of the patient file, and the words or the kind of amount it holds.
_WORDS = {"build": ("build", terms.BUILDS), "held-by": ("held_by", terms.RETENTIONS),
          "placed-by": ("placed_by", terms.PLACED_BY)}  # fmt: skip
_AMOUNTS = {"size": ("size", "tube size"), "length": ("length", "length"),
            "mark-at-skin": ("mark_at_skin", "length"),
            "balloon-fill": ("balloon_fill", "volume")}  # fmt: skip
_LANGUAGE = re.compile(r"[a-z]{2,3}(-[A-Z][a-z]{3})?(-[A-Z]{2})?")


def quoted(text: str) -> str:
    """A text as a YAML scalar in one line."""
    return json.dumps(" ".join(str(text).split()), ensure_ascii=False)


def first(bundle: Bundle, kind: str) -> Mapping[str, Any]:
    """The first resource of a type, or an empty one."""
    return next((r for _, r in named(bundle) if r.get("resourceType") == kind), {})


def person_lines(bundle: Bundle, notes: Notes) -> dict[str, str]:
    """Key → value of what is known of the person."""
    patient = first(bundle, "Patient")
    person_keys = {}
    name = name_of(patient, "Patient", notes)
    if name:
        person_keys["patient.name"] = quoted(name)
    born = str(patient.get("birthDate") or "")
    if re.fullmatch(r"\d{4}-\d{2}-\d{2}", born):
        person_keys["patient.born"] = born
    elif born:
        notes.add("Patient", f"birthDate '{born}' is no full date. It was not taken.")
    record = _record_number(patient, notes)
    if record:
        person_keys["patient.record_number"] = quoted(record)
    language = language_of(patient)
    person_keys["patient.language"] = language or "<language tag>"
    return person_keys


def name_of(person: Mapping[str, Any], place: str, notes: Notes) -> str | None:
    """The name of a person: the official one where there are several."""
    names = [human_name for human_name in person.get("name", ()) if isinstance(human_name, Mapping)]
    names = [human_name for human_name in names if human_name.get("use") == "official"] or names
    if len(names) > 1:
        notes.add(place, f"has {len(names)} names. Write the one to print.")
        return None
    for human_name in names:
        parts = [*human_name.get("given", ()), human_name.get("family") or ""]
        return str(human_name.get("text") or " ".join(parts)).strip() or None
    return None


def _record_number(patient: Mapping[str, Any], notes: Notes) -> str | None:
    """The medical record number; code MR of the HL7 table of identifier types, from memory."""
    given = [identifier for identifier in patient.get("identifier", ()) if identifier.get("value")]
    marked = [
        identifier
        for identifier in given
        if any(c.get("code") == "MR" for c in (identifier.get("type") or {}).get("coding", ()))
        or (identifier.get("type") or {}).get("text") == "record number"
    ]
    chosen = marked or given
    if len(chosen) == 1:
        return str(chosen[0]["value"])
    if chosen:
        notes.add("Patient", f"has {len(chosen)} identifiers. Write the record number to print.")
    return None


def language_of(person: Mapping[str, Any]) -> str | None:
    """The language to read in: the preferred one, or the only one."""
    spoken = [
        communication
        for communication in person.get("communication", ())
        if isinstance(communication, Mapping)
    ]
    chosen = [communication for communication in spoken if communication.get("preferred")] or spoken
    if len(chosen) != 1:
        return None
    for coding in (chosen[0].get("language") or {}).get("coding", ()):
        if _LANGUAGE.fullmatch(str(coding.get("code") or "")):
            return str(coding["code"])
    return None


def learner_lines(bundle: Bundle, notes: Notes) -> Iterator[str]:
    """One line for each relative; who gives care, nobody says."""
    for place, relative in named(bundle):
        if relative.get("resourceType") != "RelatedPerson":
            continue
        name = name_of(relative, place, notes)
        relation = next((text_of(r) for r in relative.get("relationship", ()) if text_of(r)), None)
        phone = next((t["value"] for t in relative.get("telecom", ()) if t.get("system") == "phone"
                      and t.get("value")), None)  # fmt: skip
        parts = [
            f"name: {quoted(name) if name else '<name>'}",
            f"relation: {quoted(relation) if relation else '<relation>'}",
            f"language: {language_of(relative) or '<language tag>'}",
            "hands_on: <true or false>",
        ]
        parts += [f"phone: {quoted(phone)}"] if phone else []
        yield f"  - {{{', '.join(parts)}}}"


# --- the tube -----------------------------------------------------------------------------


def kind_of(bundle: Bundle) -> str | None:
    """Where the tube leads, by the device."""
    device = first(bundle, "Device")
    kind_property = _property(device, "kind")
    words = [text_of(value_code) for value_code in (kind_property or {}).get("valueCode", ())]
    if words and words[0] in terms.TUBE_KINDS:
        return words[0]
    code = code_in(device.get("type"), SNOMED)
    return next((kind for kind, (device_code, _) in DEVICES.items() if device_code == code), None)


def _property(device: Mapping[str, Any], name: str) -> Mapping[str, Any] | None:
    for entry in device.get("property", ()):
        if code_in(entry.get("type"), OWN) == name:
            only: Mapping[str, Any] = entry
            return only
    return None


def tube_lines(bundle: Bundle, zone: ZoneInfo, notes: Notes) -> dict[str, str]:
    """Key → value of what is known of the tube."""
    device, tube_keys = first(bundle, "Device"), {}
    if device and device.get("status", "active") != "active":
        notes.add("Device", f"is '{device['status']}', not in use. It was not taken.")
        return {}
    for name, (key, words) in _WORDS.items():
        texts = [
            text_of(value_code)
            for value_code in (_property(device, name) or {}).get("valueCode", ())
        ]
        if texts and texts[0] in words:
            tube_keys[f"tube.{key}"] = texts[0]
    for name, (key, kind) in _AMOUNTS.items():
        for value in (_property(device, name) or {}).get("valueQuantity", ())[:1]:
            try:
                tube_keys[f"tube.{key}"] = str(read_amount(value, kind))
            except UnitError as error:
                notes.add("Device", f"{key} {error.wrong} It was not taken.")
    for value in (_property(device, "skin-buttons") or {}).get("valueQuantity", ())[:1]:
        tube_keys["tube.skin_buttons"] = str(value.get("value"))
    tube_keys |= _port_lines(device)
    period = first(bundle, "DeviceUseStatement").get("timingPeriod") or {}
    placed = moment_text(str(period.get("start") or ""), zone)
    return tube_keys | ({"tube.placed": placed} if placed else {})


def _port_lines(device: Mapping[str, Any]) -> dict[str, str]:
    port_keys = {}
    for port in terms.PORTS:
        texts = [text_of(o) for o in (_property(device, f"port-{port}") or {}).get("valueCode", ())]
        uses = [word for word in texts if word in terms.PORT_USES]
        port_keys[f"tube.{port}"] = f"[{', '.join(uses)}]" if uses else "<uses, as in [feeding]>"
    return port_keys


def moment_text(text: str, zone: ZoneInfo) -> str | None:
    """A moment as a patient file writes it, on the clinic's clocks."""
    moment = local_moment(text, zone)
    return None if moment is None else moment.strftime("%Y-%m-%d %H:%M")
