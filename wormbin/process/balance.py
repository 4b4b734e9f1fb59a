"""Books kept: what went in must be there, or have left by a named way."""

from __future__ import annotations

from dataclasses import dataclass

from wormbin.process import pools
from wormbin.process.run import Run
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


def balance_of(run: Run) -> Balance:
    """The books of the likely course of a run."""
    whole = run.likely.sum(axis=1).tolist()
    return Balance(
        put_in=Mass(*run.ledger.put),
        taken_out=Mass(*run.ledger.taken),
        corrected=Mass(*run.ledger.corrected),
        there=pools.mass(run.likely, run.p),
        burned=whole[pools.BURNED],
        carbon_dioxide=whole[pools.CARBON_OUT],
        ammonia=whole[pools.AMMONIA],
        evaporated=whole[pools.EVAPORATED],
        drained=whole[pools.DRAINED],
        made=whole[pools.MADE],
    )
