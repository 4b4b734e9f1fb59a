from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from tests.advice.cases import CALM_LOG, TODAY, a_case, band, fed, piled, stocked
from wormbin.advice.rules import feedstock
from wormbin.figures import Level


def test_low_nitrogen_ratio_is_a_finding_and_high_is_none() -> None:
    rich: dict[str, Any] = {"cn": band(12.0, 0.05), **piled(3.0)}
    found = feedstock.nitrogen_rich(a_case(**rich))
    assert found is not None
    assert found.level is Level.ACT
    assert "g dry shredded cardboard" in found.do[0] or "kg dry shredded cardboard" in found.do[0]
    assert feedstock.nitrogen_rich(a_case(cn=band(80.0))) is None


def test_rich_leftovers_too_small_to_matter_are_no_finding() -> None:
    assert feedstock.nitrogen_rich(a_case(cn=band(12.0), **piled(0.2, 0.05))) is None


def test_much_citrus_in_two_weeks_is_a_finding_with_an_end_and_an_amount_of_lime() -> None:
    log = (stocked(), *(fed(0.6, TODAY - timedelta(days=n), "citrus-peel") for n in (9, 6, 3)), fed(0.4, TODAY))
    found = feedstock.sour(a_case(entries=log))
    assert found is not None
    assert found.level is Level.ACT
    assert "82%" in found.what
    assert "3 June" in found.do[0]
    # of 1.8 kg the 400 g of the last two days can still be found, fresh enough to freeze
    assert found.do[1] == "take out about 400 g of food. Freeze it"
    assert found.do[2].startswith("do not feed until about 27 May")
    assert "10 g of crushed eggshell" in found.do[3]
    assert "never slaked" in found.caution


@pytest.mark.parametrize(("share", "level"), [(0.49, None), (0.51, Level.WATCH)])
def test_over_half_of_it_sour_is_a_watch_with_no_hold(share: float, level: Level | None) -> None:
    """1.1 kg, under a seventh of the 8 kg in the bin."""
    sour = tuple(fed(share * 1.1, TODAY - timedelta(days=n), "citrus-peel") for n in (8, 5))
    rest = tuple(fed((1 - share) * 1.1, TODAY - timedelta(days=n), hour=19) for n in (8, 5))
    found = feedstock.sour(a_case(entries=(stocked(), *sour, *rest)))
    assert (found.level if found else None) is level
    if found is not None:
        assert found.brake == 1.0
        assert not any("take out" in step for step in found.do)


@pytest.mark.parametrize(("kg", "level"), [(1.19, Level.WATCH), (1.21, Level.ACT)])
def test_over_a_seventh_of_the_contents_sour_harms(kg: float, level: Level) -> None:
    found = feedstock.sour(a_case(entries=(stocked(), fed(kg, TODAY, "citrus-peel"))))
    assert found is not None
    assert found.level is level
    assert (found.brake == 0.0) is (level is Level.ACT)


@pytest.mark.parametrize(("kg", "told"), [(0.49, False), (0.51, True)])
def test_sour_feed_counts_over_two_days_work(kg: float, told: bool) -> None:
    log = (stocked(), fed(kg, TODAY, "citrus-peel"))
    assert (feedstock.sour(a_case(entries=log)) is not None) is told


def test_a_slice_of_lemon_is_no_finding_and_old_citrus_is_forgotten() -> None:
    few = (*CALM_LOG, fed(0.1, TODAY, "citrus-peel"))
    assert feedstock.sour(a_case(entries=few)) is None
    old = (stocked(), fed(2.0, TODAY - timedelta(days=20), "citrus-peel"), fed(0.5, TODAY))
    assert feedstock.sour(a_case(entries=old)) is None
