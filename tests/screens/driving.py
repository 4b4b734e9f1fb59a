"""Driving the program as a person would: open it, press keys, wait for what must come, read what stands there."""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from typing import Any

from textual.events import Paste
from textual.pilot import Pilot
from textual.widgets import Input

from wormbin.farm.session import Session
from wormbin.records.entries import Entry, standing
from wormbin.tui.app import Wormbin

SIZES = ((80, 24), (120, 40))
Driver = Pilot[str]


@asynccontextmanager
async def opened(farm: Session, size: tuple[int, int] = (80, 24), **how: Any) -> AsyncIterator[Driver]:
    """The program on a farm; the first screen has been filled."""
    app = Wormbin(farm, **how)
    async with app.run_test(size=size, notifications=True) as pilot:
        await until(pilot, lambda: app.begun and not still_filling(pilot), "the first screen")
        yield pilot


def still_filling(pilot: Driver) -> bool:
    """Whether the screen says that something on it is still being worked out."""
    text = text_of(pilot)
    return "orking out" in text or "worked out …" in text


async def until(pilot: Driver, true: Callable[[], bool], what: str = "") -> None:
    """Wait for a condition; fails with what stands on the screen when it does not come."""
    waits = 0.01
    for _ in range(1000):
        if true():
            return
        await pilot.pause(waits)
        waits = min(0.05, 1.2 * waits)  # reading a screen over and over takes the time of what is waited for
    raise AssertionError(f"never came: {what}\n{text_of(pilot)}")


async def comes(pilot: Driver, words: str) -> None:
    """Wait until ``words`` stand on the screen."""
    await until(pilot, lambda: shows(pilot, words), words)


async def at(pilot: Driver, kind: type[Any]) -> Any:
    """Wait until a screen of this kind is on top."""
    await until(pilot, lambda: type(pilot.app.screen) is kind, kind.__name__)
    await pilot.pause()
    return pilot.app.screen


async def types(pilot: Driver, words: str) -> None:
    """Write words into whatever listens: pasted into a line of text but for the last letter, which is a key."""
    if isinstance(pilot.app.focused, Input) and len(words) > 1:
        pilot.app.focused.post_message(Paste(words[:-1]))
        words = words[-1]
    await pilot.press(*("space" if char == " " else char for char in words))


def text_of(pilot: Driver) -> str:
    """Everything on the screen, line by line."""
    return "\n".join(
        "".join(segment.text for segment in strip) for strip in pilot.app.screen._compositor.render_strips()
    )


def shows(pilot: Driver, words: str) -> bool:
    """Whether ``words`` stand on the screen, line ends and frames aside."""
    return words in " ".join(text_of(pilot).replace("│", " ").split())


def log_of(farm: Session, bin: str) -> tuple[Entry, ...]:
    """The standing lines in the store, read anew from the disk."""
    return standing(Session(farm.folder, clock=farm.clock).entries(bin))


def added(before: tuple[Entry, ...], after: tuple[Entry, ...]) -> tuple[Entry, ...]:
    """The lines that are new."""
    known = {entry.id for entry in before}
    return tuple(entry for entry in after if entry.id not in known)
