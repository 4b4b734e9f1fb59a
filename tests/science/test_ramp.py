from __future__ import annotations

import pytest

from wormbin.science.ramp import ramp_ends_in, ramp_share


@pytest.mark.parametrize(
    ("days", "share", "ends"),
    [(None, 0.0, None), (-1, 0.0, None), (0, 0.25, 14), (13, 0.25, 1), (14, 0.5, 14), (27, 0.5, 1), (28, 1.0, None)],
)
def test_a_quarter_for_two_weeks_then_a_half_for_two_more(days: int | None, share: float, ends: int | None) -> None:
    assert ramp_share(days) == share
    assert ramp_ends_in(days) == ends
