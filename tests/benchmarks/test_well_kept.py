"""Well-kept bins are left in peace, and bins in trouble are told of by the second odd reading, on an unlike truth.

``WELL_KEPT_BINS`` (6) and ``TROUBLED_BINS`` (4, of each kind) make the benchmark shorter or longer.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.benchmarks.well_kept import troubled, walk
from tests.benchmarks.well_kept_tally import a_month, example_lines, in_time, message_table, told_table
from tests.worlds.plain_keeper import Mishap

GOAL_A_MONTH = 0.7
FEW_A_MONTH = 2.6
"""What the few bins of the ordinary test may come to: fewer evenings, so a looser bound than the goal."""


def test_few_well_kept_bins_are_left_in_peace(tmp_path: Path) -> None:
    walked = [walk(number, tmp_path / str(number), days=75, first=40) for number in (2, 5)]
    assert a_month(walked) <= FEW_A_MONTH, "\n".join(message_table(walked) + example_lines(walked))


@pytest.mark.parametrize("mishap", [Mishap.WET, Mishap.DRY])
def test_a_bin_in_trouble_is_told_of_by_the_second_odd_reading(mishap: Mishap, tmp_path: Path) -> None:
    found = troubled(mishap, 1, tmp_path)
    assert in_time(found) == 1.0, "\n".join(told_table(found))


@pytest.mark.benchmark
def test_well_kept_and_troubled_bins(tmp_path: Path, say: Callable[[str], None]) -> None:
    """Half a year of each well-kept bin evening by evening, and some bins of each trouble."""
    bins, each = int(os.environ.get("WELL_KEPT_BINS", "6")), int(os.environ.get("TROUBLED_BINS", "4"))
    walked = [walk(number, tmp_path / str(number)) for number in range(bins)]
    if walked:
        say("\n  ".join([*message_table(walked), "", *example_lines(walked)]))
    told = [one for mishap in Mishap for one in troubled(mishap, each, tmp_path)] if each else []
    if told:
        say("\n  ".join(told_table(told)))
    assert not walked or a_month(walked) <= GOAL_A_MONTH
    assert not told or in_time(told) == 1.0
