"""A round that fills: known rows at once, the rest beside, and the front page that the next start paints."""

from __future__ import annotations

import shutil
from datetime import timedelta
from pathlib import Path

import pytest

from tests.farm.a_farm import NOW, open_farm
from wormbin.farm import rounds, starts
from wormbin.farm.cache.rows import read_front
from wormbin.farm.recording.lines import write
from wormbin.farm.settings import change_setting
from wormbin.farm.views.bin import TroubledBin
from wormbin.farm.views.proposals import BinDraft
from wormbin.records.entries import Kind


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    farm = open_farm(tmp_path)
    started = (NOW.date() - timedelta(days=6)).isoformat()
    for key in ("one", "two"):
        starts.start(
            farm, BinDraft(key=key, length="50 cm", width="40 cm", depth="30 cm", worms="300 g", started=started)
        )
    return tmp_path


def test_a_round_left_half_filled_is_filled_the_next_time_and_loses_nothing(folder: Path) -> None:
    filling = rounds.filling(open_farm(folder))
    assert (filling.known, filling.of, filling.is_long) == ([], 2, True)
    next(filling.rest())
    # Left here: the store is as it was, and the round of the next program is whole.
    farm = open_farm(folder)
    assert [row.bin for row in rounds.rows(farm)] == ["one", "two"]
    assert rounds.filling(farm).cold == []


def test_the_front_page_is_the_round_as_long_as_nothing_changed(folder: Path) -> None:
    assert read_front(folder, NOW) is None
    rows = tuple(rounds.rows(open_farm(folder)))
    front = read_front(folder, NOW)
    assert front is not None
    assert (front.on, front.rows, front.units) == (NOW.date(), rows, "metric")
    assert read_front(folder, NOW + timedelta(days=1)) is None
    assert read_front(folder, NOW + timedelta(hours=6)) is None
    write(open_farm(folder), "one", Kind.NOTE, {"words": "turned the lid"})
    assert read_front(folder, NOW) is None


def test_a_setting_written_ends_the_front_page(folder: Path) -> None:
    list(rounds.rows(open_farm(folder)))
    change_setting(open_farm(folder), "units", "us")
    assert read_front(folder, NOW) is None


@pytest.mark.parametrize("damage", [b"", b"{", b'{"held": {}}', None])
def test_a_front_page_that_cannot_be_read_is_none_at_all(folder: Path, damage: bytes | None) -> None:
    list(rounds.rows(open_farm(folder)))
    page = folder / "cache" / "round.json"
    text = page.read_bytes()
    page.write_bytes(text.replace(b"metric", b"metriX") if damage is None else damage)
    assert read_front(folder, NOW) is None


def test_a_bin_that_cannot_be_read_is_named_and_no_front_page_leaves_it_out(folder: Path) -> None:
    (folder / "bins" / "two" / "2026.json").write_text("{ torn")
    shutil.rmtree(folder / "cache", ignore_errors=True)
    filling = rounds.filling(open_farm(folder))
    made = [filling.take(*given) for given in filling.beside()]
    filling.end()
    assert [isinstance(each, TroubledBin) for each in made] == [False, True]
    assert read_front(folder, NOW) is None
