"""A bin in which nothing is by its log says so, wherever it is shown; none of its figures is made up."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.farm.a_farm import kitchen, open_farm
from wormbin.farm import bins, log_files, recording, rounds
from wormbin.farm.bins.gauges import SHARES
from wormbin.farm.bins.workings import CODES, HAS_NONE
from wormbin.farm.session import Session
from wormbin.figures import Level
from wormbin.pages.page import lines
from wormbin.pages.sums import sums
from wormbin.problems import RefusedError


@pytest.fixture
def emptied(tmp_path: Path) -> Session:
    """A store whose import was taken back: the bin is there, and nothing is in it."""
    log_files.write_out(kitchen(tmp_path / "one"), tmp_path / "files")
    farm = open_farm(tmp_path / "other")
    log_files.bring_in(farm, tmp_path / "files")
    recording.undo(farm)
    return farm


def test_the_round_says_that_nothing_is_in_and_asks_for_no_water(emptied: Session) -> None:
    (row,) = rounds.view(emptied).rows
    assert row.headline == "by the log this bin is empty"
    assert row.level is Level.WATCH
    assert row.do[0] == "write down the bedding, the water and the worms in it"
    assert not any("add" in step or "squeeze" in step for step in row.do)


def test_every_figure_of_it_opens_or_says_that_there_is_none(emptied: Session) -> None:
    for gauge in bins.look(emptied, "kitchen").gauges:
        assert ("nothing is in" in gauge.words) is (gauge.code in SHARES)
        assert (gauge.said() == "not known") is (gauge.code in SHARES)
    for code in CODES:
        if code in HAS_NONE:
            with pytest.raises(RefusedError, match="Nothing is in this bin by the log"):
                bins.working(emptied, "kitchen", code)
        else:
            lines(sums(bins.working(emptied, "kitchen", code)))


def test_with_the_lines_back_it_is_judged_as_before(emptied: Session) -> None:
    recording.redo(emptied)
    (row,) = rounds.view(emptied).rows
    assert "nothing is in" not in row.headline
    assert lines(sums(bins.working(emptied, "kitchen", "moisture")))
