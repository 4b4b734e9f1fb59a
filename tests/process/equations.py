"""The model's equations as one system for an outside solver: every pool's matter, water, worms and warmth at once."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, cast

from scipy.integrate import solve_ivp

from tests.process.a_bin import BOOK
from wormbin.process.flows import (
    BURN,
    DEATH,
    DECAY,
    DRIES,
    GAIN,
    HEAT,
    LOSS,
    OPEN,
    PULL,
    RUNS,
    SOFTENS,
    STORE,
    Box,
    Own,
    decay_rates,
    flow_of,
    likings,
)
from wormbin.process.parameters import DEFAULT, Parameters
from wormbin.process.pools import RISE, SIZE, WATER, WORMS


def slopes(
    box: Box, site_c: float, own: Own = BOOK, p: Parameters = DEFAULT
) -> Callable[[float, Sequence[float]], list[float]]:
    """The slope a day of a compartment's first 35 places and its raw feed: y' = f(t, y)."""
    like, decay = likings(own, p), decay_rates(own, p)
    cast = (p.cast_quick, p.cast_steady, p.cast_slow, p.cast_aged, p.cast_fibre)
    humus = (p.humus_quick, p.humus_steady, p.humus_slow, p.humus_aged, p.humus_fibre)

    def slope(_: float, y: Sequence[float]) -> list[float]:
        c = [*y[:35], *([0.0] * (SIZE - 35))]
        raw = [min(max(y[35 + i], 0.0), max(y[i], 0.0)) for i in (0, 1)]
        raw.append(min(max(y[37], 0.0), max(y[4], 0.0)))
        for i in range(24):
            c[i] = max(c[i], 0.0)
        c[WATER] = max(c[WATER], 0.0)
        now = flow_of(c, box, site_c, own, p)(
            c[0], c[1], c[2], c[3], c[4], c[5], c[WATER], c[WORMS], c[RISE], c[0] - raw[0], c[1] - raw[1], c[4] - raw[2]
        )
        soft = [1.0 - raw[i] / c[i] if c[i] > 0.0 else 0.0 for i in (0, 1)]
        soft += [1.0, 1.0, 1.0 - raw[2] / c[4] if c[4] > 0.0 else 0.0]
        soft[0] *= now[OPEN]
        soft[1] *= now[OPEN]
        d = [0.0] * 38
        for i in range(5):
            eaten, rotted = soft[i] * like[i] * now[PULL], soft[i] * decay[i] * now[DECAY]
            for block in (0, 6, 12, 18):
                d[block + i] -= (eaten + rotted) * c[block + i]
            if i < 4:
                d[24 + i] -= (eaten + rotted) * c[24 + i]
            kept = cast[i] * eaten + humus[i] * rotted
            d[5] += kept * c[i]
            d[11] += kept * c[6 + i]
            d[17] += (eaten + rotted) * c[12 + i]
            d[23] += (eaten + rotted) * c[18 + i]
        gone = decay[5] * now[DECAY]
        d[5] -= gone * c[5]
        d[11] -= gone * c[11]
        up, down = now[GAIN] * c[WORMS], now[DEATH] * c[WORMS]
        d[17] -= p.worm_dry * p.worm_nitrogen * up
        d[0] += p.worm_dry * down
        d[6] += p.worm_dry * p.worm_carbon * down
        d[12] += p.worm_dry * p.worm_nitrogen * down
        surplus = sum(c[12:17]) - sum(c[6:11]) / p.ammonia_under
        if surplus > 0.0:
            over = [max(0.0, c[12 + i] - c[6 + i] / p.ammonia_under) for i in range(5)]
            for i in range(5):
                d[12 + i] -= p.ammonia_rate * surplus * over[i] / sum(over)
        d[WORMS] = up - down
        d[WATER] = p.water_made * now[BURN] - (1.0 - p.worm_dry) * (up - down) - now[DRIES] - now[RUNS]
        d[35], d[36] = -now[SOFTENS] * raw[0], -now[SOFTENS] * raw[1]
        d[37] = -now[SOFTENS] * p.softens_fibre / p.softens * raw[2]
        d[RISE] = (now[HEAT] - now[LOSS] * c[RISE]) / now[STORE]
        return d

    return slope


def solved(
    slope: Callable[[float, Sequence[float]], list[float]],
    days: float,
    start: Sequence[float],
    rtol: float,
    atol: float,
) -> list[float]:
    """Where LSODA (scipy.integrate.solve_ivp) takes ``start`` in ``days``."""
    answer = cast(Any, solve_ivp)(slope, (0.0, days), list(start), method="LSODA", rtol=rtol, atol=atol)
    assert answer.success
    return [float(value) for value in answer.y[:, -1]]
