"""A sign is ticked by the same key wherever it is asked for."""

from __future__ import annotations

from wormbin.tui.screens.check import SEEN, SEEN_AT_A_CHECK, SMELL


def test_no_two_signs_of_a_row_share_a_key() -> None:
    for row in (SEEN, SEEN_AT_A_CHECK, SMELL):
        assert len({each.key for each in row}) == len(row)


def test_the_check_asks_with_the_keys_of_the_troubles() -> None:
    assert set(SEEN_AT_A_CHECK) <= set(SEEN)
