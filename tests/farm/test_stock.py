"""Beddings on hand are used up as they go into the bins; the keeper's own handful is one wherever it is said."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from tests.farm.a_farm import NOW, kitchen, open_farm
from wormbin.farm import feedings, logbook, recording
from wormbin.farm.heading import Heading
from wormbin.farm.materials import stock_words
from wormbin.farm.recording.lines import record_feeding, write
from wormbin.farm.settings import change_setting
from wormbin.problems import RefusedError, UnclearError
from wormbin.records.entries import Kind
from wormbin.records.farms import OnHand


def test_bedding_that_goes_in_is_taken_from_what_was_noted(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    change_setting(farm, "on-hand", "1 kg shredded cardboard")
    assert stock_words(farm) == ()
    later = open_farm(tmp_path, NOW + timedelta(hours=2))
    wrong = write(later, "kitchen", Kind.BEDDING, {"portions": "700 g shredded cardboard"}).ids[0]
    assert stock_words(later) == ("shredded-cardboard: about 300 g left of 1 kg, as worked out",)
    assert later.scene("kitchen").settings.on_hand[0].kg == pytest.approx(0.3)
    recording.strike(later, wrong, "another bin")
    assert stock_words(later) == ()
    write(later, "kitchen", Kind.BEDDING, {"portions": "1.5 kg shredded cardboard"})
    assert later.scene("kitchen").settings.on_hand[0].kg == 0.0
    # What is kept is what was said; noting it anew begins again.
    assert later.farm().settings.on_hand[0].kg == 1.0
    change_setting(open_farm(tmp_path, NOW + timedelta(hours=3)), "on-hand", "2 kg shredded cardboard")
    assert stock_words(open_farm(tmp_path, NOW + timedelta(hours=4))) == ()


def test_bedding_from_before_it_was_noted_and_undated_stock_are_left_alone(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    change_setting(farm, "on-hand", "1 kg shredded cardboard")
    early = Heading(when=(NOW - timedelta(days=1)).isoformat())
    write(farm, "kitchen", Kind.BEDDING, {"portions": "700 g shredded cardboard"}, early)
    assert stock_words(farm) == ()
    assert OnHand("straw", 1.0).noted is None


def test_a_handful_is_asked_about_until_it_is_taught(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    with pytest.raises(UnclearError, match="settings measure"):
        feedings.preview(farm, "kitchen", ["a handful of coffee grounds"])
    assert change_setting(farm, "measure", "handful 40 g").sentence == "measure: handful 40 g"
    assert feedings.preview(farm, "kitchen", ["2 handfuls coffee grounds"]).total_kg == pytest.approx(0.08)
    change_setting(farm, "measure", "handful coffee grounds: 25 g")
    said = feedings.preview(farm, "kitchen", ["2 handfuls coffee grounds", "a handful of melon rind"])
    assert [each.kg for each in said.portions] == pytest.approx([0.05, 0.04])
    saved = record_feeding(farm, "kitchen", ["2 handfuls coffee grounds"], anyway=True)
    assert "2 handfuls" in logbook.line(farm, saved.ids[0]).words
    change_setting(farm, "bucket", "breakfast: a handful of coffee grounds")
    assert feedings.bucket(farm, "breakfast") == ("a handful coffee-grounds",)
    assert change_setting(farm, "measure", "").sentence == "measure: none"
    with pytest.raises(UnclearError):
        feedings.preview(farm, "kitchen", ["a handful of coffee grounds"])


@pytest.mark.parametrize(
    "words", ["fistful 40 g", "handful", "handful much", "handful of moonlight: 20 g", "handful 3 days"]
)
def test_a_measure_that_is_none_is_refused(tmp_path: Path, words: str) -> None:
    farm = open_farm(tmp_path)
    if words == "handful":
        assert change_setting(farm, "measure", words).sentence == "measure: none"
        return
    with pytest.raises(RefusedError):
        change_setting(farm, "measure", words)


def test_a_number_that_lost_its_unit_is_asked_about_with_what_it_is_of(tmp_path: Path) -> None:
    with pytest.raises(UnclearError, match="300 g melon rind, 300 oz melon rind or 300 mL"):
        feedings.preview(kitchen(tmp_path), "kitchen", ["300 melon rind"])
