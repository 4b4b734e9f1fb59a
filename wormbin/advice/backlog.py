"""How many days of work wait, as every rule, the form and the ration count them: one figure, the look-ahead's.

They are the days until a quarter of what waits now is left when nothing more is given, so that "days of work" and
"no feed until" never tell two tales.
"""

from __future__ import annotations

from collections.abc import Callable

from wormbin.advice import limits
from wormbin.advice.case import Case
from wormbin.figures import Band
from wormbin.process.views import FED_DAYS, Day
from wormbin.process.working_off import LEFT_SHARE


def backlog(case: Case) -> Callable[[Day], Band | None]:
    """For a day, the days of work waiting as a band; None when no more than a smear waits, or nobody can tell.

    In a bin's first days its pace may be anything: then a look at what is left is asked for, and no alarm is raised.
    """
    smear = limits.TRIFLE_KG_M2 * case.bin.footprint_m2

    def days(day: Day) -> Band | None:
        band = day.feed_waiting_days
        return band if day.feed_waiting_kg.p50 >= smear and band.p10 >= limits.SURE_OF_DAYS else None

    return days


def waiting_days(case: Case) -> Band:
    """The days of work waiting today; also where too little is known for a warning."""
    return case.today.feed_waiting_days


def worked_a_day(waiting_kg: float, work_days: float) -> float:
    """Kg of feed worked a day, on the mean, while ``waiting_kg`` goes down to a quarter in ``work_days``."""
    return (1.0 - LEFT_SHARE) * waiting_kg / work_days


def work_days(case: Case, kg: float) -> float:
    """The days of work that ``kg`` waiting in all would be today; 0 while it is but a smear.

    On the straight line through what two days' and a week's feed on top would make of it.
    """
    if kg < limits.TRIFLE_KG_M2 * case.bin.footprint_m2:
        return 0.0
    known = case.today.days_if_fed
    if len(known) < len(FED_DAYS) or known[-1][0] <= known[0][0]:
        return (1.0 - LEFT_SHARE) * kg / max(case.today.appetite_kg_day.p50, 1e-9)
    (few, first), (many, then) = known
    return max(0.0, first + (then - first) * (kg - few) / (many - few))
