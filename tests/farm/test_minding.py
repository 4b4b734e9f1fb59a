"""A caution is told beside the steps, and is never a step to tick off."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from tests.cli.running import run
from tests.farm.a_farm import kitchen, open_farm
from wormbin.advice.finding import Action, Doing, Finding
from wormbin.advice.judgement import judge
from wormbin.figures import Level
from wormbin.science.cautions import CAUTIONS

LIME_CAUTION = CAUTIONS["lime"].text
SOUR = Finding(
    "acid", Level.WATCH, "sour", "sour feed",
    (Action(Doing.LIME, "strew 10 g of crushed eggshell"), Action(Doing.CAUTION, LIME_CAUTION)), "sure",
)  # fmt: skip


def test_a_finding_keeps_its_caution_apart_from_its_steps() -> None:
    assert SOUR.do == ("strew 10 g of crushed eggshell",)
    assert SOUR.caution == LIME_CAUTION


def test_round_outlook_and_sheet_mind_it_in_a_line_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    kitchen(tmp_path, days=10)
    plain = judge(open_farm(tmp_path).scene("kitchen").case)
    monkeypatch.setattr("wormbin.farm.bins.scene.judge", lambda case, until: replace(plain, findings=(SOUR,)))
    for command in (("round",), ("outlook", "kitchen", "--days", "5"), ("sheet", "kitchen")):
        lines = run(tmp_path, *command).out.splitlines()
        (minded, *_) = [line.strip() for line in lines if "slaked" in line]
        assert minded.startswith("mind: never slaked")
    told = run(tmp_path, "round", "--json").out
    assert f'"caution": "{LIME_CAUTION}"' in told
