"""A plain particle filter of the program's own equations: thousands of bins drawn, and drawn anew by what was read.

It knows no gains and no bands: each particle is one bin with factors of its own and its own chances from day to day;
after a reading those go on that it suits. Slow, and an outside measure of what the ensemble of 33 makes of a log.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields
from datetime import datetime, timedelta
from math import ceil

import numpy as np

from wormbin.process import abreast, flows, pools
from wormbin.process.ensemble import Doubts
from wormbin.process.learning import TAIL
from wormbin.process.parameters import DEFAULT
from wormbin.process.pools import CASTS, LEFT, OLD, QUICK, STEADY, VOLATILE, WATER, WORMS, Array, Materials
from wormbin.process.readings import readings_of
from wormbin.process.run import Run, moment
from wormbin.records.bins import Bin
from wormbin.records.entries import Check, Entry, Stocking


class Particles:
    """``count`` bins carried through a log; only moisture by oven or by hand, and shares left, are read."""

    def __init__(self, bin_: Bin, table: Materials, count: int, seed: int, doubts: Doubts) -> None:
        self.rng, self.doubts, self.count = np.random.default_rng(seed), doubts, count
        self.run = Run.begin(bin_, table, bin_.started, DEFAULT, doubts)
        sds = np.array([getattr(doubts, each.name) for each in fields(doubts)[: flows.OWN]])
        self.run.c = pools.empty(1, count)
        self.run.k = np.zeros((flows.SETTLED, 1, count))
        self.run.own = sds[:, None] * self.rng.standard_normal((flows.OWN, count))
        self.hand = self.rng.normal(0.0, 0.045, count)
        self.run.changed()

    def through(self, entries: Sequence[Entry], until: datetime) -> None:
        """Live the log through."""
        days = ceil(moment(until)) - self.run.bin.started.toordinal()
        for number in range(days):
            day = self.run.bin.started + timedelta(days=number)
            for entry in (each for each in entries if each.when.date() == day):
                abreast.gone([self.run.forward(moment(entry.when))])
                if isinstance(entry.what, Check):
                    self.read(entry)
                elif isinstance(entry.what, Stocking):
                    sd = self.doubts.worms_weighed
                    self.run.c[WORMS] += entry.what.worms_kg * np.exp(self.rng.normal(0.0, sd, self.count))
                else:
                    self.run.act(entry)
            abreast.gone([self.run.forward(min(day.toordinal() + 1.0, moment(until)))])
            self.wander()

    def wander(self) -> None:
        """A day's chances, of the size by which the ensemble lets doubt come back."""
        drift, c, draw = self.doubts.drift, self.run.c, self.rng.standard_normal
        for row, sd in ((flows.RATE, drift.rate), (flows.DRYING, drift.drying), (flows.FIBRES, drift.fibres)):
            self.run.own[row] += sd * draw(self.count)
        c[WORMS] *= np.exp(drift.worms * draw(self.count))
        c[WATER] *= np.exp(drift.damp * draw(self.count))
        times = np.exp(drift.feed * draw((2, 1, self.count)))
        pools.scale_pools(c, times, QUICK, STEADY + 1)
        pools.scale_pools(c, np.exp(drift.castings * draw((1, self.count))), CASTS, OLD + 1)
        self.run.changed()

    def read(self, entry: Entry) -> None:
        """Draw the particles anew by how well what was read suits each, Student's t as the ensemble has it."""
        holds = self.run.settle()[flows.HOLDS : flows.APPETITE]
        logs = np.zeros(self.count)
        for reading in readings_of(entry, None, 0.0, 0.0):
            sd = reading.sd
            if reading.quantity == "moisture":
                said = pools.handful(self.run.c, holds)[0]
                if reading.by == "squeeze":
                    # The hand's own fault is a thing of each particle; what is left is chance.
                    said, sd = said + self.hand, reading.own_sd
            elif reading.quantity == "left" and self.run.last_feed is not None:
                spread = np.array(self.run.last_feed[1])
                said = spread @ self.run.c[LEFT:VOLATILE, 0] / spread.sum()
            else:
                continue
            off = (reading.value - said) / sd
            logs -= 0.5 * (TAIL + 1.0) * np.log1p(off * off / TAIL)
        weights = np.exp(logs - logs.max())
        at = np.cumsum(weights) / weights.sum()
        chosen = np.searchsorted(at, (self.rng.random() + np.arange(self.count)) / self.count)
        chosen = np.minimum(chosen, self.count - 1)
        self.run.c, self.run.own = self.run.c[:, :, chosen].copy(), self.run.own[:, chosen].copy()
        self.hand = self.hand[chosen] + self.rng.normal(0.0, 0.003, self.count)
        self.run.changed()

    def bands(self) -> dict[str, tuple[float, float, float]]:
        """The 10/50/90 of each figure."""
        return {name: tuple(np.quantile(each, (0.1, 0.5, 0.9)).tolist()) for name, each in figures(self.run.c).items()}


def figures(c: Array) -> dict[str, Array]:
    """What both are compared by: shares of moisture and castings, feed waiting and worms, kg; one a course."""
    dry, water = pools.dry(c).sum(axis=0), c[WATER].sum(axis=0)
    return {
        "moisture": water / (dry + water),
        "castings_share": pools.castings(c).sum(axis=0) / dry,
        "feed_waiting_kg": pools.waiting_fresh(c).sum(axis=0),
        "worms_kg": c[WORMS].sum(axis=0),
    }
