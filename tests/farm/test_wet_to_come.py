"""A box without holes that the planned feeding would drown: said in time, and mended by the bedding that is named."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from tests.farm.a_farm import NOW, open_farm
from wormbin.farm import bins, feedings, rounds, starts
from wormbin.farm.heading import Heading
from wormbin.farm.recording.lines import record_feeding
from wormbin.farm.session import Session
from wormbin.farm.views.proposals import BinDraft
from wormbin.process.outlook import look_ahead


@pytest.fixture(scope="module")
def farm(tmp_path_factory: pytest.TempPathFactory) -> Session:
    """Six weeks of 1.2 kg of melon a week in a closed box without drainage."""
    return drowning(tmp_path_factory.mktemp("farm"))


def drowning(folder: Path) -> Session:
    farm = open_farm(folder)
    started = NOW.date() - timedelta(days=42)
    starts.start(farm,
        BinDraft(
            key="kitchen", length="60 cm", width="40 cm", depth="30 cm", drainage="no", cover="closed", worms="700 g",
            started=started.isoformat(),
        )
    )  # fmt: skip
    for number in range(14, 42, 7):
        when = Heading(when=f"{(started + timedelta(days=number)).isoformat()}T08:00")
        record_feeding(farm, "kitchen", ["1.2 kg melon rind"], heading=when, anyway=True)
    return farm


def test_it_is_said_before_it_is_wet_with_the_bedding_to_each_feeding(farm: Session) -> None:
    view = bins.look(farm, "kitchen")
    told = next(found for found in view.findings if found.code == "wet-ahead")
    assert told.what.startswith("if you feed as planned, it is too wet by ")
    assert "shredded corrugated cardboard over each feeding" in told.do[0]


def test_with_that_bedding_the_look_ahead_stays_inside_the_aim(farm: Session) -> None:
    scene = farm.scene("kitchen")
    high = scene.settings.moisture_high
    assert max(day.moisture.p50 for day in scene.ahead.days) > high + 0.02
    plan = [
        replace(each, bedding_kg=each.bedding_kg + scene.bedding_with(each.feed_kg)[0], bedding="shredded-cardboard")
        for each in scene.plan
    ]
    mended = look_ahead(scene.past.replay, plan, scene.ahead_days)
    assert max(day.moisture.p50 for day in mended.days) <= high + 0.01
    assert min(day.moisture.p50 for day in mended.days) >= scene.settings.moisture_low - 0.02


def test_sheet_calendar_outlook_and_the_feeding_itself_carry_it(farm: Session) -> None:
    sheet = "\n".join(rounds.sheet(farm, "kitchen"))
    assert "of feed" not in sheet
    assert "dry shredded corrugated cardboard" in " ".join(sheet.split())
    calendar = rounds.calendar(farm).replace("\r\n ", "")
    assert "with" in next(line for line in calendar.splitlines() if line.startswith("DESCRIPTION:") and "Feed " in line)
    planned = bins.outlook(farm, "kitchen")["planned"]
    assert isinstance(planned, list)
    assert all(each["advised_bedding_kg"] > 0 for each in planned)
    scene = farm.scene("kitchen")
    wanted, _name = scene.bedding_with(0.5)
    proposed = feedings.preview(farm, "kitchen", ["500 g melon rind"])
    assert sum(each.kg for each in proposed.proposal.beddings) >= 0.9 * wanted
