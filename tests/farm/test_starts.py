"""A bin's beginning as proposed and written: the first bed of whatever is at hand, by its room, checked by hand."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from tests.cli.running import run
from tests.farm.a_farm import open_farm
from wormbin.farm import starts
from wormbin.farm.feedings import preview
from wormbin.farm.recording.lines import record_feeding
from wormbin.farm.views.proposals import BinDraft
from wormbin.figures import Level

BOX = ("--length", "60cm", "--width", "40cm", "--depth", "30cm", "--drainage", "yes")
ROOM_M3 = 0.60 * 0.40 * 0.20
"""Two thirds of a box of 30 cm (NYC Compost Project 2012)."""

# Loose bulk density kg/m3 and moisture: board and newspaper shredded, straw and shavings loose, all from memory; coir
# 40-80 dry (Evans et al. 1996); leaves 60-80 (Alberta Agriculture, Manure Composting Manual 2005, Table 3).
BEDDINGS = {
    "shredded cardboard": (40.0, 0.08),
    "newspaper": (60.0, 0.06),
    "coir": (80.0, 0.15),
    "dry leaves": (70.0, 0.35),
    "straw": (60.0, 0.12),
    "wood shavings": (110.0, 0.15),
}


def proposed(store: Path, *on_hand: str) -> tuple[dict[str, float], float]:
    """The bedding by key, and the water, kg."""
    for words in on_hand:
        assert run(store, "settings", "on-hand", words).code == 0
    said = json.loads(run(store, "start", "new", *BOX, "--json").out)
    return {each["material"]: each["kg"] for each in said["bedding"]}, said["water_kg"]


@pytest.mark.parametrize("name", BEDDINGS)
def test_the_first_bed_fills_its_room_whatever_it_is_made_of(name: str, tmp_path: Path) -> None:
    density, moisture = BEDDINGS[name]
    bedding, water = proposed(tmp_path, f"20 kg {name}")
    kg = ROOM_M3 * density
    assert next(iter(bedding.values())) == pytest.approx(kg, abs=1e-3)
    # Soaked to 78 %, a wrung sponge: water over dry matter is 0.78 / 0.22, less what it holds already.
    assert water == pytest.approx(kg * (1 - moisture) * 78 / 22 - kg * moisture, abs=0.01)
    assert list(bedding)[1:] == ["grit"]


def test_a_handful_of_castings_goes_in_where_there_are_some(tmp_path: Path) -> None:
    bedding, _water = proposed(tmp_path, "3 kg vermicast")
    assert bedding["vermicast"] == pytest.approx(0.1)
    assert bedding["shredded-cardboard"] > 1.5


def test_board_makes_up_the_room_that_what_is_at_hand_leaves(tmp_path: Path) -> None:
    bedding, _water = proposed(tmp_path, "2.64 kg wood shavings")
    assert bedding["wood-shavings"] == pytest.approx(2.64), "half of the room"
    assert bedding["shredded-cardboard"] == pytest.approx(0.5 * ROOM_M3 * 40.0, abs=1e-3)


def test_boxes_lie_as_shredded_board_once_they_are_torn(tmp_path: Path) -> None:
    bedding, _water = proposed(tmp_path, "20 kg flattened cardboard")
    assert bedding["flattened-cardboard"] == pytest.approx(ROOM_M3 * 40.0, abs=1e-3)


def test_a_second_bin_is_begun_with_what_the_first_one_left(tmp_path: Path) -> None:
    run(tmp_path, "settings", "on-hand", "3 kg newspaper")
    assert run(tmp_path, "start", "first", *BOX, "--yes").code == 0
    bedding, _water = proposed(tmp_path)
    assert bedding["newspaper"] == pytest.approx(3.0 - ROOM_M3 * 60.0, abs=1e-3)
    assert bedding["shredded-cardboard"] > 1.5


@pytest.mark.parametrize(("long", "wide", "boxes"), [("60cm", "40cm", 4), ("55cm", "38cm", 3)])
def test_board_is_also_told_in_boxes_of_half_a_kilogram(long: str, wide: str, boxes: int, tmp_path: Path) -> None:
    # 1.92 kg and 1.67 kg of board; a middling corrugated box weighs half a kilogram (from memory).
    told = run(tmp_path, "start", "new", "--length", long, "--width", wide, "--depth", "30cm").out
    assert f"about {boxes} cardboard boxes of 500 g" in " ".join(told.split())


def test_the_plan_of_the_first_weeks_is_what_the_ration_then_accepts(tmp_path: Path) -> None:
    """Six weeks by commands, fed as the plan says: no feeding is answered "too much"."""
    start = datetime(2026, 9, 7, 9, 0, tzinfo=UTC)
    box = BinDraft(key="new", length="60 cm", width="40 cm", depth="30 cm", worms="250 g", feed_days="wednesday")
    weekly = starts.propose(open_farm(tmp_path, start), box).feed_kg_week
    starts.start(open_farm(tmp_path, start), box)
    for week, kg in enumerate(weekly):
        farm = open_farm(tmp_path, start + timedelta(days=7 * week + 2))
        feed = [f"{kg * 1000:.0f} g vegetable scraps"]
        told = preview(farm, "new", feed)
        assert told.level is Level.STEADY, (week, told.verdict)
        record_feeding(farm, "new", feed)


def test_worms_that_nobody_named_are_asked_for_until_they_are_written_down(tmp_path: Path) -> None:
    told = " ".join(run(tmp_path, "start", "new", *BOX, "--yes").out.split())
    assert "worms" not in told
    plan = " ".join(run(tmp_path, "start", "other", *BOX).out.split())
    assert "4. Worms: none yet; 380 g to 1.2 kg fit this box. Write them down when they are in" in plan
    assert "The log will have bedding and water, and no worms yet," in plan
    assert "no worms in this bin yet" in run(tmp_path, "round").out
    run(tmp_path, "stock", "new", "380 g")
    assert "no worms" not in run(tmp_path, "round").out
