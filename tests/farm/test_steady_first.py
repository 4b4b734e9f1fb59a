"""A bin in which all is well says so first; what may be done besides lies below, and is no step."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from tests.farm.a_farm import kitchen
from wormbin.advice.judgement import level
from wormbin.farm.bins.row import BEHIND, also, do_now, headline, row
from wormbin.farm.samples import copy_sample
from wormbin.farm.session import Session
from wormbin.figures import Level


@pytest.fixture(scope="module")
def farm(tmp_path_factory: pytest.TempPathFactory) -> Session:
    return copy_sample("apartment", tmp_path_factory.mktemp("apartment"), worked_out=False).session()


def test_a_steady_bin_never_leads_with_what_is_only_to_come_or_only_asked_for(farm: Session) -> None:
    one, seen = farm.bin("kitchen"), 0
    for n in range(5, 150, 12):
        scene = farm.scene(one.key, one.started + timedelta(days=n))
        told = row(scene)
        if told.level is not Level.STEADY:
            assert told.also == ()
            assert told.headline == scene.findings[0].what
            continue
        behind = [each for each in scene.findings if each.code in BEHIND]
        if behind and len(behind) == len(scene.findings):
            seen += 1
            assert told.headline.startswith(("all well", "nothing pressing"))
            assert all(step not in told.do for each in behind for step in each.do)
        assert all(step.startswith(("feed", "look in")) for step in told.do), told.do
    assert seen


def test_what_no_alarm_asks_for_is_told_beside_the_steps_and_an_alarm_takes_its_place(tmp_path: Path) -> None:
    scene = kitchen(tmp_path).scene("kitchen")
    quiet = next(each for each in scene.findings)
    optional = replace(quiet, code="dense", level=Level.STEADY)
    calm = replace(scene)
    calm.__dict__["findings"] = (optional,)
    assert level(calm.findings) is Level.STEADY
    assert also(calm) == optional.do
    assert not set(optional.do) & set(do_now(calm))
    assert headline(calm) != optional.what
    loud = replace(scene)
    loud.__dict__["findings"] = (replace(optional, level=Level.WATCH),)
    assert also(loud) == ()
    assert set(optional.do) <= set(do_now(loud))
    assert headline(loud) == optional.what
