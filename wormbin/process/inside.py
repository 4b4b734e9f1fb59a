"""What lies in a bin at a moment, on the likely course: everything that the sums which a keeper opens are made of."""

from __future__ import annotations

from dataclasses import dataclass

from wormbin.process import flows, pools
from wormbin.process.flows import BULK, HOLDS
from wormbin.process.look import Look, Seen
from wormbin.process.pools import AGED, CASTS, FIBRE, FRESH, POOLS, QUICK, STEADY
from wormbin.process.run import Run
from wormbin.process.views import Mass


@dataclass(frozen=True, slots=True)
class Inside:
    """One compartment. kg as the names say, dry where it is not said; room in m3 as loosely as this bin lies."""

    water_kg: float
    held_kg: float
    """Of the water, what is in and on the solids; the rest stands at the base."""
    worms_kg: float
    volatile_kg: float
    ash_kg: float
    castings_kg: float
    quick_fresh_kg: float
    steady_fresh_kg: float
    aged_fresh_kg: float
    carbon_kg: float
    nitrogen_kg: float
    """Both of what is unfinished: all but castings."""
    feed_m3: float
    bedding_m3: float
    castings_m3: float
    depth_m: float
    needs_kg_day: float
    """Dry matter that would burn in a day with air enough."""
    capacity_kg_day: float
    microbes: float
    """Their pace against the book."""

    @property
    def dry_kg(self) -> float:
        """Dry matter, kg."""
        return self.volatile_kg + self.ash_kg


@dataclass(frozen=True, slots=True)
class Bed:
    """All compartments from the lowest (or left) up, each of ``area_m2``, and what holds for the whole bin.

    ``usual`` feed: volatile kg per fresh kg, liking, decay a day at 20 degC. ``half_kg_kg`` is what a kg of worms must
    find to eat at half its capacity.
    """

    parts: tuple[Inside, ...]
    area_m2: float
    site_c: float
    usual: tuple[float, float, float]
    half_kg_kg: float
    worst: int
    """The compartment in which air reaches the smallest share of the depth."""


def bed_of(look: Look) -> Bed:
    """What lies in the bin by the likely course of a look."""
    seen = Seen([look])
    return Bed(
        tuple(_inside(seen, part) for part in range(seen.c.shape[1])),
        look.housing.area_m2,
        look.site_c,
        look.usual,
        float(seen.k[flows.HALF_KG, 0, 0, 0]),
        int(seen.worst()[0]),
    )


def _inside(seen: Seen, part: int) -> Inside:
    c, k, f = (each[:, part, 0, 0] for each in (seen.c, seen.k, seen.f))
    room = k[BULK:HOLDS] * pools.roomy(c)
    told = {
        "water_kg": seen.water,
        "worms_kg": seen.worms,
        "castings_kg": seen.castings,
        "carbon_kg": seen.carbon,
        "nitrogen_kg": seen.nitrogen,
        "depth_m": seen.depth,
        "capacity_kg_day": seen.capacity,
        "microbes": seen.microbes,
    }
    return Inside(
        **{name: float(values[part, 0, 0]) for name, values in told.items()},
        held_kg=float(min(seen.water[part, 0, 0], pools.weighed(c, k[HOLDS : HOLDS + POOLS]))),
        volatile_kg=float(pools.volatile(c)),
        ash_kg=float(pools.ash(c)),
        quick_fresh_kg=float(c[FRESH + QUICK]),
        steady_fresh_kg=float(c[FRESH + STEADY]),
        aged_fresh_kg=float(c[FRESH + AGED]),
        feed_m3=float(room[:FIBRE].sum()),
        bedding_m3=float(room[FIBRE:CASTS].sum()),
        castings_m3=float(room[CASTS:].sum()),
        needs_kg_day=float(f[flows.NEEDS]),
    )


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
