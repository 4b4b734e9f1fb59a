"""A worm survey's band: honest with one sample, above nought with clumps, and right eight times in ten."""

from __future__ import annotations

import math
import random

import pytest
from scipy import stats

from wormbin.measures.units import WORM_KG
from wormbin.science import survey as surveying
from wormbin.science.survey import more_samples_to_halve, survey

SAMPLE_M2, BIN_M2 = 0.0225, 0.24


def test_mass_is_mean_over_sample_area_times_bin_area() -> None:
    done = survey([0.020, 0.010, 0.030, 0.040], SAMPLE_M2, BIN_M2)
    assert done.bin_kg.p50 == pytest.approx(0.025 / 0.0225 * 0.24)
    assert done.kg_m2.p50 == pytest.approx(0.025 / 0.0225)


def test_a_clumped_survey_of_four_stays_above_nought_where_a_plain_t_band_does_not() -> None:
    samples = [0.001, 0.002, 0.003, 0.060]
    mean = sum(samples) / 4
    spread = math.sqrt(sum((kg - mean) ** 2 for kg in samples) / 3)
    assert mean - float(stats.t.ppf(0.95, 3)) * spread / 2 < 0
    assert survey(samples, SAMPLE_M2, BIN_M2).kg_m2.p10 > 0


def test_the_band_is_scipys_t_band_on_the_logarithm_of_the_mean() -> None:
    samples = [0.011, 0.022, 0.013, 0.030, 0.008]
    done = survey(samples, 0.0001, 1000.0)
    own = float(stats.variation(samples, ddof=1))
    pooled = math.sqrt((8 * 0.75**2 + 4 * own**2) / 12)
    log_sd = math.sqrt(math.log1p(pooled**2 / 5))
    low, high = stats.t.interval(0.8, 12, loc=math.log(sum(samples) / 5 / 0.0001), scale=log_sd)
    assert (done.kg_m2.p10, done.kg_m2.p90) == pytest.approx((math.exp(float(low)), math.exp(float(high))), rel=1e-6)
    assert done.spread == pytest.approx(pooled)


def test_one_sample_gives_a_wide_band_from_the_quoted_spread() -> None:
    done = survey([0.02], SAMPLE_M2, BIN_M2)
    assert 2.2 < done.kg_m2.p90 / done.kg_m2.p50 < 2.8
    assert done.more_samples is not None
    assert done.more_samples >= 2


def test_more_samples_really_halve_the_band() -> None:
    more = more_samples_to_halve(0.8, 3, 0.0001)
    assert more is not None

    def width(count: int) -> float:
        return surveying._half_width(0.8, count, 0.0001)

    assert width(3 + more) <= width(3) / 2 < width(3 + more - 1)


def test_no_number_of_samples_is_promised_that_the_bin_has_no_room_for() -> None:
    assert more_samples_to_halve(0.8, 9, 0.1) == 1, "the tenth digs up the whole bin"
    assert more_samples_to_halve(0.8, 10, 0.1) is None


def test_a_bin_that_was_dug_up_wholly_is_known() -> None:
    done = survey([0.1, 0.2, 0.3, 0.4], 0.06, 0.24)
    assert done.bin_kg.p10 == pytest.approx(1.0)
    assert done.bin_kg.p90 == pytest.approx(1.0)


def test_empty_samples_count_and_nothing_found_still_leaves_room_for_worms() -> None:
    some = survey([0.0, 0.03, 0.0, 0.01], SAMPLE_M2, BIN_M2)
    assert some.bin_kg.p50 == pytest.approx(0.01 / SAMPLE_M2 * BIN_M2)
    none = survey([0.0, 0.0, 0.0], SAMPLE_M2, BIN_M2)
    assert 0 < none.kg_m2.p10 < none.kg_m2.p50 < none.kg_m2.p90 < 0.05
    assert none.more_samples is None


def test_nothing_found_is_what_the_negative_binomial_says() -> None:
    k = 1 / 0.75**2
    worms = survey([0.0, 0.0], SAMPLE_M2, BIN_M2).kg_m2.p90 * SAMPLE_M2 / WORM_KG
    assert float(stats.nbinom.pmf(0, k, k / (k + worms))) ** 2 == pytest.approx(0.1, rel=1e-9)


@pytest.mark.parametrize("count", [1, 2, 4, 8])
def test_eight_times_in_ten_the_band_holds_the_truth(count: int) -> None:
    # Samples from populations with a spread of 50-100 %, log-normal and gamma by turns: the quoted range, truth 1.
    rng = random.Random(20260301 + count)
    hits, runs = 0, 800
    for run in range(runs):
        spread = rng.uniform(0.5, 1.0)
        if run % 2:
            sd = math.sqrt(math.log1p(spread**2))
            samples = [rng.lognormvariate(-sd * sd / 2, sd) for _ in range(count)]
        else:
            samples = [rng.gammavariate(1 / spread**2, spread**2) for _ in range(count)]
        band = survey(samples, 1e-3, 1e3).kg_m2
        hits += band.p10 <= 1e3 <= band.p90
    assert 0.74 <= hits / runs <= 0.88


@pytest.mark.parametrize(
    ("samples", "sample_m2", "bin_m2"),
    [([], 0.01, 1.0), ([-0.1], 0.01, 1.0), ([0.1], 0.0, 1.0), ([0.1], 0.01, 0.0), ([0.1, 0.1], 0.6, 1.0)],
)
def test_what_is_no_survey_is_refused(samples: list[float], sample_m2: float, bin_m2: float) -> None:
    with pytest.raises(ValueError, match=r"sample|area"):
        survey(samples, sample_m2, bin_m2)
