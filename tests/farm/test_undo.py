"""Taking back says what stands now, and can itself be taken back."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

import pytest

from tests.farm.a_farm import kitchen, open_farm
from wormbin.farm import bins, feedings, log_files, logbook, recording, rounds, starts
from wormbin.farm.errors import DoubtedError
from wormbin.farm.heading import Heading
from wormbin.farm.recording.lines import record_feeding, write
from wormbin.farm.session import Session
from wormbin.farm.views.proposals import BinDraft
from wormbin.problems import RefusedError
from wormbin.records.entries import Kind


def test_a_strike_taken_back_says_that_the_line_stands_again_and_can_be_struck_again(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    line = write(farm, "kitchen", Kind.WATERING, {"amount": "300 mL"}).ids[0]
    recording.strike(farm, line, "another bin")
    assert recording.undo(farm).sentence.startswith("the strike is taken back, the line stands again: watered 300 mL")
    assert farm.store.find(line).struck is None
    assert recording.redo(farm).sentence.startswith("struck through again: watered 300 mL")
    assert farm.store.find(line).struck is not None
    with pytest.raises(RefusedError):
        recording.redo(farm)


def test_a_line_taken_back_is_done_again(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    line = write(farm, "kitchen", Kind.WATERING, {"amount": "300 mL"}).ids[0]
    assert "taken back" in recording.undo(farm).sentence
    assert farm.store.find(line).struck is not None
    assert recording.redo(farm).sentence.startswith("done again")
    assert farm.store.find(line).struck is None


def _all_pages(farm: Session) -> None:
    """Everything that is asked for when a screen is shown; each must come without an error."""
    rounds.view(farm)
    for one in farm.bins():
        bins.look(farm, one.key)
        assert len(list(logbook.lines(farm, one.key))) > 0
    rounds.harvests(farm)
    feedings.preview(farm, "kitchen", ["100 g melon rind"])


@pytest.mark.long
def test_every_page_is_shown_after_a_strike_of_an_old_line_was_taken_back_and_done_again(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    _all_pages(farm)
    line = logbook.lines(farm, "kitchen")[-4].entry
    recording.strike(farm, line, "wrong bin")
    _all_pages(farm)
    for turn in (partial(recording.undo, farm), partial(recording.redo, farm), partial(recording.undo, farm)):
        turn()
        _all_pages(farm)
    assert farm.store.find(line).struck is None
    _all_pages(open_farm(tmp_path))


def test_every_page_is_shown_after_an_amended_line_a_move_and_a_harvest_into_a_lot_were_taken_back(
    tmp_path: Path,
) -> None:
    farm = kitchen(tmp_path)
    starts.start(farm, BinDraft(key="shed", name="Shed", length="60 cm", width="40 cm", depth="30 cm", worms="300 g"))
    old = logbook.lines(farm, "kitchen")[-4].entry
    acts: list[Callable[[], object]] = [
        lambda: write(farm, "kitchen", Kind.CHECK, {"squeeze": "damp"}, Heading(when="2026-05-25", replaces=old)),
        lambda: write(farm, "kitchen", Kind.MOVE, {"to": "shed", "worms": "100 g"}, Heading(when="2026-05-28")),
        lambda: write(farm, "kitchen", Kind.HARVEST, {"castings": "2 kg", "lot": "may-26"}, Heading(when="2026-05-29")),
        lambda: write(
            farm, "kitchen", Kind.CHECK, {"oven_wet": "10 g", "oven_dry": "2.3 g"}, Heading(when="2026-05-27")
        ),
    ]
    for act in acts:
        act()
    for _ in acts:
        recording.undo(farm)
        _all_pages(farm)
    for _ in acts:
        recording.redo(farm)
    _all_pages(farm)


def test_a_change_of_many_lines_is_asked_about_and_taken_back_once_those_words_are_agreed_to(tmp_path: Path) -> None:
    log_files.write_out(kitchen(tmp_path / "one"), tmp_path / "files")
    farm = open_farm(tmp_path / "other")
    log_files.bring_in(farm, tmp_path / "files")
    with pytest.raises(
        DoubtedError, match=r"takes back the import of 2026-06-01 as a whole: \d+ lines in 1 bin"
    ) as asked:
        recording.undo(farm, ask=True)
    words = asked.value.questions[0].words
    with pytest.raises(DoubtedError):
        recording.undo(farm, ask=True, agreed="other words, as somebody wrote meanwhile")
    assert any(entry.struck is None for entry in farm.entries("kitchen"))
    recording.undo(farm, ask=True, agreed=words)
    assert all(entry.struck is not None for entry in farm.entries("kitchen"))


def test_a_few_lines_are_taken_back_without_a_question(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    record_feeding(farm, "kitchen", ["100 g melon rind"], bedding=["20 g newspaper"], water="50 mL", anyway=True)
    assert "taken back" in recording.undo(farm, ask=True, here="kitchen").sentence


def test_what_another_bin_or_an_earlier_day_has_is_told_before_it_is_taken_back(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    line = write(farm, "kitchen", Kind.WATERING, {"amount": "300 mL"}).ids[0]
    with pytest.raises(DoubtedError) as asked:
        recording.undo(farm, ask=True, here="shed")
    words = asked.value.questions[0].words
    assert words.startswith("This takes back the last change of 2026-")
    assert "Kitchen: watered 300 mL" in words
    assert farm.store.find(line).struck is None
    recording.undo(farm, ask=True, here="kitchen")
    assert farm.store.find(line).struck is not None
    recording.redo(farm)
    recording.undo(farm, ask=True, agreed=words)
    assert farm.store.find(line).struck is not None
