"""Bins looked at: the figures of a moment, or of many days at once, for each compartment of each course."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

import numpy as np

from wormbin.process import flows, pools
from wormbin.process.flows import BULK, DRYING_KG, HOLDS, LIKE, RATES, Housing
from wormbin.process.parameters import Parameters
from wormbin.process.pools import (
    AGED,
    CARBON,
    CASTS,
    FIBRE,
    FOODS,
    FRESH,
    NITROGEN,
    POOLS,
    RAW,
    RISE,
    SLOW,
    STEADY,
    VOLATILE,
    WATER,
    WORMS,
    Array,
)

WAIT_DAYS = 2.5
"""Days of softened feed that may lie waiting when a bin is fed just what it can keep up with; with the two days that
feed takes to soften five in all: three or four between feedings, and a day to spare."""
SLOW_SHARE = 0.4
"""In a slow or cold bin, where even a little lies longer than that: the share of the most that the herd could eat which
it finds of such a little. Ours; on made-up bins what a layer of half a centimetre is worked at."""


@dataclass(frozen=True, slots=True)
class Look:
    """All courses at one moment, kept small; the figures are worked out when somebody wants to see them."""

    on: date
    day: int
    c: Any
    """What is there, ``(TOLD, parts, COURSES)``, and what is its own, ``(OWN, COURSES)``, to seven digits."""
    own: Any
    housing: Housing
    p: Parameters
    usual: tuple[float, float, float]
    """Of the usual feed: volatile kg per fresh kg, liking, decay a day at 20 degC."""
    site_c: float
    site_sd_c: float
    bulk_sd: float
    scores: Mapping[str, Sequence[float]]
    """By what is read, how far off the last readings lay (see ``learning``)."""

    @property
    def likely(self) -> Array:
        """The compartments on the likely course, ``(TOLD, parts)``."""
        return np.asarray(self.c[:, :, 0], dtype=np.float64)


class Seen:
    """Looks at one bin, with how everything went: arrays are ``(rows, parts, looks, COURSES)``; kg, m, kg/day, K."""

    def __init__(self, looks: Sequence[Look]) -> None:
        self.looks, self.p = looks, looks[0].p
        self.c = c = np.stack([look.c for look in looks], axis=2).astype(np.float64)
        own = np.stack([look.own for look in looks], axis=1).astype(np.float64)
        parts = c.shape[1]
        self.k = k = np.empty((flows.SETTLED, *c.shape[1:]))
        housing = looks[0].housing
        for part in range(parts):
            k[:, part] = flows.settled(own, housing.open_above[part], self.p)
        for i, look in enumerate(looks):
            boxes = look.housing.boxes(look.likely)
            k[BULK : BULK + POOLS, :, i] *= boxes[0].bulk / housing.open_above[0].bulk
            flows.at_site(k[:, :, i], boxes[0], look.site_c)
            for part, box in enumerate(boxes if parts > 1 else ()):
                k[DRYING_KG, part, i] *= box.evaporation / housing.open_above[part].evaporation
        self.f = f = flows.flows(c, k, self.p)
        self.soft = c[VOLATILE : VOLATILE + FOODS] - c[RAW : RAW + FOODS]
        self.there = pools.dry(c) + c[WATER] > 0.0
        self.dry, self.castings, self.water, self.worms = pools.dry(c), pools.castings(c), c[WATER], c[WORMS]
        self.waiting, self.slow = pools.waiting_fresh(c), c[FRESH + SLOW]
        held = pools.weighed(c, k[HOLDS : HOLDS + POOLS])
        self.standing = np.where(k[flows.DRAINED] > 0.0, 0.0, np.maximum(0.0, c[WATER] - held))
        self.depth, self.rise = np.where(self.there, f[flows.DEPTH], 0.0), c[RISE]
        self.free = np.where(self.there, f[flows.FREE], 1.0)
        self.reach = np.where(self.there, f[flows.REACH_M], np.inf)
        self.carbon, self.nitrogen = (c[i : i + FOODS].sum(axis=0) for i in (CARBON, NITROGEN))
        self.capacity = f[flows.CAPACITY]
        # Decay against its book rates: warmth, moisture, air and the bin's own factor together.
        self.microbes = f[flows.DECAY] * f[flows.STIRS] * np.sqrt(np.exp(own[flows.RATE])) * np.exp(own[flows.MICROBES])

    def processed(self) -> Array:
        """Dry matter eaten and decayed, kg a day."""
        k, f, volatile = self.k, self.f, self.c[VOLATILE : VOLATILE + POOLS]
        lively = np.broadcast_to(f[flows.STIRS], self.soft.shape).copy()
        lively[AGED] = 1.0
        eats = k[LIKE:RATES] * f[flows.PULL]
        eats[: STEADY + 1] *= f[flows.OPEN]
        foods = eats + k[RATES : RATES + FOODS] * f[flows.DECAY] * lively
        foods = (foods * self.soft).sum(axis=0)
        casts = (k[RATES + CASTS : RATES + POOLS] * volatile[CASTS:]).sum(axis=0) * f[flows.DECAY]
        return np.asarray(foods + casts)

    def layers(self) -> tuple[Array, Array]:
        """How much of the depth is feed, and how much bedding, m."""
        each = pools.roomy(self.c) * self.k[BULK : BULK + POOLS]
        per = self.depth / (each.sum(axis=0) + 1e-15)
        return each[:FIBRE].sum(axis=0) * per, each[FIBRE:CASTS].sum(axis=0) * per

    def appetites(self) -> Array:
        """Fresh kg of the usual feed a day that each course keeps up with, ``(looks, COURSES)``.

        It is what leaves just ``WAIT_DAYS`` of it waiting; in a slow bin more days of it. Eating saturates: at a
        feeding of r (volatile kg/day) with ``WAIT_DAYS`` r waiting, eaten and decayed make r, and the herd eats all but
        a share of its capacity. It is never taken to eat less than ``SLOW_SHARE`` of it.
        """
        volatile, liking, decay = np.array([look.usual for look in self.looks]).T[:, :, None]
        capacity, worms = self.capacity.sum(axis=0), self.worms.sum(axis=0)
        weights = self.dry + 1e-9
        microbes = (self.microbes * weights).sum(axis=0) / weights.sum(axis=0)
        there = 1.0 - np.minimum(0.6, WAIT_DAYS * decay * microbes)
        half = (self.k[flows.HALF_KG, 0] * worms) / (WAIT_DAYS * liking)
        by_worms = np.maximum(capacity / there - half, SLOW_SHARE * capacity / there)
        # With few worms or none the microbes alone still take their share of a modest heap.
        alone = (1.0 - there) * 0.1 * worms / WAIT_DAYS
        return np.asarray(np.maximum(by_worms, alone) / volatile)

    def worst(self) -> Array:
        """Of each look the compartment in which, on the likely course, air reaches the smallest share of the depth."""
        depth = self.depth[:, :, 0]
        shares = np.where(depth > 1e-6, self.reach[:, :, 0] / np.maximum(depth, 1e-6), np.inf)
        return np.asarray(np.argmin(shares, axis=0))
