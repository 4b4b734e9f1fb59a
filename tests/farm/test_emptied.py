"""A bin in which nothing is by its log says so, wherever it is shown; none of its figures is made up."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.farm.a_farm import farmstead, kitchen
from wormbin.farm.doorway import Farmstead
from wormbin.farm.gauging import SHARES
from wormbin.farm.workings import CODES, HAS_NONE
from wormbin.figures import Level
from wormbin.pages.page import lines
from wormbin.pages.sums import sums
from wormbin.problems import RefusedError
from wormbin.tui.widgets.gauges import gauge_of


@pytest.fixture
def emptied(tmp_path: Path) -> Farmstead:
    """A store whose import was taken back: the bin is there, and nothing is in it."""
    kitchen(tmp_path / "one").export_folder(tmp_path / "files")
    farm = farmstead(tmp_path / "other")
    farm.import_folder(tmp_path / "files")
    farm.undo()
    return farm


def test_the_round_says_that_nothing_is_in_and_asks_for_no_water(emptied: Farmstead) -> None:
    (row,) = emptied.round().rows
    assert row.headline == "nothing is in this bin by the log"
    assert row.level is Level.WATCH
    assert row.do[0] == "write down the bedding, the water and the worms that are in it"
    assert not any("add" in step or "squeeze" in step for step in row.do)


def test_every_figure_of_it_opens_or_says_that_there_is_none(emptied: Farmstead) -> None:
    for gauge in emptied.look("kitchen").gauges:
        assert ("nothing is in" in gauge.words) is (gauge.code in SHARES)
        assert (gauge_of(gauge, "metric").words() == "not known") is (gauge.code in SHARES)
    for code in CODES:
        if code in HAS_NONE:
            with pytest.raises(RefusedError, match="Nothing is in this bin by the log"):
                emptied.working("kitchen", code)
        else:
            lines(sums(emptied.working("kitchen", code)))


def test_with_the_lines_back_it_is_judged_as_before(emptied: Farmstead) -> None:
    emptied.redo()
    (row,) = emptied.round().rows
    assert "nothing is in" not in row.headline
    assert lines(sums(emptied.working("kitchen", "moisture")))
