"""Taking back says what stands now, and can itself be taken back."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.farm.a_farm import kitchen
from wormbin.problems import RefusedError


def test_a_strike_taken_back_says_that_the_line_stands_again_and_can_be_struck_again(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    line = farm.record_water("kitchen", "300 mL").ids[0]
    farm.strike(line, "another bin")
    assert farm.undo().sentence.startswith("the strike is taken back, the line stands again: watered 300 mL")
    assert farm.find_entry(line).struck is None
    assert farm.redo().sentence.startswith("struck through again: watered 300 mL")
    assert farm.find_entry(line).struck is not None
    with pytest.raises(RefusedError):
        farm.redo()


def test_a_line_taken_back_is_done_again(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    line = farm.record_water("kitchen", "300 mL").ids[0]
    assert "taken back" in farm.undo().sentence
    assert farm.find_entry(line).struck is not None
    assert farm.redo().sentence.startswith("done again")
    assert farm.find_entry(line).struck is None
