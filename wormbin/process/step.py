"""Compartments carried forward, all side by side: positive, conserving and second-order, in steps of at most a day.

A step is taken with the flows at its middle. The first after something was done finds them by half a step; those after
it carry on from the step before (the exponential forms of the midpoint and Adams-Bashforth rules). After a reading one
step goes by the flows at its start alone, of first order: those before it were of another belief. What leaves a pool
leaves by ``exp(-share * time)`` and is counted as it goes, so that nothing can fall below zero and what one pool loses
another has. Carbon, nitrogen, ash and fresh mass follow the volatile matter that carries them.
"""

from __future__ import annotations

from math import ceil

import numpy as np

from wormbin.process import flows, pools
from wormbin.process.flows import CAST, DECAY, HEAT, HUMUS, LIKE, MIDDLED, OPEN, PULL, RATES
from wormbin.process.parameters import Parameters
from wormbin.process.pools import (
    AGED,
    AMMONIA,
    BEFORE,
    BURNED,
    CARBON,
    CARBON_OUT,
    CASTS,
    DECAYED,
    DRAINED,
    EATEN,
    EVAPORATED,
    FIBRE,
    FOODS,
    LEFT,
    MADE,
    NITROGEN,
    OLD,
    POOLS,
    QUICK,
    RAW,
    RAW_LEFT,
    RISE,
    STEADY,
    VOLATILE,
    WATER,
    WORMS,
    Array,
)

FIRST_DAYS, GROWS = 0.5, 4.0
"""The longest first step after something was done, and how much longer than the one before a step may be."""
STEP_DAYS = 1.0
"""The longest step; of a quiet day."""
LAST_DAYS = BEFORE + MIDDLED
"""How long the last step was, days; 0 where something was done since, below zero where a reading has moved it."""


def next_step(days: float, last_days: float, longest: float = STEP_DAYS) -> float:
    """How long the next of equal steps is that get through ``days``, after one of ``last_days`` (0: none)."""
    most = min(longest, GROWS * abs(last_days)) if last_days else min(longest, FIRST_DAYS)
    return days / max(1, ceil(days / most - 1e-9))


def disturbed(c: Array) -> None:
    """Say of compartments that something was done to them: the step before tells nothing of the next."""
    c[LAST_DAYS] = 0.0


def moved(c: Array) -> None:
    """Say of compartments that a reading has moved them: how they went before it does not go on into the next step."""
    np.minimum(c[LAST_DAYS], -c[LAST_DAYS], out=c[LAST_DAYS])


def step(c: Array, dt: Array, k: Array, p: Parameters) -> None:
    """One step of ``dt`` days (one for all, or one a column of ``(SIZE, columns)``), in place."""
    f = flows.flows(c, k, p)
    now, last = f[:MIDDLED].copy(), c[LAST_DAYS]
    fresh = last == 0.0
    if fresh.all():
        f = _middle(c, f, dt, k, p)
    else:
        if fresh.any():
            # Several bins side by side: some go on, to others something was done.
            middle = _middle(c[:, fresh], f[:, fresh], dt[fresh], k[:, fresh], p)
        f[:MIDDLED] += 0.5 * (dt / np.where(last > 0.0, last, np.inf)) * (now - c[BEFORE:LAST_DAYS])
        if fresh.any():
            f[:, fresh] = middle
        np.maximum(f[:HEAT], 0.0, out=f[:HEAT])
    _go(c, f, dt, k, p)
    c[BEFORE:LAST_DAYS], c[LAST_DAYS] = now, dt


def _middle(c: Array, f: Array, dt: Array, k: Array, p: Parameters) -> Array:
    """The flows at the middle of a step that has none before it: half of it, roughly, gone with those at its start."""
    there = c.copy()
    _go(there, f, 0.5 * dt, k, p)
    return flows.flows(there, k, p)


def _go(c: Array, f: Array, dt: Array, k: Array, p: Parameters) -> None:
    """The whole step with flows ``f``, each loss counted as it goes."""
    # The four feeds stand twice: what is left of the last feeding goes as the pool does.
    eats = k[LIKE:RATES] * f[PULL]
    eats[QUICK : STEADY + 1] *= f[OPEN]
    rots = k[RATES : RATES + FOODS] * (f[DECAY] * f[flows.STIRS])
    rots[AGED] /= f[flows.STIRS]
    goes = eats + rots + 1e-300
    leaves = -np.expm1(-dt * goes)
    softens = dt * f[flows.SOFTENS]
    ripe, ripe_fibre = -np.expm1(-softens), -np.expm1(-softens * (p.softens_fibre / p.softens))
    there, raw = c[LEFT : VOLATILE + FOODS], c[RAW_LEFT : RAW + FOODS]
    soft = raw.copy()
    soft[:8] *= ripe
    soft[8:] *= ripe_fibre
    raw -= soft
    gone = there - raw - 0.5 * soft
    gone[:VOLATILE] *= leaves[:VOLATILE]
    gone[VOLATILE:] *= leaves
    there[:VOLATILE] -= gone[:VOLATILE]
    gone = gone[VOLATILE:]

    matter = pools.matter(c)
    foods, made = matter[:, :FOODS], matter[:4, CASTS]
    leaving = foods * (gone / (foods[0] + 1e-300))
    foods -= leaving
    eaten = gone * (eats / goes)
    kept = k[HUMUS : HUMUS + FOODS] * gone + (k[CAST:HUMUS] - k[HUMUS : HUMUS + FOODS]) * eaten
    kept = (leaving[:2] * (kept / (gone + 1e-300))).sum(axis=1)
    worked, matured = leaving.sum(axis=1), matter[:2, CASTS:]
    goes = -np.expm1(-dt * k[RATES + CASTS : RATES + POOLS] * f[DECAY])
    made[:2] += 0.5 * kept
    moulders = matured * goes
    matured -= moulders
    made[:2] += 0.5 * kept
    made[2:] += worked[2:4]
    ages = matter[:4, CASTS] * -np.expm1(-dt * p.settles * f[DECAY])
    matter[:4, CASTS] -= ages
    matter[:4, OLD] += ages
    moulders = moulders.sum(axis=1)
    burnt = worked[0] - kept[0] + moulders[0]
    c[CARBON_OUT] += worked[1] - kept[1] + moulders[1]
    eaten = eaten.sum(axis=0)
    c[EATEN] += eaten
    c[DECAYED] += worked[0] - eaten + moulders[0]

    # Growth takes its tissue out of what was eaten; the dead become quick feed.
    net = f[flows.GAIN] - f[flows.DEATH]
    grows = np.expm1(dt * net)
    change = c[WORMS] * grows
    up = f[flows.GAIN] * c[WORMS] * np.where(np.abs(net) > 1e-9, grows / np.where(net == 0.0, 1.0, net), dt)
    c[WORMS] += change
    tissue, died = p.worm_dry * up, p.worm_dry * (up - change)
    burnt -= tissue
    c[CARBON_OUT] -= p.worm_carbon * tissue
    c[NITROGEN + CASTS] -= p.worm_nitrogen * tissue
    c[VOLATILE] += died
    c[CARBON] += p.worm_carbon * died
    c[NITROGEN] += p.worm_nitrogen * died

    # Water: what burning makes comes in, drying goes by what there is, and of the surplus a share runs out: followed
    # through the step, for most of it may be gone in one.
    comes = p.water_made * burnt - (1.0 - p.worm_dry) * change
    share, there = dt * f[flows.DRIES], c[WATER]
    share = share / (np.maximum(there + 0.5 * (comes - share), 0.5 * there + 0.5 * np.maximum(comes, 0.0)) + 1e-300)
    stays = np.exp(-share)
    after = there * stays + comes * np.where(share > 1e-12, (1.0 - stays) / np.maximum(share, 1e-12), 1.0)
    c[EVAPORATED] += there + comes - after
    surplus, runs = f[flows.SURPLUS], dt * k[flows.DRAINED]
    over, comes = np.maximum(surplus, 0.0), after - there + np.minimum(surplus, 0.0)
    part = -np.expm1(-runs)
    out = over * part + comes * np.where(runs > 0.0, 1.0 - part / np.maximum(runs, 1e-300), 0.0)
    out = np.maximum(np.minimum(out, np.minimum(over + comes, after)), 0.0)
    c[WATER] = after - out
    c[DRAINED] += out
    c[BURNED] += burnt
    c[MADE] += p.water_made * burnt
    target = f[HEAT] / f[flows.LOSS]
    c[RISE] = target + (c[RISE] - target) * np.exp(-dt * f[flows.LOSS] / f[flows.STORE])

    # Nitrogen that the feed holds over its C:N limit leaves as ammonia, by a share a day: bedding lies beside it.
    feed = foods[:, :FIBRE]
    over = np.maximum(feed[2] - feed[1] / p.ammonia_under, 0.0)
    surplus = np.maximum(feed[2].sum(axis=0) - feed[1].sum(axis=0) / p.ammonia_under, 0.0)
    lost = over * (-np.expm1(-p.ammonia_rate * dt) * surplus / (over.sum(axis=0) + 1e-300))
    feed[2] -= lost
    c[AMMONIA] += lost.sum(axis=0)
