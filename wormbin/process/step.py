"""One compartment carried forward: positive, conserving and second-order, in steps of at most six hours.

Each step takes the flows at its start, goes half a step with them, and takes the whole step with the flows found
there. What leaves a pool leaves by ``exp(-share * time)`` and is counted as it goes, so that nothing can fall below
zero and what one pool loses another has. Carbon, nitrogen and ash follow the volatile matter that carries them.
"""

from __future__ import annotations

from math import ceil, exp, expm1

from wormbin.process.flows import Box, flow_of
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
    MADE,
    NITROGEN,
    RISE,
    WATER,
    WORMS,
    Compartment,
)

STEP_DAYS = 0.25


def advance(c: Compartment, days: float, box: Box, site_c: float, rate: float, drying: float, p: Parameters) -> None:
    """Carry ``c`` forward by ``days`` (up to about a day at a time) in place.

    Carbon, nitrogen and ash are brought up at the end: while matter only leaves a pool their share in it stays.
    """
    v0, v1, v2, v3, v4, v5 = c[0], c[1], c[2], c[3], c[4], c[5]
    w, m, rise = c[WATER], c[WORMS], c[RISE]
    if days <= 0.0 or (v0 + v1 + v2 + v3 + v4 + v5 + w + m) <= 0.0:
        return
    flow = flow_of(c, box, site_c, rate, drying, p)
    steps = max(1, ceil(days / STEP_DAYS - 1e-9))
    dt = days / steps
    half = 0.5 * dt
    y0, y1, y2, y3, y4 = p.cast_quick, p.cast_steady, p.cast_slow, p.cast_aged, p.cast_fibre
    z0, z1, z2, z3, z4 = p.humus_quick, p.humus_steady, p.humus_slow, p.humus_aged, p.humus_fibre
    tissue_dry, tissue_water, made_of = p.worm_dry, 1.0 - p.worm_dry, p.water_made
    eaten0 = eaten1 = eaten2 = eaten3 = eaten4 = 0.0
    rotted0 = rotted1 = rotted2 = rotted3 = rotted4 = 0.0
    mouldered = grown = died = dried = drained = burned = 0.0
    for _ in range(steps):
        (
            e0, e1, e2, e3, e4, r0, r1, r2, r3, r4, r5, gain, death, burn, dries, runs, heat, loss, store,
            _air, _free, _depth, _reach, _capacity, _temp,
        ) = flow(v0, v1, v2, v3, v4, v5, w, m, rise)  # fmt: skip
        # Half a step, which only serves to find the flows at the middle.
        castings = (
            v0 * (y0 * e0 + z0 * r0) + v1 * (y1 * e1 + z1 * r1) + v2 * (y2 * e2 + z2 * r2) + v3 * (y3 * e3 + z3 * r3)
            + v4 * (y4 * e4 + z4 * r4)
        )  # fmt: skip
        net = gain - death
        water = w + half * (made_of * burn - tissue_water * net * m)
        if w > 0.0:
            water /= 1.0 + half * (dries + runs) / w
        target = heat / loss
        (
            e0, e1, e2, e3, e4, r0, r1, r2, r3, r4, r5, gain, death, burn, dries, runs, heat, loss, store,
            _air, _free, _depth, _reach, _capacity, _temp,
        ) = flow(
            v0 * exp(-half * (e0 + r0)), v1 * exp(-half * (e1 + r1)), v2 * exp(-half * (e2 + r2)),
            v3 * exp(-half * (e3 + r3)), v4 * exp(-half * (e4 + r4)), v5 * (1.0 - half * r5) + half * castings,
            water, m * exp(half * net), target + (rise - target) * exp(-half * loss / store),
        )  # fmt: skip
        # The whole step, each loss counted as it goes.
        r0 += e0
        r1 += e1
        r2 += e2
        r3 += e3
        r4 += e4
        x0, x1, x2 = -v0 * expm1(-dt * r0), -v1 * expm1(-dt * r1), -v2 * expm1(-dt * r2)
        x3, x4 = -v3 * expm1(-dt * r3), -v4 * expm1(-dt * r4)
        v0 -= x0
        v1 -= x1
        v2 -= x2
        v3 -= x3
        v4 -= x4
        e0 *= x0 / (r0 + 1e-300)
        e1 *= x1 / (r1 + 1e-300)
        e2 *= x2 / (r2 + 1e-300)
        e3 *= x3 / (r3 + 1e-300)
        e4 *= x4 / (r4 + 1e-300)
        x0 -= e0
        x1 -= e1
        x2 -= e2
        x3 -= e3
        x4 -= e4
        eaten0 += e0
        eaten1 += e1
        eaten2 += e2
        eaten3 += e3
        eaten4 += e4
        rotted0 += x0
        rotted1 += x1
        rotted2 += x2
        rotted3 += x3
        rotted4 += x4
        castings = e0 * y0 + e1 * y1 + e2 * y2 + e3 * y3 + e4 * y4 + x0 * z0 + x1 * z1 + x2 * z2 + x3 * z3 + x4 * z4
        old = -(v5 + 0.5 * castings) * expm1(-dt * r5)
        v5 += castings - old
        mouldered += old
        up = down = 0.0
        if m > 0.0:
            net = gain - death
            change = m * expm1(dt * net)
            up = gain * (change / net if net > 1e-9 or net < -1e-9 else m * dt)
            down = up - change
            m += change
            grown += up
            died += down
        burnt = e0 + e1 + e2 + e3 + e4 + x0 + x1 + x2 + x3 + x4 - castings + old - tissue_dry * up
        burned += burnt
        inflow = made_of * burnt + tissue_water * (down - up)
        share = dt * (dries + runs) / water if water > 0.0 else 0.0
        if share > 1e-9:
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

    _follow(c, 0, v0, eaten0, rotted0, y0, z0)
    _follow(c, 1, v1, eaten1, rotted1, y1, z1)
    _follow(c, 2, v2, eaten2, rotted2, y2, z2)
    _follow(c, 3, v3, eaten3, rotted3, y3, z3)
    _follow(c, 4, v4, eaten4, rotted4, y4, z4)
    if mouldered > 0.0:
        share = mouldered / (v5 + mouldered)
        c[CARBON_OUT] += c[CARBON + CASTINGS] * share
        c[CARBON + CASTINGS] *= 1.0 - share
    # Growth takes its tissue out of what was eaten; the dead become quick feed.
    tissue = tissue_dry * grown
    c[CARBON_OUT] -= p.worm_carbon * tissue
    c[NITROGEN + CASTINGS] -= p.worm_nitrogen * tissue
    tissue = tissue_dry * died
    c[0], c[1], c[2], c[3], c[4], c[5] = v0 + tissue, v1, v2, v3, v4, v5
    c[CARBON] += p.worm_carbon * tissue
    c[NITROGEN] += p.worm_nitrogen * tissue
    c[WATER], c[WORMS], c[RISE] = w, m, rise
    c[BURNED] += burned
    c[MADE] += made_of * burned
    c[EVAPORATED] += dried
    c[DRAINED] += drained
    c[EATEN] += eaten0 + eaten1 + eaten2 + eaten3 + eaten4
    c[DECAYED] += rotted0 + rotted1 + rotted2 + rotted3 + rotted4 + mouldered
    _give_off_ammonia(c, days, p)


def _follow(c: Compartment, pool: int, after: float, eaten: float, rotted: float, cast: float, humus: float) -> None:
    """Bring carbon, nitrogen, ash and the fresh mass of a pool up with the volatile matter that left it."""
    before = c[pool]
    if before <= 0.0:
        return
    stays = after / before
    carbon = c[CARBON + pool]
    per_volatile = carbon / before
    moved = per_volatile * (cast * eaten + humus * rotted)
    c[CARBON + pool] = carbon * stays
    c[CARBON + CASTINGS] += moved
    c[CARBON_OUT] += carbon * (1.0 - stays) - moved
    nitrogen, ash = c[NITROGEN + pool], c[ASH + pool]
    c[NITROGEN + pool] = nitrogen * stays
    c[NITROGEN + CASTINGS] += nitrogen - nitrogen * stays
    c[ASH + pool] = ash * stays
    c[ASH + CASTINGS] += ash - ash * stays
    if pool < FIBRE:
        c[FRESH + pool] *= stays
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
