"""The record in HL7 FHIR R4, and a patient file begun from such a record.

`parts` holds the resources as plain data, `bundle` puts them together and has them validated by
the models of `fhir.resources` (R4B, which is the same as R4 for all that is used here), `arrive`
reads a file from outside, `orders` and `people` take out of it what a patient file can hold,
`contradict` says what does not fit together, and `begin` writes the patient file.

The bundle is a chart copy: it names the patient, and it stays where it is written.
"""

from plainleaf.exchange.begin import begin
from plainleaf.exchange.bundle import (
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
    "begin",
    "bundle_for",
    "bundle_from_record",
]
