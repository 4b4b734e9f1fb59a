"""The lines that the books count with, kept beside the logs: the same sums as from the logs, and never old ones."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.farm.a_farm import kitchen, open_farm
from wormbin.farm.heading import Heading
from wormbin.farm.lots import Lots
from wormbin.farm.recording import strike
from wormbin.farm.recording.lines import record_feeding, write
from wormbin.farm.session import Session
from wormbin.records.entries import Kind
from wormbin.store import DamagedError


@pytest.fixture
def farm(tmp_path: Path) -> Session:
    farm = kitchen(tmp_path / "store", days=30)
    write(farm, "kitchen", Kind.HARVEST, {"castings": "3 kg"})
    Lots(farm).yields()
    return farm


def yields(farm: Session) -> tuple[float, float, int]:
    (found,) = Lots(farm).yields()
    return found.feed_kg, found.castings_kg, found.harvests


def test_sums_from_what_was_kept_are_those_of_the_log(farm: Session) -> None:
    kept = farm.folder / "cache" / "counted.json"
    again = open_farm(farm.folder)
    assert yields(again) == yields(farm)
    assert not again.store._books  # nothing of any log was read for it
    before = list(open_farm(farm.folder).cache.counted)
    kept.unlink()
    assert [len(log) for _, log in open_farm(farm.folder).cache.counted] == [len(log) for _, log in before]
    kept.write_bytes(kept.read_bytes()[:200])
    assert yields(open_farm(farm.folder)) == yields(farm)


def test_a_line_written_amended_or_struck_since_counts_as_it_now_stands(farm: Session) -> None:
    feed, _kg, _number = yields(farm)
    other = open_farm(farm.folder)
    said = record_feeding(other, "kitchen", ["1 kg melon rind"], heading=Heading(when="2026-06-01T09:00"), anyway=True)
    assert yields(farm)[0] == yields(other)[0] == pytest.approx(feed + 1.0)
    strike(other, said.ids[0], "not given")
    assert yields(farm)[0] == yields(open_farm(farm.folder))[0] == pytest.approx(feed)


def test_a_book_that_is_damaged_since_is_said_and_not_counted_from_what_was_kept(farm: Session) -> None:
    for book in (farm.folder / "bins/kitchen").glob("*.json"):
        book.write_bytes(book.read_bytes()[:300])
    again = open_farm(farm.folder)
    assert Lots(again).yields() == ()
    assert isinstance(again.logs.unread["kitchen"], DamagedError)
