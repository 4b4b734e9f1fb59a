"""A reading taken in: all courses moved towards it as far as it deserves, heavy-tailed, and the spread drawn in.

A deterministic square-root ensemble update: the likely course moves by the gain times what the reading says beyond what
was expected; the companions move with it and close up by as much as the reading teaches. A reading far out of line
is given less weight (Student's t), never dropped.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import sqrt
from typing import TYPE_CHECKING

import numpy as np

from wormbin.process import flows, pools
from wormbin.process.ensemble import COURSES, SMALL, set_left, spread
from wormbin.process.flows import OWN
from wormbin.process.pools import LEFT, POOLS, QUICK, STEADY, VOLATILE, WATER, WORMS, Array
from wormbin.science.constants import TENTH_SD

if TYPE_CHECKING:
    from wormbin.process.run import Run


KEPT = 20
"""So many of the last readings of a quantity count."""
BEFORE = 8.0
"""So many readings that went as they should are taken to have come before any (ours)."""
WILD = 3.0
"""A reading further off than so many standard deviations counts as one that far off: it may be the keeper's slip."""
MOST = 2.0


def noted(offs: Sequence[float], off: float) -> list[float]:
    """The last readings with one more, each in standard deviations off what was expected."""
    return [*offs, off][-KEPT:]


def wider(offs: Sequence[float]) -> float:
    """How many times as wide a band has to be for the readings to have lain as far off as they did, 1 at least."""
    square = BEFORE + sum(min(off * off, WILD * WILD) for off in offs)
    return min(MOST, max(1.0, sqrt(square / (BEFORE + len(offs)))))


def held(scores: Mapping[str, Iterable[float]]) -> tuple[int, int]:
    """Of how many readings so many lay in the band, eight times in ten, that was made before."""
    offs = [abs(off) for each in scores.values() for off in each]
    return sum(off <= TENTH_SD for off in offs), len(offs)


TAIL = 4.0
"""Degrees of freedom of the heavy tail: 4 forgives a wild reading in ten without ignoring honest surprise."""
QUESTION_AT = 3.0
"""Standard deviations off what was expected at which the keeper is asked."""
FLOOR = 0.05
"""Share of a feeding below which the eye cannot tell how much is left."""
MOST = 1.4
"""No single reading changes a mass more than fourfold (natural log)."""
PACE_MOVES = 0.3
"""The most that one reading moves the log of how fast a bin works: nobody's herd doubles its appetite overnight."""
_BOUNDS = np.array([1.8, 1.5, 1.8, 1.2, 0.7, 0.5, 1.8, 1.2, 0.7, 2.5])
"""How far a bin's own factors may go from the book, natural logs, in their order."""
_LEAST = np.array([SMALL] * (POOLS + 4) + [1e-9, SMALL])[:, None]
"""Pools, what is left of the last feeding, wetness and herd count as there above this."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """What became of one reading: its weight 0-1, how many standard deviations it lay off."""

    weight: float
    off: float

    @property
    def questioned(self) -> bool:
        """Whether it lies so far out that the keeper should be asked."""
        return abs(self.off) > QUESTION_AT


def judge(read: float, expected: float, expected_var: float, reading_var: float) -> Verdict:
    """How a reading sits with what was expected: Student-t weight against the spread of both together."""
    off = (read - expected) / sqrt(expected_var + reading_var)
    return Verdict(min(1.0, (TAIL + 1.0) / (TAIL + off * off)), off)


def take_in(
    run: Run,
    expected: Array,
    read: float,
    reading_var: float,
    weight: float,
    herd_bound: float = 0.25,
    *,
    of_pace: bool = True,
) -> None:
    """Move all courses by a reading. ``expected`` is what each of them says the reading should be, same unit.

    ``herd_bound`` is the most that the log of the herd may move: little when it was not the herd that was read. Where
    the reading is not ``of_pace``, what is the bin's own stays as it was believed.
    """
    off = expected[1:] - expected[1:].mean()
    seen = float(off @ off) / (COURSES - 1)
    if seen <= 1e-18:
        return
    noise = reading_var / max(weight, 1e-6)
    whole = seen + noise
    # What of a row's spread goes with what was expected, times how much of the surprise is believed.
    moves = np.empty(COURSES)
    moves[0] = read - expected[0]
    moves[1:] = moves[0] - off / (1.0 + sqrt(noise / whole))

    c, parts = run.c, run.c.shape[1]
    volatile, left = c[VOLATILE : VOLATILE + POOLS], c[LEFT:VOLATILE]
    wetness = c[WATER] / (pools.dry(c) + SMALL)
    rows = np.concatenate([volatile, left + FLOOR, wetness[None], c[WORMS : WORMS + 1]])
    there = rows.min(axis=2) > _LEAST
    there[POOLS : POOLS + 4] = left.max(axis=2) > 1e-4
    logs = np.concatenate([run.own, np.log(np.maximum(rows, SMALL)).reshape(-1, COURSES)])
    moved = np.outer((logs[:, 1:] @ off) / ((COURSES - 1) * whole), moves)
    if of_pace:
        step = moved[flows.RATE, 0]
        moved[flows.RATE] += np.clip(step, -PACE_MOVES, PACE_MOVES) - step
        run.own = np.clip(run.own + moved[:OWN], -_BOUNDS[:, None], _BOUNDS[:, None])
    moved = np.where(there[..., None], moved[OWN:].reshape(len(rows), parts, COURSES), 0.0)
    times = np.exp(np.clip(moved, -MOST, MOST))
    pools.scale_pools(c, times[:POOLS])
    set_left(c, np.clip((left + FLOOR) * times[POOLS : POOLS + 4] - FLOOR, 0.0, 1.0))
    c[WORMS] *= np.exp(np.clip(moved[-1], -herd_bound, herd_bound))
    c[WATER] = np.where(there[-2][:, None], pools.dry(c) * wetness * times[-2], c[WATER])
    run.changed()


DOUBTABLE = ("left", "moisture")
"""Quantities whose repeated surprises make the belief be doubted, not the keeper."""


def widen(run: Run, quantity: str, factor: float) -> None:
    """Spread the companions ``factor`` times as far from the likely course in what ``quantity`` rests on."""

    def stretch(each: Array) -> Array:
        each = np.maximum(each, SMALL)
        return np.asarray(np.exp(np.clip((factor - 1.0) * np.log(each / each[..., :1]), -MOST, MOST)))

    c, rate = run.c, run.own[flows.RATE]
    rate += np.clip(0.5 * (factor - 1.0) * (rate - rate[0]), -0.3, 0.3)
    if quantity == "moisture":
        c[WATER] *= stretch(c[WATER] / (pools.dry(c) + SMALL))
    else:
        feed = c[VOLATILE + QUICK : VOLATILE + STEADY + 1]
        pools.scale_pools(c, stretch(feed), QUICK, STEADY + 1)
        left = c[LEFT:VOLATILE]
        set_left(c, np.clip(left[..., :1] + factor * (left - left[..., :1]), 0.0, 1.0))
    run.changed()


def spread_of(expected: Array) -> float:
    """Variance that the companions show of what a reading should be."""
    return float(spread(expected)) ** 2
