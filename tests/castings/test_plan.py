"""How likely so many castings are there by a day: chances by windows, sums of bins, what one's own lots teach."""

from __future__ import annotations

import tracemalloc
from dataclasses import replace
from datetime import date, timedelta

import pytest
from scipy import integrate, stats

from tests.castings.made_up import at, came, step
from wormbin.castings.lot import lots
from wormbin.castings.plan import COMES, TOGETHER, Delivery, chance, outcome, own_cure_days, own_kept
from wormbin.figures import Band
from wormbin.records.lots import LotStep

MAY = date(2026, 5, 1)
FAR = date(2026, 12, 31)
LONG_AGO = date(2026, 1, 1)
WHOLE = Band.exactly(1.0)


def bin_of(kg: float, *, due: bool = False, likely: date | None = MAY, name: str = "k") -> Delivery:
    first = likely - timedelta(days=20) if likely else None
    last = likely + timedelta(days=40) if likely else None
    return Delivery(name, Band(kg * 0.8, kg, kg * 1.25), first, likely, last, due)


def test_the_window_gives_the_chance() -> None:
    one = bin_of(10.0)
    days = (-45, -20, 0, 40, 80)
    assert [chance(one, MAY + timedelta(days=each), FAR) for each in days] == pytest.approx([0.0, 0.1, 0.5, 0.9, 1.0])
    assert chance(bin_of(10.0, due=True), date(2026, 1, 1), FAR) == 1.0
    assert chance(bin_of(10.0, likely=None), MAY, FAR) == 0.0


def test_a_likely_day_beyond_the_look_ahead_is_less_than_even() -> None:
    early = Delivery("k", Band(1, 2, 3), MAY, None, None)
    assert chance(early, MAY, FAR) == pytest.approx(0.1)
    assert chance(early, FAR, FAR) == pytest.approx(0.5)
    assert chance(early, FAR + timedelta(days=99), FAR) == 0.5


def test_the_chance_never_falls_with_time() -> None:
    odd = Delivery("k", Band(1, 2, 3), MAY, MAY, MAY)
    for one in (bin_of(1.0), odd, Delivery("k", Band(1, 2, 3), None, MAY, None)):
        found = [chance(one, MAY + timedelta(days=each), FAR) for each in range(-60, 90)]
        assert found == sorted(found)
        assert all(0.0 <= each <= 1.0 for each in found)


def likelihood(bins: list[Delivery], kg: float, by: date = MAY) -> float:
    return outcome(bins, kg, by, FAR, today=LONG_AGO, kept=WHOLE).likelihood


def equal_bins(count: int, kg: float) -> list[Delivery]:
    return [replace(bin_of(kg, name=str(each)), kg=Band.exactly(kg / COMES)) for each in range(count)]


@pytest.mark.parametrize(("count", "enough"), [(1, 1), (4, 1), (4, 2), (4, 4), (40, 12), (40, 20), (40, 30)])
def test_the_sum_of_bins_is_as_likely_as_integrating_every_case_says(count: int, enough: int) -> None:
    """So many of ``count`` equal bins: the binomial, given what they have in common, integrated over that by scipy."""
    odds = chance(bin_of(1.0), MAY, FAR)
    edge, shared = stats.norm.ppf(odds), TOGETHER**0.5

    def given(common: float) -> float:
        each = stats.norm.cdf((edge - shared * common) / (1 - TOGETHER) ** 0.5)
        return float(stats.binom.sf(enough - 1, count, each) * stats.norm.pdf(common))

    counted = integrate.quad(given, -8, 8, limit=200)[0]
    assert likelihood(equal_bins(count, 5.0), 5.0 * enough) == pytest.approx(counted, abs=0.04)


def test_kilograms_vary_as_their_band_says() -> None:
    due = [Delivery("a", Band(8.0, 10.0, 14.0), None, None, None, due=True)]
    assert [likelihood(due, kg) for kg in (8.0, 10.0, 14.0)] == pytest.approx([0.9, 0.5, 0.1], abs=0.03)
    brings = outcome(due, 10.0, MAY, FAR, today=LONG_AGO, kept=Band.exactly(0.5)).brings
    assert (brings.p10, brings.p50, brings.p90) == pytest.approx((4.0, 5.0, 7.0), rel=0.05)


@pytest.mark.parametrize("kg", [1e-9, 1e-3, 39.999, 4e7])
def test_work_does_not_grow_with_the_amounts(kg: float) -> None:
    """Stock that all but covers the wish once meant cells of 0.1 g, minutes and gigabytes."""
    tracemalloc.start()
    found = likelihood([bin_of(10.0, name=str(each)) for each in range(200)], kg)
    most = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert found == (0.0 if kg > 1e6 else pytest.approx(1.0, abs=0.01))
    assert most < 20_000_000


def test_more_is_less_likely_and_a_later_day_more() -> None:
    bins = [bin_of(10.0, name=str(each)) for each in range(12)]
    by_kg = [likelihood(bins, kg) for kg in (5.0, 40.0, 60.0, 90.0, 200.0)]
    assert by_kg == sorted(by_kg, reverse=True)
    assert by_kg[0] > 0.97
    assert by_kg[-1] == 0.0
    by_day = [likelihood(bins, 60.0, MAY + timedelta(days=each)) for each in (-30, 0, 30, 60)]
    assert by_day == sorted(by_day)
    assert by_day[0] < 0.01
    assert by_day[-1] > 0.9


def test_curing_takes_days_and_mass() -> None:
    cool = replace(bin_of(10.0, likely=date(2026, 4, 10)), cure_days=42)
    found = outcome(
        [replace(bin_of(10.0, due=True), cure_days=21), cool], 6.0, MAY, FAR, today=LONG_AGO, kept=Band.exactly(0.6)
    )
    assert found.harvest_by == (date(2026, 4, 10), date(2026, 3, 20))
    assert found.ready[0] == 1.0
    assert found.ready[1] < 0.3
    assert found.brings.p50 == pytest.approx(6.0, rel=0.03)
    assert outcome([], 6.0, MAY, FAR, today=LONG_AGO, kept=WHOLE).likelihood == 0.0


def test_own_lots_teach_days_and_share() -> None:
    done = lots(
        [came("a", at(3, 1), 10.0), step("b", at(3, 20), LotStep.SCREENED, kg=6.5), step("c", at(3, 29), LotStep.STOCK)]
    )
    assert own_cure_days(done) == 28
    assert own_kept(done) == pytest.approx(0.65)
    fresh = lots([came("a", at(3, 1), 10.0), step("b", at(3, 9), LotStep.CURING, kg=9.0)])
    assert (own_cure_days(fresh), own_kept(fresh)) == (None, None)


def test_a_lot_written_up_on_one_day_teaches_no_days() -> None:
    done = lots([came("a", at(3, 1), 10.0), step("b", at(3, 1), LotStep.STOCK)])
    assert own_cure_days(done) is None


def test_nothing_is_harvested_on_a_day_that_has_gone_by() -> None:
    one = replace(bin_of(10.0, due=True), cure_days=10)
    early, late = (outcome([one], 2.0, MAY, FAR, kept=WHOLE, today=MAY - timedelta(days=days)) for days in (9, 10))
    assert (early.ready, early.likelihood, early.brings.p90) == ((0.0,), 0.0, 0.0)
    assert late.ready == (1.0,)


def test_a_bin_that_might_be_ready_and_was_not_harvested_is_not_ready_yet() -> None:
    one = bin_of(10.0)
    found = [outcome([one], 1.0, MAY + timedelta(days=40), FAR, kept=WHOLE, today=MAY + timedelta(days=days)).ready[0]
             for days in (-60, 0, 40)]  # fmt: skip
    assert found == pytest.approx([0.9, (0.9 - 0.5) / (1 - 0.5), 0.0])
