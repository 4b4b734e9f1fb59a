"""Who signs the lines that are written: the next on the list, then the next who signed a line, or why there is none."""

from __future__ import annotations

from typing import Protocol


class Keepers(Protocol):
    """What is asked of a farm."""

    def keepers(self) -> tuple[str, ...]:
        """Who is on the list."""

    def wrote_too(self) -> tuple[str, ...]:
        """Who signed a line and is not on it."""


def next_signer(farm: Keepers, by: str) -> tuple[str, str]:
    """The name after ``by`` (nobody follows the last), and what to say about it."""
    listed = farm.keepers()
    names = ("", *listed, *(each for each in farm.wrote_too() if each not in listed))
    if len(names) == 1:
        return "", "Nobody is on the list of keepers: add names in the settings, key ,."
    following = names[(names.index(by) + 1) % len(names)] if by in names else ""
    return following, f"Lines are now signed: {following}" if following else "Lines are not signed now."
