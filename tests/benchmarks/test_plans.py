"""Of plans that were given as so likely, how many are met: farms put together from made-up bins with a known truth.

A farm is some bins of the study, each asked about on one evening of its own; what a bin brings is the castings that
were really in it on the day on which they were really due. The truth shares no equation with the model. Curing is left
out: it is the same sum for both.

Tuned (``COMES``, ``WIDER`` and ``TOGETHER`` of ``castings.plan``) on seed 2026, with version 20 of the model: of plans
given as 50, 80, 95 % likely 53, 78, 89 % were met with 8 bins and 44, 78, 94 % with 40. Seed 9302 was looked at, too:
43, 74, 88 % and 40, 80, 93 %. Then, the numbers being fixed, on
seed 9301: 57, 84, 94 % and 65, 90, 98 %.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from random import Random

import pytest

from tests.benchmarks.made_logs import Kept, kept_bins, planned_for
from wormbin.advice.rules.harvest import wet_kg
from wormbin.castings.plan import Delivery, outcome
from wormbin.figures import Band
from wormbin.materials.table import default_table
from wormbin.process.outlook import look_ahead
from wormbin.process.replay import replay
from wormbin.records.farms import Settings

SEED, BINS, ASK_ON, AHEAD = 9302, 60, (45, 90, 150), 120
DAY = date(2026, 1, 1)
"""The evening of all bins, once each is moved to it."""
PLANS = 200
WHOLE = Band.exactly(1.0)


@dataclass(frozen=True, slots=True)
class Asked:
    """What the program said of a bin, its days moved to ``DAY``, and what was so: due on (None: not in sight), kg."""

    said: Delivery
    due: date | None
    kg: float


def asked(kept: Kept, number: int) -> Asked | None:
    """One bin on one evening; None while a harvest is due, or where its log ends too soon to judge."""
    on = kept.truth.days[0].on + timedelta(days=number)
    if kept.truth.on(on).due or (kept.truth.days[-1].on - on).days < AHEAD:
        return None
    run = replay(kept.bin, kept.entries, default_table(), datetime.combine(on, time(23, 59), UTC))
    so_far = [each for each in kept.entries if each.when.date() <= on]
    ahead = look_ahead(run, planned_for(run, so_far, Settings(), AHEAD), AHEAD)
    window, move = ahead.harvest, DAY - on
    likely = ahead.days[(window.likely - on).days - 1] if window.likely and window.likely > on else run.today
    kg = wet_kg(likely.castings_dry_kg, likely.moisture.p50)
    first, middle, last = (each and each + move for each in (window.earliest, window.likely, window.latest))
    due = next((each for each in kept.truth.due_dates if each > on), None)
    true = kept.truth.on(due) if due is not None else None
    there = wet_kg(Band.exactly(true.castings_dry_kg), true.moisture).p50 if true is not None else 0.0
    return Asked(Delivery(kept.bin.key, kg, first, middle, last), due + move if due is not None else None, there)


def met(bins: Sequence[Asked], kg: float, by: date) -> bool:
    """Whether they really brought so much by then."""
    return sum(each.kg for each in bins if each.due is not None and each.due <= by) >= kg


def given_as(bins: Sequence[Asked], by: date, likely: float) -> float | None:
    """The kg that a plan gives as so likely by then; None where not even the least is."""
    horizon, low, high = DAY + timedelta(days=AHEAD), 0.01, 4 * sum(each.said.kg.p90 for each in bins)

    def said(kg: float) -> float:
        return outcome([each.said for each in bins], kg, by, horizon, kept=WHOLE, today=DAY).likelihood

    if said(low) < likely:
        return None
    for _ in range(12):
        middle = (low + high) / 2
        low, high = (middle, high) if said(middle) >= likely else (low, middle)
    return low


@pytest.mark.benchmark
@pytest.mark.parametrize("size", [8, 40])
def test_of_plans_given_as_likely_so_many_are_met(size: int, pool: list[Asked], say: Callable[[str], None]) -> None:
    draws, counted = Random(size), {}
    for likely in (0.5, 0.8, 0.95):
        done: list[bool] = []
        while len(done) < PLANS:
            bins = draws.choices(pool, k=size)
            by = DAY + timedelta(days=draws.randint(20, AHEAD))
            if (kg := given_as(bins, by, likely)) is not None:
                done.append(met(bins, kg, by))
        counted[likely] = sum(done) / PLANS
        say(f"{size:>3} bins, {PLANS} plans given as {likely:.0%} likely: {counted[likely]:.0%} met")
    assert 0.70 <= counted[0.8] <= 0.90


@pytest.fixture(scope="module")
def pool() -> list[Asked]:
    """Bins of the study, each on a few evenings."""
    found = [asked(kept, day) for kept in kept_bins(BINS, SEED) for day in ASK_ON]
    return [each for each in found if each is not None]
