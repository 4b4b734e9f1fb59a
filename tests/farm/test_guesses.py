"""What was expected, beside what came: kept both, and no sum of the bin knows of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.running import run
from tests.farm.a_farm import kitchen
from wormbin.farm import guesses, rounds
from wormbin.farm.heading import Heading
from wormbin.farm.recording.lines import write
from wormbin.farm.session import Session
from wormbin.problems import RefusedError
from wormbin.records.entries import Kind


@pytest.fixture(scope="module")
def farm(tmp_path_factory: pytest.TempPathFactory) -> Session:
    return kitchen(tmp_path_factory.mktemp("guesses"))


def _guess(farm: Session, when: str, by: str = "Ana", **said: str) -> None:
    write(farm, "kitchen", Kind.GUESS, said, Heading(when=when, by=by))


def test_what_was_read_is_held_against_a_guess_else_what_was_worked_out(farm: Session) -> None:
    before = rounds.view(farm).rows
    for when, moisture in (("2026-05-20T10:00", "60"), ("2026-05-24T10:00", "70")):
        _guess(farm, when, moisture=moisture, worms="450 g", harvest="2026-07-01")
    assert rounds.view(farm).rows == before  # none of it moved a figure, an age, a day
    for when, by, read in (("2026-05-23T09:00", "Ben", "78"), ("2026-05-23T09:05", "Cleo", "82")):
        write(farm, "kitchen", Kind.CHECK, {"moisture": read, "moisture_by": "meter"}, Heading(when=when, by=by))
    view = guesses.view(farm, "kitchen")
    first, second = (row for row in view.rows if row.quantity == "moisture")
    assert first.read  # three days later is soon enough: the mean of the two of that day
    assert first.came == pytest.approx(0.80)
    assert first.off == "20 points under"
    assert not second.read
    assert "worked out" in second.came_words
    harvest = next(row for row in view.rows if row.quantity == "harvest")
    assert (harvest.came, harvest.came_words, harvest.off) == (None, "", "")
    assert [len(series.readings) for series in view.charts] == [2, 2]
    assert view.off_by("moisture")[0] == pytest.approx(0.20)


def test_a_guess_of_nothing_is_refused(farm: Session) -> None:
    with pytest.raises(RefusedError, match="a moisture, worms or a day"):
        _guess(farm, "2026-05-20")


def test_a_harvest_day_is_held_against_the_harvest_and_all_of_it_comes_back_from_a_file(tmp_path: Path) -> None:
    farm = kitchen(tmp_path / "store")
    _guess(farm, "2026-05-21", by="Ben", worms="400 worms", harvest="2026-05-28")
    write(farm, "kitchen", Kind.HARVEST, {"castings": "1 kg"}, Heading(when="2026-05-30"))
    row = guesses.view(farm, "kitchen").rows[-1]
    assert row.off == "2 days early"
    assert run(tmp_path / "store", "export", str(tmp_path / "out")).code == 0
    other = tmp_path / "other"
    assert run(other, "import", str(tmp_path / "out")).code == 0
    told = [run(store, "guesses", "kitchen", "--json").out for store in (tmp_path / "store", other)]
    assert told[0] == told[1]
    assert "2 days early" in told[1]
