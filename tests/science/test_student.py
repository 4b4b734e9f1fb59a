"""Student's t, written out, against scipy's."""

from __future__ import annotations

import pytest
from hypothesis import given, strategies as st
from scipy import stats

from wormbin.science.paired import t_quantile


@given(df=st.floats(0.5, 1e5), p=st.floats(1e-9, 1 - 1e-9))
def test_quantiles_agree_with_scipy(df: float, p: float) -> None:
    assert t_quantile(p, df) == pytest.approx(float(stats.t.ppf(p, df)), rel=1e-9, abs=1e-12)


def test_the_printed_table_is_met() -> None:
    # Student's table as printed in any statistics text: 97.5 % at 1, 4, 10 and 30 degrees of freedom.
    assert [t_quantile(0.975, df) for df in (1, 4, 10, 30)] == pytest.approx([12.706, 2.776, 2.228, 2.042], abs=5e-4)


@pytest.mark.parametrize(("p", "df"), [(0.0, 3), (1.0, 3), (0.5, 0), (0.5, -1), (float("nan"), 3)])
def test_what_has_no_quantile_is_refused(p: float, df: float) -> None:
    with pytest.raises(ValueError, match="between 0 and 1"):
        t_quantile(p, df)
