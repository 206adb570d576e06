"""A patient file begun from an HL7 FHIR R4 Bundle.

`read_bundle` reads a file from outside, `nutrition_orders` and `people` take out of it what a
patient file can hold, `contradictions` says what does not fit together, and `patient_draft` writes
the patient file.
"""

from plainleaf.inputs.fhir.patient_draft import begin

__all__ = ["begin"]
