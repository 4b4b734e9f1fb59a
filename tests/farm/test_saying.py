"""The checks of ``saying`` can fail: rows that contradict themselves, or say what nobody can know, are told."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from tests.farm.a_farm import kitchen
from tests.farm.saying import contradictions, oddities
from wormbin.farm.bins.row import row
from wormbin.farm.views.round import RoundRow


@pytest.fixture(scope="module")
def good(tmp_path_factory: pytest.TempPathFactory) -> RoundRow:
    folder: Path = tmp_path_factory.mktemp("kitchen")
    return row(kitchen(folder).scene("kitchen"))


def test_a_row_that_is_right_is_left_alone(good: RoundRow) -> None:
    assert list(contradictions(good)) == []
    assert list(oddities(good)) == []


@pytest.mark.parametrize(
    "steps",
    [
        ("feed up to 300 g", "do not feed until about 3 May"),
        ("feed up to 300 g", "feed no more before the harvest"),
        ("add 300 mL of water as a spray", "lift and fluff, and leave the cover loose"),
    ],
)
def test_two_steps_that_cannot_both_be_done_are_seen(good: RoundRow, steps: tuple[str, ...]) -> None:
    assert list(contradictions(replace(good, do=steps)))


def test_two_findings_that_cannot_both_be_so_are_seen_in_one_tray_only(good: RoundRow) -> None:
    one = good.findings[0]
    both = (replace(one, code="too-wet"), replace(one, code="too-dry"))
    assert list(contradictions(replace(good, findings=both)))
    apart = (replace(both[0], compartment=1), replace(both[1], compartment=2))
    assert not [each for each in contradictions(replace(good, findings=apart)) if "too-dry" in each]


@pytest.mark.parametrize(
    "words", ["rests on a oven test", "due for 1 days", "read on today", "what waits is 43293816863% of it", "x" * 170]
)
def test_slips_are_seen(good: RoundRow, words: str) -> None:
    assert list(oddities(replace(good, headline=words)))
