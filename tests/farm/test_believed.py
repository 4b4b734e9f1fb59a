"""A reading that does not fit counts less, and is told so wherever it is shown: read, believed and taken."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from tests.cli.running import run
from tests.farm.a_farm import kitchen, open_farm
from wormbin.farm import bins
from wormbin.farm.recording.lines import write
from wormbin.farm.session import Session
from wormbin.records.entries import Kind


def counted(farm: Session, times: float) -> list[str]:
    """Four samples of 225 cm2 that come to so many times the worms that are believed to be in the 60 by 40 cm box."""
    kg = times * farm.scene("kitchen").past.today.worms_kg.p50
    grams = kg * 1000 * 225 / 2400
    return [f"{grams * each:.1f} g" for each in (0.95, 1.0, 1.0, 1.05)]


def test_a_survey_far_off_is_told_beside_what_was_believed_and_what_is_taken(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    said = run(tmp_path, "survey", "kitchen", *counted(farm, 3.5), "--sample", "225cm2", "--yes")
    assert said.code == 0, said.err
    found = re.search(r"(\S+ k?g) to (\S+ k?g) was expected. It counts (less|little): (\S+ k?g) was taken", said.out)
    assert found is not None, said.out
    farm = open_farm(tmp_path)
    (judged,) = [each for each in farm.scene("kitchen").past.judged if each.quantity == "worms_kg"]
    assert judged.taken is not None
    assert judged.taken == pytest.approx(farm.scene("kitchen").past.today.worms_kg.p50, rel=0.02)
    assert judged.expected.p50 < judged.taken < judged.read
    view = bins.look(farm, "kitchen")
    (words,) = [doubt.words for doubt in view.doubts if doubt.entry == judged.entry]
    assert found[0] in words
    worms = view.gauge("worms")
    assert worms is not None
    assert worms.words.endswith(f"counts {found[3]}")
    shown = json.loads(run(tmp_path, "report", "kitchen", "--json").out)
    assert str(shown).count(words) == 1


def test_a_survey_that_fits_says_what_was_believed_and_is_no_doubt(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    said = run(tmp_path, "survey", "kitchen", *counted(farm, 1.1), "--sample", "225cm2", "--yes")
    assert re.search(r"was expected\. \S+ k?g was taken", said.out)
    assert not any("survey" in doubt.words for doubt in bins.look(open_farm(tmp_path), "kitchen").doubts)


@pytest.mark.parametrize(("percent", "told"), [("72%", False), ("40%", True)])
def test_a_meter_that_does_not_fit_says_how_much_it_counts(percent: str, told: bool, tmp_path: Path) -> None:
    farm = kitchen(tmp_path, days=38)
    write(farm, "kitchen", Kind.CHECK, {"moisture": percent, "moisture_by": "meter"})
    moisture = bins.look(farm, "kitchen").gauge("moisture")
    assert moisture is not None
    assert ("counts" in moisture.words) is told
    assert any("meter" in doubt.words for doubt in bins.look(farm, "kitchen").doubts) is told
