from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from tests.advice.cases import BIN, TODAY, a_case, band
from wormbin.advice.rules import harvest
from wormbin.figures import Band, Level
from wormbin.process.views import Window
from wormbin.records.bins import Method


def window(days_ahead: int | None, due_days_ago: int | None = None) -> Window:
    likely = TODAY + timedelta(days=days_ahead) if days_ahead is not None else None
    due = TODAY - timedelta(days=due_days_ago) if due_days_ago is not None else None
    return Window(likely, likely, None, due_since=due)


@pytest.mark.parametrize(
    ("ahead", "since", "code"),
    [(None, None, None), (40, None, None), (15, None, "harvest-near"), (0, 0, "harvest-due"), (0, 60, "harvest-late")],
)
def test_harvest_far_near_due_and_late(ahead: int | None, since: int | None, code: str | None) -> None:
    found = harvest.harvest(a_case(harvest=window(ahead, since)))
    assert (found.code if found else None) == code
    levels = {"harvest-near": Level.STEADY, "harvest-due": Level.WATCH, "harvest-late": Level.ACT}
    if found is not None:
        assert found.level is levels[found.code]


@pytest.mark.parametrize(
    ("early", "share", "told"), [(0, 0.71, True), (0, 0.69, False), (1, 0.71, False), (None, 0.71, False)]
)
def test_castings_that_may_be_ready_are_to_be_looked_at(early: int | None, share: float, told: bool) -> None:
    on = TODAY + timedelta(days=early) if early is not None else None
    case = a_case(
        bin=replace(BIN, harvest_share=0.8), harvest=Window(on, TODAY + timedelta(days=50), None),
        castings_share=band(share),
    )  # fmt: skip
    found = harvest.harvest(case)
    assert (found is not None and found.code == "harvest-near" and "look" in found.what) is told


def test_a_harvest_is_told_in_kg_and_litres_with_the_bins_own_way() -> None:
    case = a_case(
        bin=replace(BIN, method=Method.BAIT), harvest=window(0, 2),
        castings_dry_kg=Band.exactly(1.4), moisture=Band.exactly(0.80),
    )  # fmt: skip
    found = harvest.harvest(case)
    assert found is not None
    # 1.4 kg dry * 0.9 / 0.2 = 6.3 kg wet, 9 L at 700 kg/m3
    assert "6.3 kg of castings (9 L once loosened)" in found.what
    assert "bait" in found.do[0]
    assert "damp for 4 weeks" in found.do[1]


def test_own_lots_say_how_long_the_harvest_is_kept_damp() -> None:
    due = a_case(harvest=window(0, 2), castings_dry_kg=Band.exactly(1.4))
    told = harvest.harvest(replace(due, own_cure_days=18))
    assert told is not None
    assert any("damp for 18 days" in step for step in told.do)
    cool = harvest.harvest(replace(due, bin=replace(BIN, site_temp_c=14.0)))
    assert cool is not None
    assert any("damp for 6 weeks" in step for step in cool.do)


def test_how_sure_gives_the_window_and_no_window_when_there_is_none() -> None:
    near = harvest.harvest(a_case(harvest=Window(TODAY, TODAY + timedelta(days=9), TODAY + timedelta(days=30))))
    assert near is not None
    assert "about 29 May (now to 19 June)" in near.sure
    open_end = harvest.harvest(a_case(harvest=window(9)))
    assert open_end is not None
    assert "maybe after" in open_end.sure


def test_a_full_box_says_so_once() -> None:
    brim: dict[str, Any] = {"fullness": band(0.97, 0.01), "contents_m": band(0.29, 0.01)}
    found = harvest.full(a_case(**brim))
    assert found is not None
    assert "29 cm of 30 cm" in found.what
    assert harvest.full(a_case(harvest=window(0, 3), **brim)) is None
    assert harvest.full(a_case()) is None
    due = harvest.harvest(a_case(harvest=replace(window(0, 3), because="full"), **brim))
    assert due is not None
    assert "97% full" in due.why
