"""How often a class is told "more than noise": where there is none, and where there is a true difference."""

from __future__ import annotations

import pytest

from tests.benchmarks.comparing import SIGHTS, TERM_WEEKS, story, told
from wormbin.records.kinds.log import Measured

PAIRS = 100
OTHERS = {
    "alike": (story("b"), None), "pace 0.6": (story("b", rate=0.6), Measured.WORKED),
    "no lid": (story("b", cover="open"), Measured.MOISTURE),
    "2 C warmer": (story("b", warmer_c=2.0), Measured.TEMPERATURE),
}  # fmt: skip
"""The other bin, and the quantity in which it truly differs by more than the least difference worth telling. Depth
differs by less (1.1 of 1.5 cm at 0.6 of the pace): only its chance is looked at."""


@pytest.mark.benchmark
def test_noise_is_called_noise_and_a_true_difference_is_found() -> None:
    """Alike bins at most 8 times in 100; a true difference 70 times by the day that is said."""
    print(f"\n{PAIRS} pairs, 'more than noise' by week {TERM_WEEKS}; by the day it says; a day said")
    for name, (other, differs) in OTHERS.items():
        said = [told(seed, story("a"), other) for seed in range(PAIRS)]
        for about in SIGHTS:
            by_term, by_day, day_said = (sum(each[about][when] for each in said) for when in range(3))
            print(f"{name:10} {about:12} {by_term:3} {by_day:3} {day_said:3}")
            if differs is None:
                assert by_day <= 8
            elif about is differs:
                assert by_day >= 70
