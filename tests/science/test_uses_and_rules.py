"""Potting mix, beds, extract, and the figures of the rules: amounts right, the harmful refused in one sentence."""

from __future__ import annotations

from math import isinf

import pytest

from tests.science.opened import recomputed
from wormbin.problems import RefusedError
from wormbin.science.cautions import caution
from wormbin.science.rules import hot_phase_met, hot_start_off_by, manure_wait_days
from wormbin.science.stocking import most_worms_kg
from wormbin.science.uses import aerated_extract, bed_mix, dressing_l, potting_mix, potting_working


def test_a_mix_adds_up_and_carries_cautions_that_exist() -> None:
    mixes = (potting_mix(40.0, 0.2), potting_mix(40.0, 0.4), bed_mix(1.0, 0.15))
    for mix in mixes:
        assert mix.castings_l / (mix.castings_l + mix.other_l) == pytest.approx(mix.share)
        assert all(caution(code).text for code in mix.cautions)
    assert "salt" in mixes[1].cautions
    assert mixes[2].castings_l == pytest.approx(50.0)


@pytest.mark.parametrize(("total", "share"), [(40.0, 0.41), (40.0, 0.0), (0.0, 0.1), (float("nan"), 0.1)])
def test_a_mix_that_would_harm_is_refused_with_an_example(total: float, share: float) -> None:
    with pytest.raises(RefusedError, match="Example"):
        potting_mix(total, share)


def test_an_extract_is_one_to_ten_under_air_for_a_day_at_most() -> None:
    extract = aerated_extract(2.0)
    assert (extract.water_l, extract.hours) == (20.0, 24)
    assert "extract" in extract.cautions
    with pytest.raises(RefusedError, match="24 hours"):
        aerated_extract(2.0, hours=48)
    with pytest.raises(RefusedError, match="castings"):
        aerated_extract(0.0)


def test_a_dressing_is_a_centimetre() -> None:
    assert dressing_l(2.0) == pytest.approx(20.0)


def test_heat_counts_only_in_a_row_and_with_its_turns() -> None:
    assert hot_phase_met([40, 56, 55, 57, 50], turns=0, in_vessel=True)
    assert not hot_phase_met([56, 55, 54, 57, 56], turns=9, in_vessel=True)
    assert hot_phase_met([55.0] * 15, turns=5, in_vessel=False)
    assert not hot_phase_met([55.0] * 15, turns=4, in_vessel=False)
    assert not hot_phase_met([55.0] * 14, turns=5, in_vessel=False)


def test_a_starting_ratio_is_told_how_far_it_is_off() -> None:
    assert [hot_start_off_by(cn) for cn in (20.0, 25.0, 33.0, 40.0, 50.0)] == [-5.0, 0.0, 0.0, 0.0, 10.0]
    assert isinf(hot_start_off_by(float("inf")))
    assert manure_wait_days(touches_soil=True) > manure_wait_days(touches_soil=False)


def test_amounts_can_be_opened() -> None:
    workings = (potting_working(40.0, 0.2),)
    for working in workings:
        assert recomputed(working) == pytest.approx(working.value, rel=1e-12)
        assert working.source
        assert working.sure


def test_stocking_limits() -> None:
    assert most_worms_kg(0.24) == pytest.approx(1.2)
