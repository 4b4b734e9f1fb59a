"""One compartment carried forward: positive, conserving and second-order, in steps of at most six hours.

Each step is taken with the flows at its middle: the first of a stretch finds them by half a step, those after it by
carrying on from the step before (the exponential form of the midpoint and Adams-Bashforth rules). What leaves a pool
leaves by ``exp(-share * time)`` and is counted as it goes, so that nothing can fall below zero and what one pool loses
another has. Carbon, nitrogen and ash follow the volatile matter that carries them.
"""

from __future__ import annotations

from math import ceil, exp, expm1

from wormbin.process.flows import Box, Own, flow_of, paces
from wormbin.process.parameters import Parameters
from wormbin.process.pools import (
    AMMONIA,
    ASH,
    BURNED,
    CARBON,
    CARBON_OUT,
    CASTINGS,
    DECAYED,
    DRAINED,
    EATEN,
    EVAPORATED,
    FIBRE,
    FRESH,
    LEFT,
    LEFT_RAW,
    MADE,
    NITROGEN,
    RAW,
    RAW_FIBRE,
    RISE,
    STEADY,
    WATER,
    WORMS,
    Compartment,
)

STEP_DAYS = 0.25
COARSE_DAYS = 0.5
"""Of companions, which are asked only how far doubt reaches: their spread does not change with the step."""


def advance(
    c: Compartment, days: float, box: Box, site_c: float, own: Own, p: Parameters, step_days: float = STEP_DAYS
) -> None:
    """Carry ``c`` forward by ``days`` (up to about a day at a time) in place.

    Carbon, nitrogen and ash are brought up at the end: while matter only leaves a pool their share in it stays.
    """
    v0, v1, v2, v3, v4, v5 = c[0], c[1], c[2], c[3], c[4], c[5]
    w, m, rise = c[WATER], c[WORMS], c[RISE]
    raw0, raw1, raw4 = c[RAW], c[RAW + 1], c[RAW_FIBRE]
    if days <= 0.0 or (v0 + v1 + v2 + v3 + v4 + v5 + w + m) <= 0.0:
        return
    flow = flow_of(c, box, site_c, own, p)
    steps = max(1, ceil(days / step_days - 1e-9))
    dt = days / steps
    half = 0.5 * dt
    l0, l1, l2, l3, l4, d0, d1, d2, d3, d4, d5, y0, y1, y2, y3, y4, z0, z1, z2, z3, z4 = paces(own, p)[:21]
    softer = p.softens_fibre / p.softens
    tissue_dry, tissue_water, made_of = p.worm_dry, 1.0 - p.worm_dry, p.water_made
    left0, left1, left_raw0, left_raw1 = c[LEFT], c[LEFT + 1], c[LEFT_RAW], c[LEFT_RAW + 1]
    cast0 = cast1 = cast2 = cast3 = cast4 = 0.0
    mouldered = grown = died = dried = drained = burned = eaten = 0.0
    pull_before = decay_before = gain_before = death_before = -1.0
    dries_before = runs_before = heat_before = opens_before = -1.0
    for number in range(steps):
        u0, u1, u4 = v0 - raw0, v1 - raw1, v4 - raw4
        pull, decay, gain, death, burn, dries, runs, heat, loss, store, _, _, _, _, _, ripens, opens, _ = flow(
            v0, v1, v2, v3, v4, v5, w, m, rise, u0, u1, u4
        )
        at_start = pull, decay, gain, death, dries, runs, heat, opens
        if number:
            # Flows at the middle of the step, from those at its start and at the start of the step before.
            pull += 0.5 * (pull - pull_before)
            decay += 0.5 * (decay - decay_before)
            gain += 0.5 * (gain - gain_before)
            death += 0.5 * (death - death_before)
            dries += 0.5 * (dries - dries_before)
            runs += 0.5 * (runs - runs_before)
            heat += 0.5 * (heat - heat_before)
            opens += 0.5 * (opens - opens_before)
            if pull < 0.0:
                pull = 0.0
            if decay < 0.0:
                decay = 0.0
            if gain < 0.0:
                gain = 0.0
            if death < 0.0:
                death = 0.0
            if dries < 0.0:
                dries = 0.0
            if runs < 0.0:
                runs = 0.0
            water = w
        else:
            # No step before: half a step, roughly, to find the flows at its middle.
            castings = half * (
                pull * (opens * (u0 * y0 * l0 + u1 * y1 * l1) + v2 * y2 * l2 + v3 * y3 * l3 + u4 * y4 * l4)
                + decay * (opens * (u0 * z0 * d0 + u1 * z1 * d1) + v2 * z2 * d2 + v3 * z3 * d3 + u4 * z4 * d4)
            )
            water = w + half * (made_of * burn - tissue_water * (gain - death) * m)
            if w > 0.0:
                water /= 1.0 + half * (dries + runs) / w
            target = heat / loss
            share = half * ripens
            a0 = (u0 + share * raw0) * exp(-half * opens * (l0 * pull + d0 * decay))
            a1 = (u1 + share * raw1) * exp(-half * opens * (l1 * pull + d1 * decay))
            a4 = (u4 + share * softer * raw4) * exp(-half * (l4 * pull + d4 * decay))
            b4 = raw4 * (1.0 - share * softer) if share * softer < 1.0 else 0.0
            share = 1.0 - share if share < 1.0 else 0.0
            pull, decay, gain, death, burn, dries, runs, heat, loss, store, _, _, _, _, _, ripens, opens, _ = flow(
                a0 + share * raw0, a1 + share * raw1,
                v2 * exp(-half * (l2 * pull + d2 * decay)), v3 * exp(-half * (l3 * pull + d3 * decay)),
                a4 + b4, v5 * (1.0 - half * d5 * decay) + castings,
                water, m * exp(half * (gain - death)), target + (rise - target) * exp(-half * loss / store), a0, a1, a4,
            )  # fmt: skip
        pull_before, decay_before, gain_before, death_before, dries_before, runs_before, heat_before, opens_before = (
            at_start
        )
        # The whole step, pool by pool, each loss counted as it goes.
        castings = worked = 0.0
        ripe = -expm1(-dt * ripens)
        if v0 > 0.0:
            e = opens * l0 * pull
            r = e + opens * d0 * decay + 1e-300
            stays = exp(-dt * r)
            soft = raw0 * ripe
            raw0 -= soft
            x = (v0 - raw0 - 0.5 * soft) * (1.0 - stays)
            v0 -= x
            left0 = (left0 - left_raw0 + 0.5 * left_raw0 * ripe) * stays + left_raw0 * (1.0 - 0.5 * ripe)
            left_raw0 *= 1.0 - ripe
            worked += x
            e *= x / r
            eaten += e
            x = y0 * e + z0 * (x - e)
            cast0 += x
            castings += x
        if v1 > 0.0:
            e = opens * l1 * pull
            r = e + opens * d1 * decay + 1e-300
            stays = exp(-dt * r)
            soft = raw1 * ripe
            raw1 -= soft
            x = (v1 - raw1 - 0.5 * soft) * (1.0 - stays)
            v1 -= x
            left1 = (left1 - left_raw1 + 0.5 * left_raw1 * ripe) * stays + left_raw1 * (1.0 - 0.5 * ripe)
            left_raw1 *= 1.0 - ripe
            worked += x
            e *= x / r
            eaten += e
            x = y1 * e + z1 * (x - e)
            cast1 += x
            castings += x
        if v2 > 0.0:
            e = l2 * pull
            r = e + d2 * decay + 1e-300
            x = -v2 * expm1(-dt * r)
            v2 -= x
            worked += x
            e *= x / r
            eaten += e
            x = y2 * e + z2 * (x - e)
            cast2 += x
            castings += x
        if v3 > 0.0:
            e = l3 * pull
            r = e + d3 * decay + 1e-300
            x = -v3 * expm1(-dt * r)
            v3 -= x
            worked += x
            e *= x / r
            eaten += e
            x = y3 * e + z3 * (x - e)
            cast3 += x
            castings += x
        if v4 > 0.0:
            e = l4 * pull
            r = e + d4 * decay + 1e-300
            soft = -raw4 * expm1(-dt * ripens * softer)
            raw4 -= soft
            x = -(v4 - raw4 - 0.5 * soft) * expm1(-dt * r)
            v4 -= x
            worked += x
            e *= x / r
            eaten += e
            x = y4 * e + z4 * (x - e)
            cast4 += x
            castings += x
        old = -(v5 + 0.5 * castings) * expm1(-dt * d5 * decay)
        v5 += castings - old
        mouldered += old
        burnt = worked - castings + old
        inflow = 0.0
        if m > 0.0:
            net = gain - death
            change = m * expm1(dt * net)
            up = gain * (change / net if net > 1e-9 or net < -1e-9 else m * dt)
            m += change
            grown += up
            died += up - change
            burnt -= tissue_dry * up
            inflow = -tissue_water * change
        burned += burnt
        inflow += made_of * burnt
        share = dt * (dries + runs)
        if share > 0.0 and water > 0.0:
            # For a step without a middle of its own, water there is put at what the last step would make it.
            share /= water if number == 0 else w + 0.5 * (inflow - share) if w > share else w + 0.5 * inflow
            left = exp(-share)
            out = w + inflow
            w = w * left + inflow * (1.0 - left) / share
            out -= w
            dried += out * dries / (dries + runs)
            drained += out * runs / (dries + runs)
        else:
            w += inflow
        target = heat / loss
        rise = target + (rise - target) * exp(-dt * loss / store)

    if v0 > 0.0:
        _follow(c, 0, v0, cast0)
    if v1 > 0.0:
        _follow(c, 1, v1, cast1)
    if v2 > 0.0:
        _follow(c, 2, v2, cast2)
    if v3 > 0.0:
        _follow(c, 3, v3, cast3)
    if v4 > 0.0:
        _follow(c, 4, v4, cast4)
    if mouldered > 0.0:
        share = mouldered / (v5 + mouldered)
        c[CARBON_OUT] += c[CARBON + CASTINGS] * share
        c[CARBON + CASTINGS] *= 1.0 - share
    c[EATEN] += eaten
    c[DECAYED] += c[0] + c[1] + c[2] + c[3] + c[4] - v0 - v1 - v2 - v3 - v4 - eaten + mouldered
    # Growth takes its tissue out of what was eaten; the dead become quick feed.
    tissue = tissue_dry * grown
    c[CARBON_OUT] -= p.worm_carbon * tissue
    c[NITROGEN + CASTINGS] -= p.worm_nitrogen * tissue
    tissue = tissue_dry * died
    c[0], c[1], c[2], c[3], c[4], c[5] = v0 + tissue, v1, v2, v3, v4, v5
    c[CARBON] += p.worm_carbon * tissue
    c[NITROGEN] += p.worm_nitrogen * tissue
    c[WATER], c[WORMS], c[RISE] = w, m, rise
    c[RAW], c[RAW + 1], c[RAW_FIBRE] = raw0, raw1, raw4
    c[LEFT], c[LEFT + 1], c[LEFT_RAW], c[LEFT_RAW + 1] = left0, left1, left_raw0, left_raw1
    c[BURNED] += burned
    c[MADE] += made_of * burned
    c[EVAPORATED] += dried
    c[DRAINED] += drained
    _give_off_ammonia(c, days, p)


def _follow(c: Compartment, pool: int, after: float, castings: float) -> None:
    """Bring carbon, nitrogen, ash and the fresh mass of a pool up with the volatile matter that left it."""
    before = c[pool]
    stays = after / before
    goes = 1.0 - stays
    carbon, nitrogen, ash = c[CARBON + pool], c[NITROGEN + pool], c[ASH + pool]
    moved = carbon / before * castings
    c[CARBON + pool] = carbon * stays
    c[CARBON + CASTINGS] += moved
    c[CARBON_OUT] += carbon * goes - moved
    c[NITROGEN + pool] = nitrogen * stays
    c[NITROGEN + CASTINGS] += nitrogen * goes
    c[ASH + pool] = ash * stays
    c[ASH + CASTINGS] += ash * goes
    if pool < FIBRE:
        c[FRESH + pool] *= stays
        if pool > STEADY:
            c[LEFT + pool] *= stays


def _give_off_ammonia(c: Compartment, days: float, p: Parameters) -> None:
    """Nitrogen that unfinished matter holds over its C:N limit leaves as ammonia, by a share a day."""
    carbon = c[6] + c[7] + c[8] + c[9] + c[10]
    nitrogen = c[12] + c[13] + c[14] + c[15] + c[16]
    surplus = nitrogen - carbon / p.ammonia_under
    if surplus <= 0.0:
        return
    leaves = -surplus * expm1(-p.ammonia_rate * days)
    over = [max(0.0, c[NITROGEN + i] - c[CARBON + i] / p.ammonia_under) for i in range(5)]
    whole = sum(over)
    for i in range(5):
        c[NITROGEN + i] -= leaves * over[i] / whole
    c[AMMONIA] += leaves
