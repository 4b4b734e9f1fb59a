"""Every figure opened gives its value again from the inputs that are shown."""

from __future__ import annotations

from math import sqrt

import pytest

from tests.process.a_bin import TABLE, household, log_of, moment_of
from wormbin.figures import Working
from wormbin.process.replay import replay
from wormbin.process.workings import workings
from wormbin.records.bins import Method

NAMES = {
    "moisture", "total", "feed_waiting", "feed_waiting_days", "appetite", "cn", "castings_share", "harvest",
    "free_air_space", "air_reach",
}  # fmt: skip


def worked_again(opened: Working) -> float:
    known = {each.name: each.value for each in opened.inputs}
    return float(eval(opened.formula, {"__builtins__": {}, "min": min, "max": max, "sqrt": sqrt}, known))


@pytest.mark.parametrize("day", [0, 20, 90])
@pytest.mark.parametrize("parts", [1, 3])
def test_each_figure_comes_out_of_its_shown_inputs(day: int, parts: int) -> None:
    bin_ = household(compartments=parts, method=Method.UPWARD if parts > 1 else Method.SORT)
    found = replay(bin_, log_of(max(day, 1)), TABLE, moment_of(day))
    opened = workings(found.looks[-1])
    assert set(opened) == NAMES
    for name, each in opened.items():
        assert worked_again(each) == pytest.approx(each.value, rel=1e-9, abs=1e-12), name
        assert each.source
        assert each.sure
        assert each.plain


def test_the_opened_figures_are_those_of_the_day() -> None:
    found = replay(household(), log_of(60), TABLE, moment_of(60))
    opened, today = workings(found.looks[-1]), found.today
    assert opened["moisture"].value == today.moisture.p50
    assert opened["feed_waiting_days"].value == today.feed_waiting_days.p50
    assert opened["appetite"].value == today.appetite_kg_day.p50
    assert opened["free_air_space"].value == today.free_air_space.p50
    assert opened["cn"].value == today.cn.p50
