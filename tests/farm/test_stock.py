"""Beddings on hand are used up as they go into the bins; the keeper's own handful is one wherever it is said."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from tests.farm.a_farm import NOW, farmstead, kitchen
from wormbin.farm.heading import Heading
from wormbin.problems import RefusedError, UnclearError
from wormbin.records.farms import OnHand


def test_bedding_that_goes_in_is_taken_from_what_was_noted(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    farm.change_setting("on-hand", "1 kg shredded cardboard")
    assert farm.stock_words() == ()
    later = farmstead(tmp_path, NOW + timedelta(hours=2))
    wrong = later.record_bedding("kitchen", ["700 g shredded cardboard"]).ids[0]
    assert later.stock_words() == ("shredded-cardboard: about 300 g left of 1 kg, as worked out",)
    assert later.scene("kitchen").settings.on_hand[0].kg == pytest.approx(0.3)
    later.strike(wrong, "another bin")
    assert later.stock_words() == ()
    later.record_bedding("kitchen", ["1.5 kg shredded cardboard"])
    assert later.scene("kitchen").settings.on_hand[0].kg == 0.0
    # What is kept is what was said; noting it anew begins again.
    assert later.farm().settings.on_hand[0].kg == 1.0
    farmstead(tmp_path, NOW + timedelta(hours=3)).change_setting("on-hand", "2 kg shredded cardboard")
    assert farmstead(tmp_path, NOW + timedelta(hours=4)).stock_words() == ()


def test_bedding_from_before_it_was_noted_and_undated_stock_are_left_alone(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    farm.change_setting("on-hand", "1 kg shredded cardboard")
    early = Heading(when=(NOW - timedelta(days=1)).isoformat())
    farm.record_bedding("kitchen", ["700 g shredded cardboard"], early)
    assert farm.stock_words() == ()
    assert OnHand("straw", 1.0).noted is None


def test_a_handful_is_asked_about_until_it_is_taught(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    with pytest.raises(UnclearError, match="settings measure"):
        farm.preview_feeding("kitchen", ["a handful of coffee grounds"])
    assert farm.change_setting("measure", "handful 40 g").sentence == "measure: handful 40 g"
    assert farm.preview_feeding("kitchen", ["2 handfuls coffee grounds"]).total_kg == pytest.approx(0.08)
    farm.change_setting("measure", "handful coffee grounds: 25 g")
    said = farm.preview_feeding("kitchen", ["2 handfuls coffee grounds", "a handful of melon rind"])
    assert [each.kg for each in said.portions] == pytest.approx([0.05, 0.04])
    saved = farm.record_feeding("kitchen", ["2 handfuls coffee grounds"], anyway=True)
    assert "2 handfuls" in farm.line(saved.ids[0]).words
    farm.change_setting("bucket", "breakfast: a handful of coffee grounds")
    assert farm.bucket("breakfast") == ("a handful coffee-grounds",)
    assert farm.change_setting("measure", "").sentence == "measure: none"
    with pytest.raises(UnclearError):
        farm.preview_feeding("kitchen", ["a handful of coffee grounds"])


@pytest.mark.parametrize(
    "words", ["fistful 40 g", "handful", "handful much", "handful of moonlight: 20 g", "handful 3 days"]
)
def test_a_measure_that_is_none_is_refused(tmp_path: Path, words: str) -> None:
    farm = farmstead(tmp_path)
    if words == "handful":
        assert farm.change_setting("measure", words).sentence == "measure: none"
        return
    with pytest.raises(RefusedError):
        farm.change_setting("measure", words)


def test_a_number_that_lost_its_unit_is_asked_about_with_what_it_is_of(tmp_path: Path) -> None:
    with pytest.raises(UnclearError, match="300 g melon rind or 300 oz melon rind"):
        kitchen(tmp_path).preview_feeding("kitchen", ["300 melon rind"])
