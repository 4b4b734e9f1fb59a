"""Which screen to open with: a guided start on an empty store, one bin straight away, or the round of several."""

from __future__ import annotations

import asyncio
import contextlib
import gc
import signal
from typing import TYPE_CHECKING

from wormbin.farm import drafts
from wormbin.farm.errors import StoreError

if TYPE_CHECKING:
    from collections.abc import Mapping

    from textual.screen import Screen

    from wormbin.farm.cache.rows import Front
    from wormbin.tui.app import Wormbin


DRAFTS_SECONDS = 8.0
A_SECOND = 1.0
A_MOMENT = 0.2
"""Seconds after which it is looked whether an early form was left."""


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

        return BinScreen(bins[0].key, name=bins[0].name)
    return None


async def begin(app: Wormbin) -> None:
    """Once the first screen is painted: the theme that was chosen, the screen that the farm calls for, what waits."""
    if not gc.isenabled():
        # Nothing that the start has loaded need ever be looked at by the collector of unused objects.
        gc.freeze()
        gc.enable()
    from wormbin.tui.read_ahead import read_ahead
    from wormbin.tui.tidying import Tidying

    _listen_for_endings(app)
    await app.take_settings()
    read_ahead()
    app.set_interval(A_SECOND, Tidying(lambda: app.heard, lambda: len(app.screen_stack) == 1).look)
    if app.front is None and (screen := await next_screen(app)) is not None:
        await _lay_over(app, screen)
    await _tell_of_drafts(app)


async def _lay_over(app: Wormbin, screen: Screen[None]) -> None:
    """Lay the first screen over the round, unless a form was opened on that already: then once it has been left."""
    if len(app.screen_stack) == 1:
        await app.push_screen(screen)
        return
    form = app.screen_stack[1]

    async def left() -> None:
        timer.stop()
        if len(app.screen_stack) == 1 and (wanted := await next_screen(app)) is not None:
            await app.push_screen(wanted)

    async def look() -> None:
        if form not in app.screen_stack:
            await left()

    timer = app.set_interval(A_MOMENT, look)


async def _tell_of_drafts(app: Wormbin) -> None:
    """Say which forms were left half filled; each is filled again when it is opened."""
    with contextlib.suppress(StoreError):
        if forms := await app.ask(lambda farm: drafts.names(farm)):
            names = {each.key: each.name for each in await app.ask(lambda farm: farm.bins())}
            app.notify("\n".join(draft_words(form, names) for form in forms), markup=False, timeout=DRAFTS_SECONDS)


DRAFT_KEYS = {
    "check": "c opens it", "feed": "f opens it", "troubles": "t opens it", "catch-up": "k opens it",
    "survey": "e, then v opens it",
}  # fmt: skip


def draft_words(form: str, names: Mapping[str, str]) -> str:
    """What is kept half filled, by the bin's name, and which key opens it."""
    if form == "start":
        return "A half-filled start of a bin is kept: b opens it."
    for key in sorted(names, key=len, reverse=True):
        if form.endswith(f"-{key}"):
            what = form.removesuffix(f"-{key}")
            return (
                f"A half-filled {what.replace('-', ' ')} of {names[key]} is kept: {DRAFT_KEYS.get(what, 'e opens it')}."
            )
    return f"A half-filled {form.replace('-', ' ')} is kept until you open it."


def _listen_for_endings(app: Wormbin) -> None:
    for name in ("SIGTERM", "SIGHUP"):
        if hasattr(signal, name):
            # Not every system's loop can listen to signals, nor one that does not run in the main thread.
            with contextlib.suppress(NotImplementedError, RuntimeError, ValueError):
                asyncio.get_running_loop().add_signal_handler(getattr(signal, name), app.ended_from_outside)
