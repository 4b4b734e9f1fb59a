"""Who signs the lines."""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

from wormbin.farm.session import Session

from wormbin.tui.app import next_signer


@dataclass
class Listed:
    names: tuple[str, ...] = ()
    others: tuple[str, ...] = ()

    def keepers(self) -> tuple[str, ...]:
        return self.names

    def wrote_too(self) -> tuple[str, ...]:
        return self.others


def test_one_key_goes_through_the_list_and_back_to_nobody() -> None:
    farm, by, seen = Listed(("Ana", "Mio")), "", []
    for _press in range(4):
        by, words = next_signer(cast(Session, farm), by)
        seen.append(by)
        assert (by in words) if by else "not signed" in words
    assert seen == ["Ana", "Mio", "", "Ana"]


def test_an_empty_list_says_how_to_fill_it() -> None:
    assert next_signer(cast(Session, Listed()), "Ana") == (
        "", "Nobody is on the list of keepers: add names in the settings, key ,."
    )  # fmt: skip


def test_who_signed_a_line_can_be_picked_without_being_on_the_list() -> None:
    farm, by, seen = Listed(("Ana",), ("Mio", "Ana", "Pia")), "", []
    for _press in range(5):
        by, _ = next_signer(cast(Session, farm), by)
        seen.append(by)
    assert seen == ["Ana", "Mio", "Pia", "", "Ana"]
