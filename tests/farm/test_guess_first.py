"""Guess first: no figure of a bin is shown in round or outlook before the guess of the day is written."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from tests.cli.running import run
from tests.farm.a_farm import kitchen
from wormbin.advice.finding import Action, Doing, Finding
from wormbin.cli.output import Exit
from wormbin.farm import guesses, rounds
from wormbin.farm.settings import change_setting
from wormbin.figures import Level


def test_round_and_outlook_show_figures_after_the_guess(tmp_path: Path) -> None:
    farm = kitchen(tmp_path, days=6)
    before = run(tmp_path, "round").out
    assert "moisture" in before
    change_setting(farm, "guess-first", "yes")
    for words in (("round",), ("round", "--full")):
        hidden = run(tmp_path, *words).out
        assert "guess" in hidden
        assert "moisture 7" not in hidden
    row = json.loads(run(tmp_path, "round", "--json").out)["bins"][0]
    assert row["guess"] is True
    assert not {"moisture", "worms_kg", "harvest", "also"} & row.keys()
    for more in ((), ("--json",), ("--explain", "moisture")):
        held = run(tmp_path, "outlook", "kitchen", *more)
        assert (held.code, held.out) == (Exit.HELD_BACK, "")
        assert "wormbin guess kitchen" in held.err
    assert run(tmp_path, "guess", "kitchen", "--moisture", "75").code == 0
    assert run(tmp_path, "round").out == before
    assert run(tmp_path, "outlook", "kitchen").code == 0


def _of(code: str, alarm: Level, do: str, kind: Doing) -> Finding:
    return Finding(code, alarm, f"what of {code}", "why", (Action(kind, do),), "sure")


@pytest.mark.parametrize(
    ("found", "told"),
    [
        (_of("too-wet", Level.WATCH, "lay paper on", Doing.BEDDING), False),
        (_of("too-wet", Level.ACT, "lay paper on", Doing.BEDDING), True),
        (_of("dying", Level.ACT, "move the worms", Doing.EMERGENCY), True),
        (_of("harvest-late", Level.ACT, "take off 3 kg", Doing.HARVEST), False),
        (_of("flies", Level.WATCH, "bury the food", Doing.PESTS), True),
    ],
)  # fmt: skip
def test_what_tells_the_figure_waits_for_the_guess_and_what_may_not_wait_does_not(
    tmp_path: Path, found: Finding, told: bool
) -> None:
    row = rounds.view(kitchen(tmp_path, days=2)).rows[0]
    full = replace(row, headline=found.what, findings=(found,), do=found.do, doing=(found.actions[0].kind,))
    shown = guesses.covered(full)
    assert shown.guess
    assert (shown.headline, shown.do) == ((found.what, found.do) if told else ("guess first, then look", ()))
    assert shown.level is (found.level if told else Level.STEADY)
