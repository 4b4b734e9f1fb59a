"""What lies in a bin at a moment, on the likely course: everything that the sums which a keeper opens are made of."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from wormbin.process import flows, pools
from wormbin.process.day import worst_air
from wormbin.process.look import CAPACITY, CARBON, DEPTH_M, MICROBES, NITROGEN, Figures, Look
from wormbin.process.pools import AGED, FRESH, QUICK, STEADY, WATER, WORMS


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
    parts = look.courses[0][1]
    flows_now = look.now()
    figures = look.figures_at(flows_now)[0]
    boxes = look.housing.boxes(parts)
    return Bed(
        tuple(
            _inside(part, row, flow, box.bulk, look)
            for part, row, flow, box in zip(parts, figures, flows_now[0], boxes, strict=True)
        ),
        look.housing.area_m2,
        look.site_c,
        look.usual,
        look.p.half_days * look.p.appetite,
        worst_air(figures),
    )


def _inside(c: Sequence[float], row: Figures, flow: flows.Flow, bulk: float, look: Look) -> Inside:
    p = look.p
    loose = (p.bulk_quick, p.bulk_steady, p.bulk_slow, p.bulk_aged)
    bedding, castings = p.bulk_fibre * (c[4] + c[22]), p.bulk_castings * (c[5] + c[23])
    return Inside(
        water_kg=c[WATER],
        held_kg=min(c[WATER], pools.holds(c, p)),
        worms_kg=c[WORMS],
        volatile_kg=pools.volatile(c),
        ash_kg=pools.ash(c),
        castings_kg=pools.castings(c),
        quick_fresh_kg=c[FRESH + QUICK],
        steady_fresh_kg=c[FRESH + STEADY],
        aged_fresh_kg=c[FRESH + AGED],
        carbon_kg=row[CARBON],
        nitrogen_kg=row[NITROGEN],
        # Grit, and ash whose pool is worked off, lies between the rest and takes no room of its own in the model.
        feed_m3=bulk * sum(each * (c[i] + c[18 + i]) for i, each in enumerate(loose) if c[i] > 0.0),
        bedding_m3=bulk * bedding,
        castings_m3=bulk * castings,
        depth_m=row[DEPTH_M],
        needs_kg_day=flow[flows.NEEDS],
        capacity_kg_day=row[CAPACITY],
        microbes=row[MICROBES],
    )
