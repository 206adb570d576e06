"""One patient's file, read strictly into a frozen record.

The keys and their meaning stand in `vocabulary/patient_file/`. What a file
cannot say is not guessed: a required key that is missing is a fault with its line.
"""

from plainleaf.inputs.patient.loading import (
    load_patient,
    patient_from_text,
    read_patient,
    read_root,
)
from plainleaf.inputs.patient.named_entries import Facility
from plainleaf.inputs.patient.patient_values import (
    ExtraWater,
    Feed,
    Formula,
    Medicine,
    Order,
    Patient,
    PositionCheck,
    Tube,
    Water,
)
from plainleaf.inputs.patient.people_values import (
    Accepted,
    Contact,
    Contacts,
    Interpreter,
    Learner,
    Person,
    Visit,
)
from plainleaf.vocabulary.doses import DOSE_UNITS, Dose, read_dose

__all__ = [
    "DOSE_UNITS",
    "Accepted",
    "Contact",
    "Contacts",
    "Dose",
    "ExtraWater",
    "Facility",
    "Feed",
    "Formula",
    "Interpreter",
    "Learner",
    "Medicine",
    "Order",
    "Patient",
    "Person",
    "PositionCheck",
    "Tube",
    "Visit",
    "Water",
    "load_patient",
    "patient_from_text",
    "read_dose",
    "read_patient",
    "read_root",
]
