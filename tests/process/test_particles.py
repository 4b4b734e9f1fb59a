"""The ensemble of 33 beside two thousand particles of the same equations: the same middles and widths from one log."""

from __future__ import annotations

from math import log

import pytest

from tests.process.a_bin import TABLE, entry, household, log_of, moment_of
from tests.process.particles import Particles, figures
from wormbin.process.ensemble import Doubts, mass_bands, share_bands
from wormbin.process.replay import replay
from wormbin.records.entries import Check, MoistureBy, Squeeze

DAYS, COUNT = 60, 2000
LOOKS = {
    "oven": Check(moisture=0.72, moisture_by=MoistureBy.OVEN, left=0.75),
    "hand": Check(squeeze=Squeeze.SPONGE, left=0.5),
}


@pytest.mark.parametrize("how", LOOKS)
def test_the_ensemble_agrees_with_a_particle_filter_of_the_same_log(how: str) -> None:
    looked = [day for day in range(3, DAYS + 1) if day % 7 in (3, 6)]
    lines = [each for each in log_of(DAYS) if not isinstance(each.what, Check)]
    lines = sorted([*lines, *(entry(f"k{day}", day, LOOKS[how], 17) for day in looked)], key=lambda each: each.when)
    filtered = Particles(household(), TABLE, COUNT, 1, Doubts())
    filtered.through(lines, moment_of(DAYS))
    # The courses alone: what a day tells is wider by the doubt about the sums themselves.
    courses = figures(replay(household(), lines, TABLE, moment_of(DAYS)).run.c)
    for name, (low, middle, high) in filtered.bands().items():
        (band,) = (mass_bands if name.endswith("kg") else share_bands)(courses[name])
        assert low < band.p50 < high, (name, band, low, middle, high)
        assert abs(band.p50 - middle) < 0.4 * (high - low), (name, band, middle)
        # A hand's own fault is doubted anew every few weeks in ours, and learned for good in the filter.
        wider = 2.0 if (how, name) == ("hand", "moisture") else 1.4
        assert abs(log(band.width / (high - low))) < log(wider), (name, band, low, high)
