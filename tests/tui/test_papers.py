from __future__ import annotations

from wormbin.pages.sums import amount
from wormbin.records.entries import Kind
from wormbin.tui.keys import key_word
from wormbin.tui.papers import PAPERS, paper_of
from wormbin.tui.screens.start import key_of


def test_every_kind_of_entry_can_be_written() -> None:
    with_forms_of_their_own = {Kind.CHECK, Kind.FEEDING}
    assert {paper.kind for paper in PAPERS} == set(Kind) - with_forms_of_their_own
    for kind in set(Kind) - with_forms_of_their_own:
        assert paper_of(kind).kind is kind


def test_every_paper_has_a_key_of_its_own() -> None:
    assert len({paper.key for paper in PAPERS}) == len(PAPERS)


def test_every_line_has_an_example() -> None:
    assert all(line.example for paper in PAPERS for line in paper.lines)


def test_keys_are_named_as_they_stand_on_the_keyboard() -> None:
    assert [key_word(key) for key in ("ctrl+l", "f1", "question_mark", "c")] == ["^L", "F1", "?", "c"]


def test_a_bins_key_is_made_of_its_name() -> None:
    assert key_of("Kitchen bin") == "kitchen-bin"
    assert key_of("  [b]x[/b] ") == "b-x-b"
    assert key_of("堆肥") == "bin"
    assert key_of("") == ""


def test_a_fraction_is_told_in_percent_as_well() -> None:
    assert amount(0.8129, "fraction") == "0.8129 (81.3%)"
    assert amount(1.064, "kg") == "1.064 kg"
