"""The record in HL7 FHIR R4: a chart copy that names the patient and stays where it is written.

`resources` holds the resources as plain data, `bundle` puts them together and has them validated
by the models of `fhir.resources` (R4B, which is the same as R4 for all that is used here).
"""

from plainleaf.packet.fhir.bundle import (
    PACKET_FILE,
    RECORD_FILE,
    Document,
    bundle_for,
    bundle_from_record,
)

__all__ = [
    "PACKET_FILE",
    "RECORD_FILE",
    "Document",
    "bundle_for",
    "bundle_from_record",
]
