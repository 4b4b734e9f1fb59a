"""Two bins' courses held against each other: what they have in common goes together, what is their own does not."""

from __future__ import annotations

import numpy as np
import pytest

from wormbin.process import flows
from wormbin.process.day import covariance
from wormbin.process.ensemble import DESIGN, HERD


@pytest.mark.parametrize(("column", "shared"), [(DESIGN[flows.AMOUNTS], 1.0), (DESIGN[flows.RATE], 0.0), (HERD, 0.0)])
def test_only_what_both_have_in_common_goes_together(column: np.ndarray, shared: float) -> None:
    """numpy's covariance of the companions is the outside reference, of a shared cause and of two that are own."""
    mine, theirs = 1.0 + 0.3 * column, 2.0 + 0.2 * column
    assert covariance(mine, theirs) == pytest.approx(shared * np.cov(mine[1:], theirs[1:], bias=True)[0, 1])
