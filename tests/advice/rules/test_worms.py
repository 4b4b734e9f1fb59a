from __future__ import annotations

from datetime import timedelta

import pytest

from tests.advice.cases import CALM_LOG, TODAY, a_case, band, days, entry, read
from wormbin.advice.rules import worms
from wormbin.figures import Level
from wormbin.records.entries import Entry, Harvest, Stocking, Survey


@pytest.mark.parametrize(("density", "level"), [(2.5, None), (0.7, None), (0.4, Level.WATCH), (0.15, Level.ACT)])
def test_few_worms(density: float, level: Level | None) -> None:
    found = worms.too_few(a_case(worms_kg=band(density * 0.2, 0.05)))
    assert (found.level if found else None) is level


def test_few_worms_are_told_how_many_to_add_or_how_little_to_feed() -> None:
    found = worms.too_few(a_case(worms_kg=band(0.08, 0.05), appetite_kg_day=band(0.05)))
    assert found is not None
    assert "240 g of worms" in found.do[0]
    assert found.do[1] == "feed no more than {week} a week with so few", "the ration fills it in"
    assert "worm survey" in found.do[2]
    counted = worms.too_few(a_case(worms_kg=band(0.08, 0.05), judged=(read("worms_kg", 0.08, TODAY),)))
    assert counted is not None
    assert not any("survey" in step for step in counted.do)


def test_a_bin_not_yet_stocked_has_not_too_few() -> None:
    assert worms.too_few(a_case(worms_kg=band(0.0), entries=())) is None


@pytest.mark.parametrize(("density", "level"), [(4.0, None), (5.5, Level.WATCH), (8.5, Level.ACT)])
def test_crowding(density: float, level: Level | None) -> None:
    found = worms.too_crowded(a_case(worms_kg=band(density * 0.2, 0.05)))
    assert (found.level if found else None) is level
    if found is not None:
        assert "take out about" in found.do[0]


def falling_from(first: float, last: float, log: tuple[Entry, ...] = CALM_LOG, count: int = 28) -> Level | None:
    step = (last / first) ** (1 / (count - 1))
    case = a_case(days([{"worms_kg": band(first * step**n)} for n in range(count)]), entries=log)
    found = worms.falling(case)
    return found.level if found else None


def test_a_herd_that_shrinks_by_itself() -> None:
    assert falling_from(0.5, 0.46) is None
    assert falling_from(0.5, 0.38) is Level.WATCH
    assert falling_from(0.5, 0.25) is Level.ACT
    assert falling_from(0.4, 0.5) is None


def test_a_fall_counts_for_four_weeks() -> None:
    """The herd was largest on the last day before it fell: that day counts for 28 days, and on the 29th it is over."""
    for ago, counts in ((28, True), (29, False)):
        rows = days([{"worms_kg": band(0.5)}] * 10 + [{"worms_kg": band(0.35)}] * ago)
        assert (worms.lost_share(a_case(rows))[-1][1] > 0.29) is counts


def test_worms_taken_out_or_recounted_are_no_fall() -> None:
    def case(what: Harvest | Stocking | Survey) -> object:
        on = TODAY - timedelta(days=5)
        rows = days([{"worms_kg": band(0.5)}] * 20 + [{"worms_kg": band(0.25)}] * 6)
        return worms.falling(a_case(rows, entries=(*CALM_LOG[:-1], entry(what, on), CALM_LOG[-1])))

    assert case(Stocking(-0.25)) is None
    assert case(Harvest(5.0, worms_out_kg=0.25)) is None
    assert case(Survey(())) is None
    assert case(Harvest(5.0)) is not None


def test_a_fall_is_told_in_grams_and_percent() -> None:
    rows = days([{"worms_kg": band(0.5)}] * 20 + [{"worms_kg": band(0.35)}] * 6)
    found = worms.falling(a_case(rows))
    assert found is not None
    assert "30% lost" in found.what
    assert "350 g left" in found.what
