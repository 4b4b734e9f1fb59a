"""The step against an outside solver of the same equations, and against what it must never do."""

from __future__ import annotations

from random import Random

import pytest

from tests.process.a_bin import BOARD, BOOK, COFFEE, MANURE, SCRAPS, STALKS, TABLE, household, log_of, moment_of
from tests.process.equations import slopes, solved
from wormbin.materials.material import Material
from wormbin.process import pools
from wormbin.process import run as running
from wormbin.process.flows import Box, Own
from wormbin.process.parameters import DEFAULT
from wormbin.process.pools import WATER, WORMS
from wormbin.process.replay import replay
from wormbin.process.step import STEP_DAYS, advance


def a_year(seed: int) -> list[tuple[float, list[tuple[Material, float]], float]]:
    """Random feedings of a year: gaps in days, what is put in, water."""
    rng = Random(seed)
    feeds = [SCRAPS, SCRAPS, COFFEE, STALKS, MANURE, BOARD]
    out, day = [], 0.0
    while day < 365.0:
        gap = rng.choice([1.0, 2.0, 3.0, 4.0, 7.0]) + rng.random() * 0.6
        gap = min(gap, 365.0 - day)
        day += gap
        out.append((gap, [(rng.choice(feeds), rng.uniform(0.05, 0.9))], rng.choice([0.0, 0.0, 0.2])))
    return out


@pytest.mark.parametrize(("seed", "drained", "rate"), [(1, True, 1.0), (2, False, 0.7)])
def test_a_year_of_random_feedings_ends_where_an_outside_solver_ends(seed: int, drained: bool, rate: float) -> None:
    """LSODA at rtol 1e-8 (scipy.integrate.solve_ivp), to 0.5 % of what went in."""
    box = Box(0.24, 0.45, drained)
    ours = pools.empty()
    pools.add(ours, BOARD, 1.2, feed=False)
    ours[WATER] += 4.2
    ours[WORMS] = 0.45
    theirs = [*ours[:35], *ours[pools.RAW : pools.RAW + 2], ours[pools.RAW_FIBRE]]
    slope = slopes(box, 21.0, Own(rate))
    dry_in, water_in = pools.dry(ours), ours[WATER]
    worst = 0.0
    for gap, portions, water in a_year(seed):
        whole = int(gap)
        for piece in [1.0] * whole + ([gap - whole] if gap > whole else []):
            advance(ours, piece, box, 21.0, Own(rate), DEFAULT)
        theirs = solved(slope, gap, theirs, 1e-8, 1e-11)
        for i in range(24):
            worst = max(worst, abs(ours[i] - theirs[i]) / dry_in)
        worst = max(worst, abs(ours[WATER] - theirs[WATER]) / water_in, abs(ours[WORMS] - theirs[WORMS]) / dry_in)
        both = [*theirs[:35], *([0.0] * (pools.SIZE - 35))]
        both[pools.RAW : pools.RAW + 2] = theirs[35:37]
        both[pools.RAW_FIBRE] = theirs[37]
        for each in (ours, both):
            for material, kg in portions:
                pools.add(each, material, kg, feed=True)
            each[WATER] += water
        theirs = [*both[:35], *both[pools.RAW : pools.RAW + 2], both[pools.RAW_FIBRE]]
        for material, kg in portions:
            dry_in += kg * (1.0 - material.moisture)
            water_in += kg * material.moisture + water
    assert worst < 0.005


def test_halving_the_step_quarters_its_error() -> None:
    """Second order, seen on one stretch of four days."""

    def ends(step: float) -> list[float]:
        c = pools.empty()
        pools.add(c, BOARD, 1.2, feed=False)
        pools.add(c, SCRAPS, 1.5, feed=True)
        c[WATER] += 4.0
        c[WORMS] = 0.5
        advance(c, 4.0, Box(0.24, 0.45, True), 22.0, BOOK, DEFAULT, step)
        return c[:35]

    fine = ends(1 / 256)
    errors = [max(abs(a - b) for a, b in zip(ends(step), fine, strict=True)) for step in (1 / 4, 1 / 8, 1 / 16)]
    assert errors[1] < errors[0] / 2.8
    assert errors[2] < errors[1] / 2.8


def test_nothing_falls_below_zero_under_the_worst_conditions() -> None:
    for kg, worms, temp, drying in ((1e-5, 5.0, 33.0, 8.0), (40.0, 0.001, -10.0, 0.1), (0.3, 2.0, 60.0, 50.0)):
        c = pools.empty()
        pools.add(c, SCRAPS, kg, feed=True)
        c[WORMS] = worms
        for _ in range(200):
            advance(c, 1.0, Box(0.1, 2.0, True), temp, Own(3.0, drying), DEFAULT)
            assert min(c[:34]) >= 0.0
        assert c[WATER] < 1e6


def test_steps_are_six_hours_at_most() -> None:
    assert STEP_DAYS <= 0.25


def test_companions_in_coarser_steps_spread_as_far_as_in_fine_ones(monkeypatch: pytest.MonkeyPatch) -> None:
    """Bands of ten weeks with readings, with companions at twelve hours and at six: within a few percent, no lean."""
    coarse = replay(household(), log_of(70), TABLE, moment_of(70)).days
    monkeypatch.setattr(running, "COARSE_DAYS", STEP_DAYS)
    fine = replay(household(), log_of(70), TABLE, moment_of(70)).days
    for quantity in ("moisture", "feed_waiting_kg", "worms_kg", "castings_share", "total_kg"):
        pairs = [(getattr(a, quantity), getattr(b, quantity)) for a, b in zip(coarse[10:], fine[10:], strict=True)]
        assert all(a.width == pytest.approx(b.width, rel=0.08) for a, b in pairs), quantity
        assert sum(a.width for a, _ in pairs) == pytest.approx(sum(b.width for _, b in pairs), rel=0.02), quantity
        assert all(abs(a.p50 - b.p50) < 0.03 * b.width for a, b in pairs), quantity
