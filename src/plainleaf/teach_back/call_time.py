"""When the follow-up call is due: so long after going home, by policy and by the sheet's date."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from plainleaf.inputs.policy import Policy
from plainleaf.teach_back.field_reader import WrittenTime
from plainleaf.vocabulary.errors import Fault, PolicyError
from plainleaf.vocabulary.quantities import Quantity


@dataclass(frozen=True)
class CallTime:
    """From when and by when; `after` is going home, None where the sheet does not say it.

    `whole_days`: only the day of going home is known.
    """

    low: Quantity
    high: Quantity
    after: datetime | None
    whole_days: bool

    @property
    def window(self) -> tuple[datetime, datetime] | None:
        """The first and the last moment, where going home is known."""
        if self.after is None:
            return None
        return self.after + _span(self.low), self.after + _span(self.high)

    @property
    def text(self) -> str:
        """The time in the staff's words."""
        hours = f"{_hours(self.low)} to {_hours(self.high)} hours after going home"
        if self.window is None:
            return f"{hours}; the sheet does not say when that is"
        shape = "%Y-%m-%d" if self.whole_days else "%Y-%m-%d %H:%M"
        first, last = (moment.strftime(shape) for moment in self.window)
        return f"between {first} and {last} ({hours})"


def _span(amount: Quantity) -> timedelta:
    return timedelta(minutes=int(amount.to("min").value))


def _hours(amount: Quantity) -> str:
    return f"{amount.to('h').value.normalize():f}"


def call_time(policy: Policy, discharge: WrittenTime | None) -> CallTime:
    """When to call.

    Raises:
        PolicyError: The call would begin after the time by which the handout promises it.
    """
    low, high = policy.quantity("follow_up_call_from"), policy.quantity("follow_up_within")
    if _span(low) > _span(high):
        wrong = f"follow_up_call_from is {low}, later than follow_up_within, {high}."
        raise PolicyError([Fault(policy.file, 0, wrong, "Write an earlier time.")])
    if discharge is None or discharge.day is None:
        return CallTime(low, high, None, whole_days=False)
    clock = discharge.clock
    after = datetime.combine(discharge.day, clock or datetime.min.time())
    return CallTime(low, high, after, whole_days=clock is None)
