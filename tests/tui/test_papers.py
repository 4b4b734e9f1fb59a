from __future__ import annotations

from typing import Any

from wormbin.figures import amount
from wormbin.records.entries import LOG_KINDS, Check, Kind
from wormbin.records.kinds.castings import LOT_KINDS
from wormbin.records.kinds.fields import Description
from wormbin.records.kinds.log import WRITTEN
from wormbin.tui.keyboard import key_word
from wormbin.tui.screens.start import key_of


def test_every_kind_of_entry_can_be_written() -> None:
    with_forms_of_their_own = {Kind.CHECK, Kind.FEEDING}
    assert {each.kind for each in WRITTEN} == set(Kind) - with_forms_of_their_own


def test_every_kind_has_a_key_of_its_own() -> None:
    assert len({each.page.key for each in WRITTEN}) == len(WRITTEN)


def test_every_line_has_an_example() -> None:
    kinds: tuple[Description[Any], ...] = (*WRITTEN, LOG_KINDS[Check], *LOT_KINDS.values())
    assert all(each.example for kind in kinds for each in kind.asked)


def test_keys_are_named_as_they_stand_on_the_keyboard() -> None:
    assert [key_word(key) for key in ("ctrl+l", "f1", "question_mark", "c")] == ["^L", "F1", "?", "c"]


def test_a_bins_key_is_made_of_its_name() -> None:
    assert key_of("Kitchen bin") == "kitchen-bin"
    assert key_of("  [b]x[/b] ") == "b-x-b"
    assert key_of("堆肥") == "bin"
    assert key_of("") == ""


def test_a_fraction_is_told_in_percent_as_well() -> None:
    assert amount(0.8129, "fraction") == "81.3%"
    assert amount(1.064, "kg", 4) == "1.064 kg"
