"""How long what waits now takes to be worked off without another feeding: the look-ahead's own sums, for feed alone.

The equations of eating, softening and decay are carried on from this moment with warmth, moisture, air and herd held as
they are: a hundredth of the work of a look-ahead, so that it can be asked of every day of a log.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, log

from wormbin.process import flows
from wormbin.process.flows import Flow, Own
from wormbin.process.parameters import Parameters
from wormbin.process.pools import FRESH, RAW, RAW_FIBRE, WORMS
from wormbin.science.constants import FRESH_SCRAPS_KG_M3

LEFT_DAYS = 2.0
"""Feed counts as worked off once it may be fed again: when no more than so many days' feed lies there (ours). A bin
that is fed as it keeps up has about a third of its last feeding left by then, the most that common practice allows."""
LONGEST_DAYS = 400.0
FIRST_STEP_DAYS, LATER_STEP = 0.5, 0.2
"""Steps of half a day, later of a fifth of the days gone by."""


def days_of(
    parts: Sequence[tuple[Sequence[float], Flow]],
    area_m2: float,
    own: Own,
    p: Parameters,
    fresh_kg: float = 0.0,
    volatile: float = 0.0,
    daily_kg: float = 0.0,
) -> float:
    """Days until the feed waiting in all compartments is worked off; ``LONGEST_DAYS`` at most.

    ``parts`` holds each compartment (of ``area_m2``) with its flow of this moment. ``fresh_kg`` of scraps (of which
    ``volatile`` a kg) are thought to be given on top, where most worms are.
    """
    likes, rates = flows.likings(own, p), flows.decay_rates(own, p)
    heaps = [_Heap(c, flow, area_m2, likes, rates, p) for c, flow in parts]
    if fresh_kg > 0.0:
        heaps[max(range(len(parts)), key=lambda i: parts[i][0][WORMS])].give(fresh_kg, volatile)
    start = sum([heap.waiting() for heap in heaps])
    aim = max(LEFT_DAYS * daily_kg, 1e-9)
    # A day's feed is a day's work, though it may lie.
    least = min(LEFT_DAYS, start / daily_kg) if daily_kg > 0.0 else 0.0
    if start <= aim:
        return least
    before, now, t, dt = start, start, 0.0, 0.0
    while now > aim and t < LONGEST_DAYS:
        dt = max(FIRST_STEP_DAYS, LATER_STEP * t)
        before = now
        for heap in heaps:
            heap.on(dt)
        now = sum([heap.waiting() for heap in heaps])
        t += dt
    if now > aim:
        return LONGEST_DAYS
    return min(LONGEST_DAYS, max(least, t - dt * log(aim / now) / log(before / now)))


class _Heap:
    """The feed of one compartment, as it goes with all else held."""

    __slots__ = (
        "capacity",
        "decay0",
        "decay1",
        "decay3",
        "fresh0",
        "fresh1",
        "fresh3",
        "half",
        "heap",
        "like",
        "low",
        "raw0",
        "raw1",
        "rest",
        "ripens",
        "soft0",
        "soft1",
        "v3",
    )  # fmt: skip

    def __init__(
        self,
        c: Sequence[float],
        flow: Flow,
        area_m2: float,
        likes: Sequence[float],
        rates: Sequence[float],
        p: Parameters,
    ) -> None:
        decay = flow[flows.DECAY]
        self.decay0, self.decay1, self.decay3 = decay * rates[0], decay * rates[1], decay * rates[3]
        self.capacity, self.half = flow[flows.CAPACITY], p.half_days * p.appetite * c[WORMS] + 1e-15
        self.like = likes[0], likes[1], likes[3]
        self.ripens = flow[flows.SOFTENS]
        self.raw0, self.raw1 = c[RAW], c[RAW + 1]
        self.soft0, self.soft1, self.v3 = c[0] - c[RAW], c[1] - c[RAW + 1], c[3]
        self.heap, self.low = FRESH_SCRAPS_KG_M3 * area_m2 * p.heap_m, p.heap_open
        # Slow things and fibre share the worms' time, and hardly change meanwhile.
        self.rest = likes[2] * c[2] + likes[4] * (c[4] - c[RAW_FIBRE])
        self.fresh0 = c[FRESH] / c[0] if c[0] > 0.0 else 0.0
        self.fresh1 = c[FRESH + 1] / c[1] if c[1] > 0.0 else 0.0
        self.fresh3 = c[FRESH + 3] / c[3] if c[3] > 0.0 else 0.0

    def give(self, fresh_kg: float, volatile: float) -> None:
        """Lay fresh quick feed on top."""
        there = self.soft0 + self.raw0
        self.raw0 += fresh_kg * volatile
        self.fresh0 = (self.fresh0 * there + fresh_kg) / (self.soft0 + self.raw0)

    def waiting(self) -> float:
        """Feed waiting, as the fresh mass it came in as, kg."""
        return self.fresh0 * (self.soft0 + self.raw0) + self.fresh1 * (self.soft1 + self.raw1) + self.fresh3 * self.v3

    def opens(self) -> float:
        """How far it goes at the pace of a thin layer, 0-1."""
        thick = (self.fresh0 * (self.soft0 + self.raw0) + self.fresh1 * (self.soft1 + self.raw1)) / self.heap
        return self.low + (1.0 - self.low) / (1.0 + thick * thick)

    def on(self, days: float) -> None:
        """Let ``days`` go by: half with the pull of the start to find the middle, then the whole with that."""
        like0, like1, like3 = self.like
        keeps = exp(-days * self.ripens)
        half_keeps = keeps**0.5
        soft0 = self.soft0 + self.raw0 * (1.0 - half_keeps)
        soft1 = self.soft1 + self.raw1 * (1.0 - half_keeps)
        liked = like0 * soft0 + like1 * soft1 + like3 * self.v3
        pull = self.capacity / (liked + self.rest + self.half)
        half, opens = 0.5 * days, self.opens()
        liked = (
            like0 * soft0 * exp(-half * opens * (like0 * pull + self.decay0))
            + like1 * soft1 * exp(-half * opens * (like1 * pull + self.decay1))
            + like3 * self.v3 * exp(-half * (like3 * pull + self.decay3))
        )
        pull = self.capacity / (liked + self.rest + self.half)
        soft = self.raw0 * (1.0 - keeps)
        goes = exp(-days * opens * (like0 * pull + self.decay0))
        self.soft0 = self.soft0 * goes + soft * goes**0.5
        soft = self.raw1 * (1.0 - keeps)
        goes = exp(-days * opens * (like1 * pull + self.decay1))
        self.soft1 = self.soft1 * goes + soft * goes**0.5
        self.v3 *= exp(-days * (like3 * pull + self.decay3))
        self.raw0 *= keeps
        self.raw1 *= keeps
