"""A bundle from outside: read strictly, or refused with one clear line a fault."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from decimal import Decimal
from pathlib import Path
from typing import Any

from plainleaf.inputs.fhir.codes import printable
from plainleaf.inputs.fhir.validate import faults_of, named
from plainleaf.inputs.files import LARGEST_BUNDLE, Unreadable, read_bytes
from plainleaf.vocabulary.errors import ExchangeError

DEEPEST = 50
_ONE_OF_EACH = ("Patient", "Device")


class _Twice(ValueError):
    """A key that stands twice in one object."""


def read_bundle(path: Path) -> dict[str, Any]:
    """A bundle of one patient as data, numbers exact.

    Raises:
        ExchangeError: Not readable, not JSON, no Bundle, two patients, or a resource that is not
            of FHIR R4.
    """
    data = _json(path)
    if not isinstance(data, dict) or data.get("resourceType") != "Bundle":
        raise ExchangeError(
            f"{path.name}: is not a FHIR Bundle. Export the patient, the device and the nutrition "
            "orders as one Bundle in JSON."
        )
    entries = data.get("entry")
    if not isinstance(entries, list) or not entries:
        raise ExchangeError(f"{path.name}: the Bundle holds no resource.")
    if not all(isinstance(e, dict) and isinstance(e.get("resource", {}), dict) for e in entries):
        raise ExchangeError(f"{path.name}: an entry of the Bundle is not a resource.")
    faults = [*_counts(data), *faults_of(data)]
    if faults:
        raise ExchangeError("\n".join(f"{path.name}: {printable(fault)}" for fault in faults))
    return data


def _json(path: Path) -> Any:
    try:
        raw = read_bytes(path, LARGEST_BUNDLE)
    except Unreadable as error:
        raise ExchangeError(error.naming("Name a FHIR Bundle in JSON.")) from error
    try:
        data = json.loads(
            raw.decode("utf-8-sig"),
            parse_float=Decimal,
            parse_constant=_no_number,
            object_pairs_hook=_each_once,
        )
    except UnicodeDecodeError as error:
        raise ExchangeError(f"{path.name}: holds letters that are not UTF-8.") from error
    except json.JSONDecodeError as error:
        wrong = f"{path.name}:{error.lineno}: is not JSON ({error.msg})."
        raise ExchangeError(f"{wrong} Name a FHIR Bundle in JSON.") from error
    except _Twice as error:
        raise ExchangeError(
            f"{path.name}: the key '{printable(str(error))}' stands twice in one place."
        ) from error
    except RecursionError as error:
        raise ExchangeError(f"{path.name}: is nested too deeply.") from error
    except ValueError as error:
        raise ExchangeError(f"{path.name}: holds a number that is none.") from error
    if _too_deep(data):
        raise ExchangeError(f"{path.name}: is nested too deeply.")
    return _without_null(data)


def _without_null(value: Any) -> Any:
    """The same without empty places: in FHIR a null says nothing."""
    if isinstance(value, dict):
        return {key: _without_null(inner) for key, inner in value.items() if inner is not None}
    if isinstance(value, list):
        return [_without_null(inner) for inner in value if inner is not None]
    return value


def _no_number(text: str) -> Any:
    raise ValueError(text)


def _each_once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    mapping: dict[str, Any] = {}
    for key, value in pairs:
        if key in mapping:
            raise _Twice(key[:40])
        mapping[key] = value
    return mapping


def _too_deep(data: Any) -> bool:
    level = [data]
    for _ in range(DEEPEST):
        level = [
            inner
            for child in level
            if isinstance(child, dict | list)
            for inner in (child.values() if isinstance(child, dict) else child)
        ]
        if not level:
            return False
    return True


def _counts(data: Mapping[str, Any]) -> Iterator[str]:
    """Faults where there is more than one patient, none, or more than one tube in use."""
    kinds = [resource.get("resourceType") for _, resource in named(data)]
    for kind in _ONE_OF_EACH:
        if kinds.count(kind) > 1:
            yield f"holds {kinds.count(kind)} resources {kind}. Export one {kind.lower()} alone."
    if "Patient" not in kinds:
        yield "holds no Patient."
