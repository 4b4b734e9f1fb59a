"""Who signs the lines."""

from __future__ import annotations

from wormbin.farm.words.names import next_signer


def test_one_key_goes_through_the_list_and_back_to_nobody() -> None:
    by, seen = "", []
    for _press in range(4):
        by, words = next_signer(("Ana", "Mio"), (), by)
        seen.append(by)
        assert (by in words) if by else "not signed" in words
    assert seen == ["Ana", "Mio", "", "Ana"]


def test_an_empty_list_says_how_to_fill_it() -> None:
    assert next_signer((), (), "Ana") == (
        "", "Nobody is on the list of keepers: add names in the settings, key ,."
    )  # fmt: skip


def test_who_signed_a_line_can_be_picked_without_being_on_the_list() -> None:
    by, seen = "", []
    for _press in range(5):
        by, _ = next_signer(("Ana",), ("Mio", "Ana", "Pia"), by)
        seen.append(by)
    assert seen == ["Ana", "Mio", "Pia", "", "Ana"]
