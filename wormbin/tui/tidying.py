"""Memory is looked through for unused objects while nobody presses a key, since everything stands still meanwhile.

Left to itself Python does so in the middle of whatever makes many objects, which is just when a form opens or a bin is
replayed. What has come to stay once is not looked at again.
"""

from __future__ import annotations

import gc
from collections.abc import Callable

YOUNG, OLDER, OLDEST = 2000, 10, 200
"""How many new objects make Python look through the new ones, how often then through the older, and through all."""
QUIET_LOOKS = 20
"""Looks in a row without a key between them, before memory is looked through."""


class Tidying:
    """Asked now and then; ``heard`` tells how many keys there have been, ``alone`` whether only what stays is open."""

    def __init__(self, heard: Callable[[], int], alone: Callable[[], bool]) -> None:
        self._heard = heard
        self._alone = alone
        self._last = -1
        self._quiet = 0
        gc.set_threshold(YOUNG, OLDER, OLDEST)

    def look(self) -> bool:
        """Look through memory when it has been quiet for long enough, once until the next key; whether it did."""
        heard = self._heard()
        self._quiet = self._quiet + 1 if heard == self._last else 0
        self._last = heard
        if self._quiet != QUIET_LOOKS:
            return False
        gc.collect()
        if self._alone():
            gc.freeze()
        return True
