"""How often a class is told "more than noise": where there is none, and where there is a true difference."""

from __future__ import annotations

import pytest

from tests.benchmarks.comparing import FIGURES, MOST_WEEKS, TERM_WEEKS, story, told

PAIRS = 100


@pytest.mark.benchmark
def test_noise_is_called_noise_and_a_true_difference_is_found() -> None:
    """Alike bins at most 8 times in 100; a bin that works at 0.6 of the pace 70 times by the day that is said."""
    cases = {"alike": story("b"), "pace 0.6": story("b", rate=0.6)}
    print(
        f"\n{PAIRS} pairs: 'more than noise' by week {TERM_WEEKS}, looked at weekly; by the day it says ({MOST_WEEKS})"
    )
    counts = {}
    for name, other in cases.items():
        said = [told(seed, story("a"), other) for seed in range(PAIRS)]
        for figure in FIGURES:
            counts[name, figure] = tuple(sum(each[figure][when] for each in said) for when in (0, 1))
            print(f"{name:9} {figure:9} {counts[name, figure][0]:3} {counts[name, figure][1]:3}")
    assert all(counts["alike", figure][0] <= 8 for figure in FIGURES)
    assert counts["pace 0.6", "left"][1] >= 70
