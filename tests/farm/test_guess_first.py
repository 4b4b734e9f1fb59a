"""Guess first: no figure of a bin is shown in round or outlook before the guess of the day is written."""

from __future__ import annotations

from pathlib import Path

from tests.cli.running import run
from tests.farm.a_farm import kitchen
from wormbin.cli.exits import Exit
from wormbin.farm.settings import change_setting


def test_round_and_outlook_show_figures_after_the_guess(tmp_path: Path) -> None:
    farm = kitchen(tmp_path, days=6)
    before = run(tmp_path, "round").out
    assert "moisture" in before
    change_setting(farm, "guess-first", "yes")
    for words in (("round",), ("round", "--full")):
        hidden = run(tmp_path, *words).out
        assert "guess" in hidden
        assert "moisture 7" not in hidden
    held = run(tmp_path, "outlook", "kitchen")
    assert (held.code, held.out) == (Exit.HELD_BACK, "")
    assert "wormbin guess kitchen" in held.err
    assert run(tmp_path, "guess", "kitchen", "--moisture", "75").code == 0
    assert run(tmp_path, "round").out == before
    assert run(tmp_path, "outlook", "kitchen").code == 0
