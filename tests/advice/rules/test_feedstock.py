from __future__ import annotations

from datetime import timedelta
from typing import Any

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
    assert "10 g of crushed eggshell" in found.do[1]
    assert "never slaked" in found.caution


def test_a_slice_of_lemon_is_no_finding_and_old_citrus_is_forgotten() -> None:
    few = (*CALM_LOG, fed(0.1, TODAY, "citrus-peel"))
    assert feedstock.sour(a_case(entries=few)) is None
    old = (stocked(), fed(2.0, TODAY - timedelta(days=20), "citrus-peel"), fed(0.5, TODAY))
    assert feedstock.sour(a_case(entries=old)) is None
