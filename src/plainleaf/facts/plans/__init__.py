"""The orders as dated plans: which days are alike, what is done on them, what it adds up to.

Every date on which a feeding, a medicine, an additive or a check begins, changes or has ended cuts
the time from the day of the packet on. `Planner.plans` gives the plans of a file whose orders have
dates, `Planner.on` what is done on any one date. A day is made of events, and every total is a sum
over them.
"""

from plainleaf.facts.plans.coverage import orders_on, step_spans
from plainleaf.facts.plans.day_orders import DayOrders
from plainleaf.facts.plans.day_sums import day_totals, mixed
from plainleaf.facts.plans.hanging import fillings, hang_time, refills
from plainleaf.facts.plans.planning import Planner, only_plan
from plainleaf.facts.plans.presence import who_may
from plainleaf.facts.plans.printed_day import day_events
from plainleaf.facts.plans.some_days import dates_of, first_due, weekday_of
from plainleaf.facts.plans.water_times import resting_ports

__all__ = [
    "DayOrders",
    "Planner",
    "dates_of",
    "day_events",
    "day_totals",
    "fillings",
    "first_due",
    "hang_time",
    "mixed",
    "only_plan",
    "orders_on",
    "refills",
    "resting_ports",
    "step_spans",
    "weekday_of",
    "who_may",
]
