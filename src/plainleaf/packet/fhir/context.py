"""What all resources of one packet share."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from datetime import datetime, time
from typing import Any
from zoneinfo import ZoneInfo

from plainleaf.inputs.patient import Patient

Resource = dict[str, Any]


@dataclass(frozen=True)
class Making:
    """What all resources of one packet share: the patient, the clinic's zone, the version."""

    patient: Patient
    zone: ZoneInfo
    version: str

    def url(self, name: str) -> str:
        """The address of a resource inside the bundle: always the same for one packet."""
        return f"urn:uuid:{uuid.uuid5(uuid.NAMESPACE_OID, f'plainleaf {self.version} {name}')}"

    def ref(self, name: str) -> dict[str, str]:
        """A reference to a resource of the bundle."""
        return {"reference": self.url(name)}

    def moment(self, local: datetime) -> str:
        """A clinic-local time with its offset from UTC."""
        return local.replace(tzinfo=self.zone).isoformat()


def clock(local: time) -> str:
    """A time of day as FHIR writes it."""
    return local.strftime("%H:%M:00")
