"""What every fact is derived from, with what many of them share."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from decimal import Decimal

from plainleaf.facts.ages import ADULT_FROM_YEARS, age_group, age_in_days, age_in_years
from plainleaf.facts.derived import DayPlan, Event, MedicineFacts, Totals
from plainleaf.facts.hold_windows import with_holds
from plainleaf.facts.notebook import FromNow, Notebook, Shared
from plainleaf.facts.noted_plans import noted_plans
from plainleaf.facts.noted_views import noted_patient, noted_policy, unnoted
from plainleaf.facts.opening import opened_at, opening_stage
from plainleaf.facts.ordered_settings import settings_for
from plainleaf.facts.plans import DayOrders, Planner, day_events, day_totals, only_plan
from plainleaf.facts.tripwires import medicine_facts
from plainleaf.inputs.content import MedicineLists
from plainleaf.inputs.patient import Feed, Medicine, Patient, Person, Tube, Water
from plainleaf.inputs.patient.order_values import SettledOutcome
from plainleaf.inputs.policy import Policy


@dataclass(frozen=True)
class Given:
    """One patient, one facility's settings with what is ordered in their place, and the tripwire
    lists.

    `patient`: each pump run knows how long it is held. `notebook`: notes what is read; None, as a
    rule, notes nothing. `planned`: the plans, where they are worked out already; with a notebook
    each part of them is noted when it is read.
    """

    patient: Patient
    policy: Policy
    lists: MedicineLists
    notebook: Notebook | None = None
    planned: tuple[DayPlan, ...] = ()

    @property
    def tube(self) -> Tube:
        """The tube as it lies."""
        return self.patient.tube

    @property
    def person(self) -> Person:
        """Who goes home."""
        return self.patient.person

    @property
    def water(self) -> Water:
        """Flush and water orders."""
        return self.patient.water

    @property
    def prepared(self) -> datetime:
        """The moment the packet is prepared."""
        return self.patient.prepared_on

    @FromNow
    def day(self) -> date:
        """Its day."""
        return self.patient.prepared_on.date()

    @FromNow
    def age_group(self) -> str:
        """The age group of `terms.AGE_GROUPS`."""
        return age_group(self.person.born, self.day, self.policy)

    @FromNow
    def child(self) -> bool:
        """Under 18 years."""
        return self.age_years < ADULT_FROM_YEARS

    @FromNow
    def age_days(self) -> int:
        """Whole days since birth; negative in a file whose dates do not fit."""
        return age_in_days(self.person.born, self.day)

    @FromNow
    def age_years(self) -> int:
        """Whole years since birth."""
        return age_in_years(self.person.born, self.day)

    @Shared
    def kg(self) -> Decimal | None:
        """Weight in kg, exact; None when it is not written."""
        weight = self.person.weight
        return None if weight is None else weight.to("kg").value

    @Shared
    def opened(self) -> datetime:
        """When the opening was first made."""
        return opened_at(self.tube)

    @FromNow
    def stage(self) -> str:
        """How old the opening is, by the policy's days: one of `terms.STAGES`."""
        return opening_stage(self.patient, self.policy, child=self.child)

    @Shared
    def medicines(self) -> tuple[MedicineFacts, ...]:
        """What the rules may ask of each medicine."""
        return tuple(
            medicine_facts(
                m,
                self.policy,
                self.lists,
                self.notebook,
                self._meant(m),
                asked=not self.undated,
            )
            for m in self.patient.medicines
        )

    def _meant(self, medicine: Medicine) -> str | None:
        """The generic name that a line of `settled` says a name means; the rules go by it at once,
        whoever signed the line.
        """
        for decided in (d for block in unnoted(self.patient).settled for d in block.decided):
            if decided.do == "name-means" and medicine.name in (decided.about or (medicine.name,)):
                return str(decided.fields["name"])
        return None

    @Shared
    def events(self) -> tuple[Event, ...]:
        """Everything done on the ordinary day of the first plan, in order."""
        if self.undated:
            return day_events(DayOrders(self.patient, self.policy, unnoted(self.patient)))
        return self.plans[0].events

    @Shared
    def totals(self) -> Totals:
        """What that day adds up to."""
        return day_totals(self.events, self.water) if self.undated else self.plans[0].totals

    @property
    def undated(self) -> bool:
        """Whether the file is of format 1, in which every day is alike."""
        return self.patient.format == 1

    @property
    def planner(self) -> Planner:
        """Works out the plans, and any one date, of a file whose orders have dates."""
        return Planner(unnoted(self.patient), self.policy, self.notebook)

    @Shared
    def plans(self) -> tuple[DayPlan, ...]:
        """Each stretch of days that are all alike, from the day of the packet on."""
        if self.planned:
            return self.planned
        if not self.undated:
            return self.planner.plans()
        return (only_plan(self.patient, self.events, self.totals, self.policy),)

    @Shared
    def dated_orders(self) -> tuple[Patient, ...]:
        """The orders of each plan, with each pump run knowing how long it is held."""
        if self.undated:
            return (self.patient,)
        if self.planned:
            return tuple(plan.orders for plan in self.planned)
        held = tuple(with_holds(plan.orders) for plan in self.plans)
        book = self.notebook
        return held if book is None else tuple(noted_patient(orders, book) for orders in held)

    def outcomes_of(self, finding: str, *do: str) -> tuple[SettledOutcome, ...]:
        """What was decided of a finding, in file order; only with one of some outcomes."""
        return tuple(
            outcome
            for outcome in self.patient.outcomes
            if outcome.finding == finding and (not do or outcome.do in do)
        )

    def feeds_by(self, method: str) -> Sequence[Feed]:
        """The feeding orders of one method."""
        return [feed for feed in self.patient.feeding if feed.method == method]

    @property
    def by_tube(self) -> Sequence[MedicineFacts]:
        """The medicines that go through the tube."""
        return [m for m in self.medicines if m.medicine.through is not None]


def given_of(patient: Patient, policy: Policy, lists: MedicineLists) -> Given:
    """The givens of one patient under one policy.

    Args:
        lists: The medicine lists of the library.
    """
    held = with_holds(patient) if patient.format == 1 else patient
    return Given(held, settings_for(patient, policy), lists)


def noting_given(given: Given) -> tuple[Given, Notebook]:
    """The same givens, and the notebook that notes each key and setting read of them."""
    notebook = Notebook()
    return replace(
        given,
        patient=noted_patient(given.patient, notebook),
        policy=noted_policy(given.policy, notebook),
        notebook=notebook,
    ), notebook


def leaf_noting_given(given: Given, plans: Sequence[DayPlan]) -> tuple[Given, Notebook]:
    """The same givens, and the notebook that notes every single value that somebody typed.

    Args:
        plans: Those of the patient.
    """
    notebook = Notebook(leaf_by_leaf=True)
    patient = noted_patient(given.patient, notebook)
    return replace(
        given,
        patient=patient,
        policy=noted_policy(given.policy, notebook),
        notebook=notebook,
        planned=noted_plans(plans, patient, given.policy, notebook),
    ), notebook
