"""Taking back says what stands now, and can itself be taken back."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.farm.a_farm import farmstead, kitchen
from wormbin.farm.doorway import DoubtedError, Farmstead
from wormbin.farm.proposals import BinDraft, CheckDraft, Heading
from wormbin.problems import RefusedError


def test_a_strike_taken_back_says_that_the_line_stands_again_and_can_be_struck_again(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    line = farm.record_water("kitchen", "300 mL").ids[0]
    farm.strike(line, "another bin")
    assert farm.undo().sentence.startswith("the strike is taken back, the line stands again: watered 300 mL")
    assert farm.store.find(line).struck is None
    assert farm.redo().sentence.startswith("struck through again: watered 300 mL")
    assert farm.store.find(line).struck is not None
    with pytest.raises(RefusedError):
        farm.redo()


def test_a_line_taken_back_is_done_again(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    line = farm.record_water("kitchen", "300 mL").ids[0]
    assert "taken back" in farm.undo().sentence
    assert farm.store.find(line).struck is not None
    assert farm.redo().sentence.startswith("done again")
    assert farm.store.find(line).struck is None


def _all_pages(farm: Farmstead) -> None:
    """Everything that is asked for when a screen is shown; each must come without an error."""
    farm.round()
    for one in farm.bins():
        farm.look(one.key)
        assert len(list(farm.log(one.key))) > 0
    farm.harvests()
    farm.preview_feeding("kitchen", ["100 g melon rind"])


def test_every_page_is_shown_after_a_strike_of_an_old_line_was_taken_back_and_done_again(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    _all_pages(farm)
    line = farm.log("kitchen")[-4].entry
    farm.strike(line, "wrong bin")
    _all_pages(farm)
    for turn in (farm.undo, farm.redo, farm.undo):
        turn()
        _all_pages(farm)
    assert farm.store.find(line).struck is None
    _all_pages(farmstead(tmp_path))


def test_every_page_is_shown_after_an_amended_line_a_move_and_a_harvest_into_a_lot_were_taken_back(
    tmp_path: Path,
) -> None:
    farm = kitchen(tmp_path)
    farm.start(BinDraft(key="shed", name="Shed", length="60 cm", width="40 cm", depth="30 cm", worms="300 g"))
    old = farm.log("kitchen")[-4].entry
    acts: list[Callable[[], object]] = [
        lambda: farm.record_check("kitchen", CheckDraft(squeeze="damp"), Heading(when="2026-05-25", replaces=old)),
        lambda: farm.record_move("kitchen", "shed", "100 g", Heading(when="2026-05-28")),
        lambda: farm.record_harvest("kitchen", "2 kg", lot="may-26", heading=Heading(when="2026-05-29")),
        lambda: farm.record_check("kitchen", CheckDraft(oven_wet="10 g", oven_dry="2.3 g"), Heading(when="2026-05-27")),
    ]
    for act in acts:
        act()
        for turn in (farm.undo, farm.redo, farm.undo, farm.redo):
            turn()
            _all_pages(farm)


def test_a_change_of_many_lines_is_asked_about_and_taken_back_once_those_words_are_agreed_to(tmp_path: Path) -> None:
    kitchen(tmp_path / "one").export_folder(tmp_path / "files")
    farm = farmstead(tmp_path / "other")
    farm.import_folder(tmp_path / "files")
    with pytest.raises(
        DoubtedError, match=r"takes back the import of 2026-06-01 as a whole: \d+ lines in 1 bin"
    ) as asked:
        farm.undo(ask=True)
    words = asked.value.questions[0].words
    with pytest.raises(DoubtedError):
        farm.undo(ask=True, agreed="other words, as somebody wrote meanwhile")
    assert any(entry.struck is None for entry in farm.entries("kitchen"))
    farm.undo(ask=True, agreed=words)
    assert all(entry.struck is not None for entry in farm.entries("kitchen"))


def test_a_few_lines_are_taken_back_without_a_question(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    farm.record_feeding("kitchen", ["100 g melon rind"], bedding=["20 g newspaper"], water="50 mL", anyway=True)
    assert "taken back" in farm.undo(ask=True).sentence
