"""Three weeks without a line, through the doorway: one stretch for catching up, the model and what advice looks at."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from tests.farm.a_farm import NOW, kitchen, open_farm
from wormbin.farm import recording
from wormbin.farm.recording.lines import record_caught_up, record_not_known, write
from wormbin.farm.session import Session
from wormbin.farm.settings import change_setting
from wormbin.records.entries import Kind
from wormbin.records.farms import Away

BACK = NOW + timedelta(days=21)


def forgotten(folder: Path) -> Session:
    kitchen(folder)
    return open_farm(folder, BACK)


def test_catching_up_the_model_and_advice_mean_the_same_days(tmp_path: Path) -> None:
    farm = forgotten(tmp_path)
    scene = farm.scene("kitchen")
    (gap,) = recording.forgotten(farm, "kitchen")
    (silence,) = scene.past.silences
    assert (gap.first, gap.last) == (silence.first, silence.last)
    assert scene.case.silence == silence
    write(farm, "kitchen", Kind.CHECK, {"squeeze": "sponge"})
    assert farm.scene("kitchen").case.silence == silence
    write(open_farm(tmp_path, BACK + timedelta(days=2)), "kitchen", Kind.CHECK, {"squeeze": "sponge"})
    assert open_farm(tmp_path, BACK + timedelta(days=2)).scene("kitchen").case.silence is None


def test_days_caught_up_are_no_silence_and_those_marked_unknown_stay_one(tmp_path: Path) -> None:
    farm = forgotten(tmp_path / "known")
    (gap,) = recording.forgotten(farm, "kitchen")
    record_caught_up(farm, "kitchen", gap.likely, gap.bucket, "ada")
    assert farm.scene("kitchen").case.silence is None
    farm = forgotten(tmp_path / "unknown")
    wide = farm.scene("kitchen").past.today
    record_not_known(farm, "kitchen", gap)
    scene = farm.scene("kitchen")
    assert scene.case.silence is not None
    assert scene.case.silence.marked
    for name in ("moisture", "feed_waiting_kg", "worms_kg", "castings_dry_kg"):
        marked, plain = getattr(scene.past.today, name), getattr(wide, name)
        assert (marked.p10, marked.p90) == pytest.approx((plain.p10, plain.p90), rel=0.02), name


def test_an_absence_told_afterwards_makes_the_silence_known_and_taken_back_unknown_again(tmp_path: Path) -> None:
    farm = forgotten(tmp_path)
    before = farm.scene("kitchen").past.today
    change_setting(farm, "away", "2026-05-25 to 2026-06-21: at sea")
    assert farm.settings().away[0] == Away(
        (NOW - timedelta(days=7)).date(), (NOW + timedelta(days=20)).date(), "at sea"
    )
    gone = farm.scene("kitchen")
    assert gone.past.silences == ()
    assert gone.case.silence is None
    assert gone.past.today.feed_waiting_kg.p90 < 0.2 * before.feed_waiting_kg.p90
    assert open_farm(tmp_path, BACK).scene("kitchen").past.today == gone.past.today
    change_setting(farm, "away", "")
    assert farm.scene("kitchen").past.today == before
