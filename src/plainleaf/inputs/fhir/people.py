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
    found = {}
    name = name_of(patient, "Patient", notes)
    if name:
        found["patient.name"] = quoted(name)
    born = str(patient.get("birthDate") or "")
    if re.fullmatch(r"\d{4}-\d{2}-\d{2}", born):
        found["patient.born"] = born
    elif born:
        notes.add("Patient", f"birthDate '{born}' is no full date. It was not taken.")
    record = _record_number(patient, notes)
    if record:
        found["patient.record_number"] = quoted(record)
    language = language_of(patient)
    found["patient.language"] = language or "<language tag>"
    return found


def name_of(person: Mapping[str, Any], where: str, notes: Notes) -> str | None:
    """The name of a person: the official one where there are several."""
    names = [one for one in person.get("name", ()) if isinstance(one, Mapping)]
    names = [one for one in names if one.get("use") == "official"] or names
    if len(names) > 1:
        notes.add(where, f"has {len(names)} names. Write the one to print.")
        return None
    for one in names:
        parts = [*one.get("given", ()), one.get("family") or ""]
        return str(one.get("text") or " ".join(parts)).strip() or None
    return None


def _record_number(patient: Mapping[str, Any], notes: Notes) -> str | None:
    """The medical record number; code MR of the HL7 table of identifier types, from memory."""
    given = [one for one in patient.get("identifier", ()) if one.get("value")]
    marked = [
        one
        for one in given
        if any(c.get("code") == "MR" for c in (one.get("type") or {}).get("coding", ()))
        or (one.get("type") or {}).get("text") == "record number"
    ]
    chosen = marked or given
    if len(chosen) == 1:
        return str(chosen[0]["value"])
    if chosen:
        notes.add("Patient", f"has {len(chosen)} identifiers. Write the record number to print.")
    return None


def language_of(person: Mapping[str, Any]) -> str | None:
    """The language to read in: the preferred one, or the only one."""
    spoken = [one for one in person.get("communication", ()) if isinstance(one, Mapping)]
    chosen = [one for one in spoken if one.get("preferred")] or spoken
    if len(chosen) != 1:
        return None
    for coding in (chosen[0].get("language") or {}).get("coding", ()):
        if _LANGUAGE.fullmatch(str(coding.get("code") or "")):
            return str(coding["code"])
    return None


def learner_lines(bundle: Bundle, notes: Notes) -> Iterator[str]:
    """One line for each relative; who gives care, nobody says."""
    for where, one in named(bundle):
        if one.get("resourceType") != "RelatedPerson":
            continue
        name = name_of(one, where, notes)
        relation = next((text_of(r) for r in one.get("relationship", ()) if text_of(r)), None)
        phone = next((t["value"] for t in one.get("telecom", ()) if t.get("system") == "phone"
                      and t.get("value")), None)  # fmt: skip
        parts = [
            f"name: {quoted(name) if name else '<name>'}",
            f"relation: {quoted(relation) if relation else '<relation>'}",
            f"language: {language_of(one) or '<language tag>'}",
            "hands_on: <true or false>",
        ]
        parts += [f"phone: {quoted(phone)}"] if phone else []
        yield f"  - {{{', '.join(parts)}}}"


# --- the tube -----------------------------------------------------------------------------


def kind_of(bundle: Bundle) -> str | None:
    """Where the tube leads, by the device."""
    device = first(bundle, "Device")
    said = _property(device, "kind")
    words = [text_of(one) for one in (said or {}).get("valueCode", ())]
    if words and words[0] in terms.TUBE_KINDS:
        return words[0]
    code = code_in(device.get("type"), SNOMED)
    return next((kind for kind, (known, _) in DEVICES.items() if known == code), None)


def _property(device: Mapping[str, Any], name: str) -> Mapping[str, Any] | None:
    for one in device.get("property", ()):
        if code_in(one.get("type"), OWN) == name:
            found: Mapping[str, Any] = one
            return found
    return None


def tube_lines(bundle: Bundle, zone: ZoneInfo, notes: Notes) -> dict[str, str]:
    """Key → value of what is known of the tube."""
    device, found = first(bundle, "Device"), {}
    if device and device.get("status", "active") != "active":
        notes.add("Device", f"is '{device['status']}', not in use. It was not taken.")
        return {}
    for name, (key, words) in _WORDS.items():
        said = [text_of(one) for one in (_property(device, name) or {}).get("valueCode", ())]
        if said and said[0] in words:
            found[f"tube.{key}"] = said[0]
    for name, (key, kind) in _AMOUNTS.items():
        for value in (_property(device, name) or {}).get("valueQuantity", ())[:1]:
            try:
                found[f"tube.{key}"] = str(read_amount(value, kind))
            except UnitError as error:
                notes.add("Device", f"{key} {error.wrong} It was not taken.")
    for value in (_property(device, "skin-buttons") or {}).get("valueQuantity", ())[:1]:
        found["tube.skin_buttons"] = str(value.get("value"))
    found |= _port_lines(device)
    period = first(bundle, "DeviceUseStatement").get("timingPeriod") or {}
    placed = moment_text(str(period.get("start") or ""), zone)
    return found | ({"tube.placed": placed} if placed else {})


def _port_lines(device: Mapping[str, Any]) -> dict[str, str]:
    found = {}
    for port in terms.PORTS:
        said = [text_of(o) for o in (_property(device, f"port-{port}") or {}).get("valueCode", ())]
        uses = [word for word in said if word in terms.PORT_USES]
        found[f"tube.{port}"] = f"[{', '.join(uses)}]" if uses else "<uses, as in [feeding]>"
    return found


def moment_text(text: str, zone: ZoneInfo) -> str | None:
    """A moment as a patient file writes it, on the clinic's clocks."""
    moment = local_moment(text, zone)
    return None if moment is None else moment.strftime("%Y-%m-%d %H:%M")
