"""A year of one bin replayed with learning, and a 120-day outlook with bands, beside LSODA on the same equations.

LSODA (scipy.integrate.solve_ivp, rtol 1e-4) carries one course of the same log, restarted at each entry, as any solver
must; it learns nothing and gives no bands. The program carries 33 courses. Nothing here is asserted about time.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from time import process_time

import pytest

from tests.process.a_bin import TABLE, household, log_of, moment_of
from tests.process.equations import ROWS, slopes, solved
from wormbin.process import pools
from wormbin.process.flows import Box
from wormbin.process.outlook import look_ahead
from wormbin.process.pools import WATER, WORMS
from wormbin.process.replay import replay
from wormbin.process.views import Planned
from wormbin.records.entries import Bedding, Check, Feeding, Stocking, Watering

DAYS, AHEAD = 365, 120


def seconds(work: Callable[[], object], times: int = 3) -> float:
    """The least processor time of a few runs."""
    best = float("inf")
    for _ in range(times):
        start = process_time()
        work()
        best = min(best, process_time() - start)
    return best


def by_lsoda() -> None:
    """One course of the log, and of the look-ahead's feedings, by the outside solver."""
    slope = slopes(Box(0.24, 0.45, True), 22.0)
    c, last = pools.empty(), 0.0
    for entry in sorted(log_of(DAYS + AHEAD), key=lambda each: each.when):
        if isinstance(entry.what, Check):
            continue
        at = (entry.when - moment_of(0, 0)).total_seconds() / 86400.0
        if at > last and c.any():
            c[:ROWS] = solved(slope, at - last, c[:ROWS].tolist(), 1e-4, 1e-8)
        last = at
        if isinstance(entry.what, Feeding | Bedding):
            for portion in entry.what.portions:
                c += portion.kg * pools.brings(TABLE[portion.material], feed=isinstance(entry.what, Feeding))
        elif isinstance(entry.what, Watering):
            c[WATER] += entry.what.kg
        elif isinstance(entry.what, Stocking):
            c[WORMS] += entry.what.worms_kg
    solved(slope, DAYS + AHEAD - last, c[:ROWS].tolist(), 1e-4, 1e-8)


@pytest.mark.benchmark
def test_a_year_with_learning_and_an_outlook_beside_an_outside_solver() -> None:
    entries, until = log_of(DAYS), moment_of(DAYS)
    found = replay(household(), entries, TABLE, until)
    plan = [Planned(until.date() + timedelta(days=day), 0.8) for day in range(AHEAD) if day % 7 in (0, 3)]
    year = seconds(lambda: replay(household(), entries, TABLE, until))
    ahead = seconds(lambda: look_ahead(found, plan, AHEAD))
    one_more = seconds(lambda: replay(household(), entries, TABLE, until, resume=found.beliefs[-1]))
    lsoda = seconds(by_lsoda, 1)
    print(
        f"\nyear with learning {year:.3f} s, outlook {AHEAD} days {ahead:.3f} s, together {year + ahead:.3f} s;"
        f"\nLSODA, one course {lsoda:.3f} s: ours is {lsoda / (year + ahead):.1f} times as fast with 33 courses,"
        f" {33 * lsoda / (year + ahead):.0f} times course for course; a new day {1000 * one_more:.1f} ms"
    )
    assert len(found.days) == DAYS + 1
