"""A line put right is counted once: its preview stands on a bin without the wrong line."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from tests.farm.a_farm import NOW, farmstead, kitchen
from wormbin.farm.heading import Heading


def test_the_preview_of_an_amended_feeding_leaves_the_wrong_line_out(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    before = farm.preview_feeding("kitchen", ["300 g melon rind"])
    wrong = farm.record_feeding("kitchen", ["3 kg melon rind"], anyway=True).ids[0]
    twice = farm.preview_feeding("kitchen", ["300 g melon rind"])
    right = farm.preview_feeding("kitchen", ["300 g melon rind"], heading=replace(Heading(), replaces=wrong))
    assert twice.share > before.share + 0.2
    assert right.share == pytest.approx(before.share, rel=0.02)
    assert right.waiting_days_after.p50 == pytest.approx(before.waiting_days_after.p50, rel=0.05)
    farm.record_feeding("kitchen", ["300 g melon rind"], heading=Heading(replaces=wrong))
    assert farm.scene("kitchen").past.today.feed_waiting_kg.p50 < 0.9


def test_an_old_feeding_is_put_right_on_its_own_day(tmp_path: Path) -> None:
    """The bin of that day is looked at, without the line; nothing is kept of the other past."""
    farm = kitchen(tmp_path)
    day = NOW.date().replace(month=5, day=20)
    when = f"{day.isoformat()}T07:00"
    wrong = farm.record_feeding("kitchen", ["2 kg melon rind"], heading=Heading(when=when), anyway=True).ids[0]
    now = farm.look("kitchen").gauges
    view = farm.preview_feeding("kitchen", ["200 g melon rind"], heading=Heading(when=when, replaces=wrong))
    assert view.waiting_days_after.p50 < 4
    assert farm.look("kitchen").gauges == now
    assert farmstead(tmp_path).look("kitchen").gauges == now
