"""Every published outcome of the table is reached by the one default parameter set, or is as far off as it admits."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.published.fit import at, residual
from tests.published.outcomes import LEFT_OUT, MEASURES, ROWS, Row, residual_table, residuals, setup_of
from wormbin.process.parameters import DEFAULT

KNOWN = re.compile(r"(R|D|C|M hi|M mid)(, .+)?")


def test_one_parameter_set_reaches_every_row() -> None:
    found = residuals()
    bad = [(row, ours, outside) for row, ours, outside in found if outside > row.off + 1e-9]
    print("\n".join(residual_table(found)))
    assert not bad, "\n".join(residual_table(bad))


def test_every_row_says_its_source_how_it_is_known_and_what_was_assumed() -> None:
    names = [row.id for row in ROWS]
    assert len(set(names)) == len(names)
    for row in ROWS:
        assert row.low < row.high, row.id
        assert row.source, row.id
        assert KNOWN.fullmatch(row.known), (row.id, row.known)
        assert row.measure in MEASURES or row.measure in ("fibre_rate_pct", "ripe_day"), row.id
        assert bool(row.off) == bool(row.because), row.id
        for name in filter(None, (row.setup, row.over, row.less, row.over_less)):
            assert setup_of(name).days >= (row.day if isinstance(row.day, int) else row.day[1]), row.id
    assert all(LEFT_OUT.values())


def test_no_row_is_quoted_from_a_memory_that_is_unsure() -> None:
    assert not [row.id for row in ROWS if "lo" in row.known.split()]
    assert "M lo" not in Path(__file__).with_name("outcomes.toml").read_text(encoding="utf-8")


def test_a_value_is_outside_only_beyond_the_ends_and_the_fit_pulls_it_back() -> None:
    row = Row("a", "a", "s", "cn", 1, "", 2.0, 4.0, "s", "R")
    assert [row.outside(value) for value in (1.5, 2.0, 4.0, 4.5)] == pytest.approx([0.5, 0.0, 0.0, 0.5])
    assert residual(row, 5.0) > 1.0 > residual(row, 4.0) > 0.0 > residual(row, 2.0) > -1.0 > residual(row, 1.0)


def test_a_proposal_stays_within_the_allowed_range() -> None:
    name = next(iter(type(DEFAULT).__dataclass_fields__))
    low, high = (type(DEFAULT).__dataclass_fields__[name].metadata[end] for end in ("low", "high"))
    assert getattr(at([name], [9.0]), name) == high
    assert getattr(at([name], [-9.0]), name) == low
