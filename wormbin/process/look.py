"""A bin looked at: the figures of one moment, for each compartment of each of its nine courses."""

from __future__ import annotations

from array import array
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from math import inf

from wormbin.process import flows, pools, working_off
from wormbin.process.course import Housing
from wormbin.process.flows import flow_now
from wormbin.process.parameters import Parameters
from wormbin.process.pools import FRESH, RAW, RAW_FIBRE, RISE, WATER, WORMS

WAIT_DAYS = 2.5
"""Days of softened feed that may lie waiting when a bin is fed just what it can keep up with; with the two days that
feed takes to soften five in all: three or four between feedings, and a day to spare."""
SLOW_SHARE = 0.4
"""In a slow or cold bin, where even a little lies longer than that: the share of the most that the herd could eat which
it finds of such a little. Ours; on made-up bins what a layer of half a centimetre is worked at."""

# Places in the figures of one compartment.
(
    DRY, CASTINGS_DRY, WATER_KG, WORMS_KG, WAITING, SLOW, STANDING, DEPTH_M, FAS, REACH_M, RISE_C, CARBON, NITROGEN,
    PROCESSED, CAPACITY, FEED_M, BEDDING_M, MICROBES,
) = range(18)  # fmt: skip

Figures = tuple[float, ...]
Now = tuple[tuple[flows.Flow, ...], ...]


@dataclass(frozen=True, slots=True)
class Look:
    """All nine courses at one moment, kept small; the figures are worked out when somebody wants to see them."""

    on: date
    day: int
    courses: tuple[tuple[flows.Own, tuple[array[float], ...]], ...]
    """What is its own, and the compartments, of each course; the likely one first."""
    housing: Housing
    p: Parameters
    usual: tuple[float, float, float]
    """Of the usual feed: volatile kg per fresh kg, liking, decay a day at 20 degC."""
    site_c: float
    site_sd_c: float
    bulk_sd: float

    @property
    def figures(self) -> tuple[tuple[Figures, ...], ...]:
        """``figures[course][part]``."""
        return self.figures_at(self.now())

    def now(self) -> Now:
        """How everything goes now, ``[course][part]``: worked out once, and handed to what needs it."""
        return tuple(
            tuple(
                flow_now(part, box, self.site_c, own, self.p)
                for part, box in zip(parts, self.housing.boxes(parts), strict=True)
            )
            for own, parts in self.courses
        )

    def figures_at(self, now: Now) -> tuple[tuple[Figures, ...], ...]:
        """``figures[course][part]``."""
        return tuple(
            tuple(
                figures_of(part, box, flow, own, self.p)
                for part, box, flow in zip(parts, self.housing.boxes(parts), going, strict=True)
            )
            for (own, parts), going in zip(self.courses, now, strict=True)
        )

    def days(self, now: Now, daily_kg: float) -> list[float]:
        """Of each course the days until what waits is worked off; see ``working_off``."""
        area = self.housing.open_above[0].area_m2
        return [
            working_off.days_of(list(zip(parts, going, strict=True)), area, own, self.p, daily_kg=daily_kg)
            for (own, parts), going in zip(self.courses, now, strict=True)
        ]

    def if_fed(self, now: Now, fresh_kg: float, daily_kg: float) -> float:
        """The same days on the likely course, were so much of the usual feed given now too."""
        own, parts = self.courses[0]
        area = self.housing.open_above[0].area_m2
        there = list(zip(parts, now[0], strict=True))
        return working_off.days_of(there, area, own, self.p, fresh_kg, self.usual[0], daily_kg)


def figures_of(c: Sequence[float], box: flows.Box, flow: flows.Flow, own: flows.Own, p: Parameters) -> Figures:
    """The figures of one compartment now, of its flow now; see the places above. kg, m, kg/day, K."""
    dry = pools.dry(c)
    if dry <= 0.0 and c[WATER] <= 0.0:
        return (0.0,) * 7 + (0.0, 1.0, inf) + (0.0,) * 8
    pull, decay = flow[flows.PULL], flow[flows.DECAY]
    book = flows.decay_rates(own, p)
    shares = [like * pull + each * decay for like, each in zip(flows.likings(own, p), book, strict=False)]
    soft = [1.0 - c[RAW + i] / c[i] if c[i] > 0.0 else 0.0 for i in (0, 1)]
    shares[0] *= soft[0] * flow[flows.OPEN]
    shares[1] *= soft[1] * flow[flows.OPEN]
    shares[4] *= 1.0 - c[RAW_FIBRE] / c[4] if c[4] > 0.0 else 0.0
    processed = sum(share * c[i] for i, share in enumerate(shares)) + decay * book[5] * c[5]
    room = [
        p.bulk_quick * (c[0] + c[18]) + p.bulk_steady * (c[1] + c[19]) + p.bulk_slow * (c[2] + c[20])
        + p.bulk_aged * (c[3] + c[21]),
        p.bulk_fibre * (c[4] + c[22]),
        p.bulk_castings * (c[5] + c[23]),
    ]  # fmt: skip
    whole = sum(room) + 1e-15
    depth = flow[flows.DEPTH]
    return (
        dry,
        pools.castings(c),
        c[WATER],
        c[WORMS],
        pools.waiting_fresh(c),
        c[FRESH + pools.SLOW],
        0.0 if box.drained else max(0.0, c[WATER] - pools.holds(c, p)),
        depth,
        flow[flows.FREE],
        flow[flows.REACH_M],
        c[RISE],
        c[6] + c[7] + c[8] + c[9] + c[10],
        c[12] + c[13] + c[14] + c[15] + c[16],
        processed,
        flow[flows.CAPACITY],
        depth * room[0] / whole,
        depth * room[1] / whole,
        # Decay against its book rates: warmth, moisture, air and the bin's own factor together.
        decay * flows.decay_pace(own),
    )


def appetite(capacity: float, microbes: float, worms_kg: float, usual: Sequence[float], half: float) -> float:
    """Fresh kg of the usual feed a day that leaves just ``WAIT_DAYS`` of it waiting; in a slow bin more days of it.

    Eating saturates: at a feeding of r (volatile kg/day) with ``WAIT_DAYS`` r waiting, eaten and decayed make r, and
    the herd eats all but a share of its capacity. It is never taken to eat less than ``SLOW_SHARE`` of it.
    ``half`` is what a kg of worms must find to eat at half its capacity, kg.
    """
    volatile, liking, decay = usual
    if volatile <= 0.0:
        return 0.0
    there = 1.0 - min(0.6, WAIT_DAYS * decay * microbes)
    by_worms = max(capacity / there - half * worms_kg / (WAIT_DAYS * liking), SLOW_SHARE * capacity / there)
    # With few worms or none the microbes alone still take their share of a modest heap.
    alone = (1.0 - there) * 0.1 * worms_kg / WAIT_DAYS
    return max(by_worms, alone) / volatile
