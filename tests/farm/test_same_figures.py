"""The same log gives the same figures to the digit, however reached: packed, gone on with, or from nothing."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from wormbin.farm import bins, rounds
from wormbin.farm.samples import SampleFarm, copy_sample
from wormbin.pages.documents import document


def figures(sample: SampleFarm, on: date | None = None) -> dict[str, Any]:
    """What ``round --json``, ``outlook --json`` and the charts of every bin hold, by a program just opened."""
    farm = sample.session()
    keys = [one.key for one in rounds.living(farm, on)]
    return {
        "round": document(rounds.view(farm, on)),
        "outlook": {key: bins.outlook(farm, key, on=on) for key in keys},
        "charts": {key: bins.look(farm, key, on).charts for key in keys},
    }


@pytest.mark.parametrize(
    "name", ["apartment", *(pytest.param(name, marks=pytest.mark.more) for name in ("classroom", "seller"))]
)
def test_packed_gone_on_with_or_from_nothing_the_figures_are_the_same(name: str, tmp_path: Path) -> None:
    sample = partial(copy_sample, name, worked_out=False)
    cold = figures(sample(tmp_path / "cold"))
    assert figures(copy_sample(name, tmp_path / "packed")) == cold, "run: python -m tests.farm.work_out"
    kept = sample(tmp_path / "kept")
    rounds.view(kept.session(), (kept.clock() - timedelta(days=1)).date())
    assert figures(kept) == cold, "gone on with after one more day"


def test_a_day_asked_about_later_or_from_what_is_kept_has_the_figures_that_it_had(tmp_path: Path) -> None:
    packed = copy_sample("apartment", tmp_path / "packed")
    cold = copy_sample("apartment", tmp_path / "cold", worked_out=False)
    now, today = packed.clock(), figures(packed)
    in_summer = (now - timedelta(days=100)).date()
    assert figures(packed, in_summer) == figures(cold, in_summer)
    assert figures(packed) == today, "asked again after an older day"
    evening = replace(packed, clock=lambda: now + timedelta(hours=3))
    assert figures(evening) == today, "later in the evening"
    later = replace(packed, clock=lambda: now + timedelta(days=40))
    assert figures(later, now.date()) == today, "after forty days"
