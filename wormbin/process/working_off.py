"""How long what waits now takes to be worked off without another feeding: the look-ahead's own sums, for feed alone.

The equations of eating, softening and decay are carried on from this moment with warmth, moisture, air and herd held as
they are: a hundredth of the work of a look-ahead, so that it can be asked of every day of a log.
"""

from __future__ import annotations

import numpy as np

from wormbin.process import flows
from wormbin.process.flows import LIKE, RATES
from wormbin.process.look import Seen
from wormbin.process.pools import AGED, FIBRE, FOODS, FRESH, QUICK, RAW, SLOW, STEADY, VOLATILE, WORMS, Array
from wormbin.process.views import LEFT_DAYS

LONGEST_DAYS = 400.0
FIRST_STEP_DAYS, LATER_STEP = 0.5, 0.2
"""Steps of half a day, later of a fifth of the days gone by."""
_FED = [QUICK, STEADY, AGED]


def days(seen: Seen, daily_kg: Array, given_kg: Array | None = None) -> Array:
    """Days until the feed waiting in all compartments is worked off, ``(looks, COURSES)``; ``LONGEST_DAYS`` at most.

    ``daily_kg`` is a day's feed, ``(looks, 1)``. ``given_kg`` of the usual scraps are thought to be given on top, where
    most worms are; then the answer is that of the likely course alone.
    """
    upto = None if given_kg is None else 1
    c, k, f = (each[..., :upto] for each in (seen.c, seen.k, seen.f))
    raw = c[[RAW + i for i in _FED]]
    soft = c[[VOLATILE + i for i in _FED]] - raw
    fresh = c[[FRESH + i for i in _FED]]
    if given_kg is not None:
        top = (np.argmax(c[WORMS], axis=0)[None] == np.arange(c.shape[1])[:, None, None]) * given_kg
        fresh[0] += top
        raw[0] += top * np.array([[look.usual[0]] for look in seen.looks])
    fresh = fresh / (soft + raw + 1e-300)
    like, rates = k[[LIKE + i for i in _FED]], k[[RATES + i for i in _FED]] * f[flows.DECAY]
    rates[:2] *= f[flows.STIRS]
    # Slow things and fibre share the worms' time, and hardly change meanwhile.
    others = [SLOW, *range(FIBRE, FOODS)]
    rest = (k[[LIKE + i for i in others]] * (c[[VOLATILE + i for i in others]] - c[[RAW + i for i in others]])).sum(
        axis=0
    )
    rest += k[flows.HALF_KG] * c[WORMS] + 1e-15

    def on(dt: float) -> None:
        """Half of the step with the pull of its start to find the middle, then the whole with that."""
        nonlocal soft, raw
        thick = (fresh[:2] * (soft + raw)[:2]).sum(axis=0) / k[flows.HEAP_KG]
        opens = np.ones_like(soft)
        opens[:2] = seen.p.heap_open + (1.0 - seen.p.heap_open) / (1.0 + thick * thick)
        keeps = np.exp(-dt * f[flows.SOFTENS])
        middle = soft + raw * (1.0 - np.sqrt(keeps))
        pull = f[flows.CAPACITY] / ((like * middle).sum(axis=0) + rest)
        middle *= np.exp(-0.5 * dt * (opens * like * pull + rates))
        pull = f[flows.CAPACITY] / ((like * middle).sum(axis=0) + rest)
        goes = np.exp(-0.5 * dt * (opens * like * pull + rates))
        soft = goes * (soft * goes + raw * (1.0 - keeps))
        raw = raw * keeps

    def waiting() -> Array:
        return np.asarray((fresh * (soft + raw)).sum(axis=(0, 1)))

    start = now = waiting()
    aim = np.maximum(LEFT_DAYS * daily_kg, 1e-9)
    # A day's feed is a day's work, though it may lie.
    least = np.where(daily_kg > 0.0, np.minimum(LEFT_DAYS, start / np.maximum(daily_kg, 1e-12)), 0.0)
    found, t = np.where(start <= aim, least, LONGEST_DAYS), 0.0
    while t < LONGEST_DAYS and (now > aim).any():
        dt = max(FIRST_STEP_DAYS, LATER_STEP * t)
        before = now
        on(dt)
        now, t = waiting(), t + dt
        there = (before > aim) & (now <= aim)
        part = np.log(np.maximum(aim / np.maximum(now, 1e-300), 1.0)) / np.log(
            np.maximum(before / np.maximum(now, 1e-300), 1.0 + 1e-12)
        )
        found = np.where(there, np.minimum(LONGEST_DAYS, np.maximum(least, t - dt * part)), found)
    return found
