"""The step against an outside solver of the same equations, and against what it must never do."""

from __future__ import annotations

from random import Random

import numpy as np
import pytest

from tests.process.a_bin import BOARD, COFFEE, MANURE, SCRAPS, STALKS, own, settled
from tests.process.equations import ROWS, slopes, solved
from wormbin.materials.material import Material
from wormbin.process import pools
from wormbin.process.flows import Box
from wormbin.process.parameters import DEFAULT, Parameters
from wormbin.process.pools import RISE, VOLATILE, WATER, WORMS, Array
from wormbin.process.step import LAST_DAYS, STEP_DAYS, disturbed, next_step, step


def advance(c: Array, days: float, k: Array, p: Parameters, longest: float = STEP_DAYS) -> None:
    """Carry compartments ``(SIZE, ...)`` on by ``days`` in place; ``k`` is what is settled of them (see ``flows``)."""
    last = float(np.ravel(c[LAST_DAYS])[0])
    while days > 1e-9:
        last = next_step(days, last, longest)
        step(c, np.array(last), k, p)
        days -= last


def put(c: Array, material: Material, kg: float, feed: bool = True) -> None:
    c += kg * pools.brings(material, feed=feed)
    disturbed(c)


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
    put(ours, BOARD, 1.2, feed=False)
    ours[WATER] += 4.2
    ours[WORMS] = 0.45
    theirs = ours.copy()
    slope, k = slopes(box, 21.0, rate), settled(box, 21.0, own(rate=rate))
    dry_in, water_in = float(pools.dry(ours)), float(ours[WATER])
    worst = 0.0
    for gap, portions, water in a_year(seed):
        whole = int(gap)
        for piece in [1.0] * whole + ([gap - whole] if gap > whole else []):
            advance(ours, piece, k, DEFAULT)
        theirs[:ROWS] = solved(slope, gap, theirs[:ROWS].tolist(), 1e-8, 1e-11)
        off = np.abs(ours - theirs)
        worst = max(worst, off[VOLATILE : pools.FRESH].max() / dry_in, off[WATER] / water_in, off[WORMS] / dry_in)
        for each in (ours, theirs):
            for material, kg in portions:
                put(each, material, kg)
            each[WATER] += water
        for material, kg in portions:
            dry_in += kg * (1.0 - material.moisture)
            water_in += kg * material.moisture + water
    print(f"\nworst {100 * worst:.3f} % of what went in")
    assert worst < 0.005


def test_halving_the_step_quarters_its_error() -> None:
    """Second order, seen on one stretch of four days."""

    def ends(longest: float) -> Array:
        c = pools.empty()
        put(c, BOARD, 1.2, feed=False)
        put(c, SCRAPS, 1.5)
        c[WATER] += 4.0
        c[WORMS] = 0.5
        advance(c, 4.0, settled(Box(0.24, 0.45, True), 22.0), DEFAULT, longest)
        return c[: RISE + 1]

    fine = ends(1 / 256)
    errors = [np.abs(ends(longest) - fine).max() for longest in (1 / 4, 1 / 8, 1 / 16)]
    assert errors[1] < errors[0] / 2.8
    assert errors[2] < errors[1] / 2.8


def test_nothing_falls_below_zero_under_the_worst_conditions() -> None:
    for kg, worms, temp, drying in ((1e-5, 5.0, 33.0, 8.0), (40.0, 0.001, -10.0, 0.1), (0.3, 2.0, 60.0, 50.0)):
        c = pools.empty()
        put(c, SCRAPS, kg)
        c[WORMS] = worms
        k = settled(Box(0.1, 2.0, True), temp, own(rate=3.0, drying=drying))
        for _ in range(200):
            advance(c, 1.0, k, DEFAULT)
            assert c[:RISE].min() >= 0.0
        assert c[WATER] < 1e6


def test_steps_are_half_a_day_at_most_after_something_was_done_and_a_day_later() -> None:
    assert next_step(5.0, 0.0) <= 0.5
    assert next_step(5.0, 1.0) <= 1.0
    assert next_step(5.0, 0.1) <= 0.4


def test_bins_side_by_side_go_as_each_would_alone() -> None:
    """One of them goes on, to the other something was done: bit for bit what each comes to by itself."""
    alone = [pools.empty(1) for _ in range(2)]
    k = [settled(Box(0.24, 0.45, True), temp)[:, None] for temp in (22.0, 15.0)]
    for c in alone:
        put(c[:, 0], SCRAPS, 0.8)
        c[WORMS] = 0.3
        step(c, np.array([0.25]), k[0], DEFAULT)
    put(alone[1][:, 0], COFFEE, 0.3)
    both = np.concatenate(alone, axis=1)
    for c, each, dt in zip(alone, k, (0.5, 0.2), strict=True):
        step(c, np.array([dt]), each, DEFAULT)
    step(both, np.array([0.5, 0.2]), np.concatenate(k, axis=1), DEFAULT)
    assert np.array_equal(both, np.concatenate(alone, axis=1))


def test_what_a_soaked_bin_holds_is_not_drained_with_what_it_does_not_hold() -> None:
    """The morning after water was poured on, and the days after it, against the outside solver: 0.5 % of the water."""
    box = Box(0.24, 0.45, True)
    ours = pools.empty()
    put(ours, BOARD, 1.2, feed=False)
    ours[WATER], ours[WORMS] = 3.3, 0.3
    slope, k = slopes(box, 21.0, 1.0), settled(box, 21.0, own())
    for piece in (0.7, 0.3):
        advance(ours, piece, k, DEFAULT)
    theirs = ours.copy()
    for each in (ours, theirs):
        each[WATER] += 0.6
    disturbed(ours)
    for piece in (0.25, 1.0, 0.7, 1.0):
        advance(ours, piece, k, DEFAULT)
        theirs[:ROWS] = solved(slope, piece, theirs[:ROWS].tolist(), 1e-8, 1e-11)
        assert ours[WATER] == pytest.approx(theirs[WATER], rel=0.005)
