"""Books kept: what went in must be there, or have left by a named way."""

from __future__ import annotations

from dataclasses import dataclass

from wormbin.process import pools
from wormbin.process.course import Course
from wormbin.process.parameters import Parameters
from wormbin.process.run import Ledger
from wormbin.process.views import Mass


@dataclass(frozen=True, slots=True)
class Balance:
    """The likely course's books, kg. ``burned`` is dry matter burned, ``made`` the water that burning made."""

    put_in: Mass
    taken_out: Mass
    corrected: Mass
    """Added (or, below zero, taken off) because a reading showed it; the one entry that no keeper made."""
    there: Mass
    burned: float
    carbon_dioxide: float
    """Carbon that left as carbon dioxide, kg C."""
    ammonia: float
    """Nitrogen that left as ammonia, kg N."""
    evaporated: float
    drained: float
    made: float


def balance_of(course: Course, ledger: Ledger, p: Parameters) -> Balance:
    """The books of a course."""

    def whole(at: int) -> float:
        return sum(part[at] for part in course.parts)

    return Balance(
        put_in=Mass(*ledger.put),
        taken_out=Mass(*ledger.taken),
        corrected=Mass(*ledger.corrected),
        there=pools.mass(course.parts, p),
        burned=whole(pools.BURNED),
        carbon_dioxide=whole(pools.CARBON_OUT),
        ammonia=whole(pools.AMMONIA),
        evaporated=whole(pools.EVAPORATED),
        drained=whole(pools.DRAINED),
        made=whole(pools.MADE),
    )
