"""Which screen to open with: a guided start on an empty store, one bin straight away, or the round of several."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wormbin.farm.errors import StoreError

if TYPE_CHECKING:
    from textual.screen import Screen

    from wormbin.farm.front import Front
    from wormbin.tui.app import Wormbin


def default_screen(front: Front | None) -> Screen[None]:
    """The lowest screen: the only bin when the front page knows of one alone, else the round."""
    if front is not None and len(front.rows) == 1:
        from wormbin.tui.screens.bin import BinScreen

        (row,) = front.rows
        return BinScreen(row.bin, row)
    from wormbin.tui.screens.round import RoundScreen

    return RoundScreen(front)


async def next_screen(app: Wormbin) -> Screen[None] | None:
    """What to lay over an empty round once the farm is open: a welcome, the only bin, or nothing."""
    try:
        bins = [each for each in await app.ask(lambda farm: farm.bins()) if each.ended is None]
    except StoreError:
        return None  # the trouble lies over it already
    if not bins:
        from wormbin.tui.screens.welcome import WelcomeScreen

        return WelcomeScreen()
    if len(bins) == 1:
        from wormbin.tui.screens.bin import BinScreen

        return BinScreen(bins[0].key)
    return None
