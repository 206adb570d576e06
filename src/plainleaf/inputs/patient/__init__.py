"""One patient's file, read strictly into a frozen record.

The keys and their meaning are the project's contract (README, "The patient file"). What a file
cannot say is not guessed: a required key that is missing is a fault with its line.
"""

from plainleaf.inputs.patient.loading import ORDERED_DATES, load_patient, read_patient
from plainleaf.inputs.patient.medicines import AS_NEEDED, DOSE_UNITS, read_dose
from plainleaf.inputs.patient.orders import LEAST_BETWEEN_FLUSHES
from plainleaf.inputs.patient.records import (
    Accepted,
    Contact,
    Contacts,
    Dose,
    ExtraWater,
    Feed,
    Formula,
    Interpreter,
    Learner,
    Medicine,
    Order,
    Patient,
    Person,
    PositionCheck,
    Tube,
    Visit,
    Water,
)

__all__ = [
    "AS_NEEDED",
    "DOSE_UNITS",
    "LEAST_BETWEEN_FLUSHES",
    "ORDERED_DATES",
    "Accepted",
    "Contact",
    "Contacts",
    "Dose",
    "ExtraWater",
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
    "read_dose",
    "read_patient",
]
