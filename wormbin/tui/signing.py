"""Who signs the lines that are written: the next on the list, then the next who signed a line, or why there is none."""

from __future__ import annotations

from collections.abc import Sequence


def next_signer(listed: Sequence[str], signed: Sequence[str], by: str) -> tuple[str, str]:
    """The name after ``by`` (nobody follows the last) and what to say; ``signed`` wrote and are not listed."""
    names = ("", *listed, *(each for each in signed if each not in listed))
    if len(names) == 1:
        return "", "Nobody is on the list of keepers: add names in the settings, key ,."
    following = names[(names.index(by) + 1) % len(names)] if by in names else ""
    return following, f"Lines are now signed: {following}" if following else "Lines are not signed now."
