"""A lot is found by its name in any capitals or the beginning of it; else it is asked which one is meant."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.castings.made_up import at, came
from wormbin.castings.lot import lots
from wormbin.castings.names import find_lot
from wormbin.problems import RefusedError, UnclearError

LOTS = lots([replace(came(name, at(3, 1), 1.0), lot=name) for name in ("Spring 1", "Spring 2", "autumn")])


def test_a_name_a_beginning_or_other_capitals_find_it() -> None:
    assert [find_lot(words, LOTS).name for words in ("spring  1", "AUTUMN", "au")] == ["Spring 1", "autumn", "autumn"]


def test_what_is_not_clear_is_asked() -> None:
    with pytest.raises(UnclearError) as error:
        find_lot("spr", LOTS)
    assert error.value.choices == ("Spring 1", "Spring 2")
    with pytest.raises(UnclearError, match="did you mean autumn"):
        find_lot("autum n", LOTS)
    with pytest.raises(RefusedError, match="one of your lots: Spring 1, Spring 2, autumn"):
        find_lot("winter", LOTS)
    with pytest.raises(RefusedError, match="there is none yet"):
        find_lot("winter", ())
