"""Which screens to open with: a guided start on an empty store, one bin straight away, or the round of several."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.screen import Screen

from wormbin.farm.errors import StoreError

if TYPE_CHECKING:
    from wormbin.tui.app import Wormbin


async def first_screen(app: Wormbin) -> list[Screen[None]]:
    """The screens to push, the last one on top."""
    from wormbin.tui.screens.round import RoundScreen

    try:
        bins = [each for each in await app.ask(lambda farm: farm.bins()) if each.ended is None]
    except StoreError:
        return [RoundScreen()]  # the trouble lies over it already

    round_screen = RoundScreen()
    if not bins:
        from wormbin.tui.screens.welcome import WelcomeScreen

        return [round_screen, WelcomeScreen()]
    if len(bins) == 1:
        from wormbin.tui.screens.bin import BinScreen

        return [round_screen, BinScreen(bins[0].key)]
    return [round_screen]
