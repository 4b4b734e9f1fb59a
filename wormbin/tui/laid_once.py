"""A screen that comes up is styled, laid out and painted once.

Textual does so three times over: when the screen comes to the top, when it is told its size, and when that size turns
out to be narrow or wide. On a small computer that is time in which no key is heard.
"""

from __future__ import annotations

from asyncio import sleep
from typing import Generic, TypeVar

from textual.events import Resize, ScreenResume
from textual.geometry import Size
from textual.screen import Screen

R = TypeVar("R")


class LaidOnce(Screen[R], Generic[R]):
    """Knows how wide and high it is before anything stands on it."""

    _laid: Size | None = None

    async def _compose(self) -> None:
        """What depends on the size is known to every part from the first."""
        for size, breakpoints in (
            (self.app.size.width, self.app.HORIZONTAL_BREAKPOINTS),
            (self.app.size.height, self.app.VERTICAL_BREAKPOINTS),
        ):
            self.add_class(*self._get_breakpoint_classes(size, breakpoints or []), update=False)
        await super()._compose()

    async def _on_screen_resume(self, event: ScreenResume) -> None:  # type: ignore[override]
        """All parts have just been styled; whatever else waits gets its turn before they are laid out."""
        if self._laid is None:
            event.refresh_styles = False
            self._laid = self.app.size
            await sleep(0)

    def _on_resize(self, event: Resize) -> None:  # type: ignore[override]
        """The first time it is told the size at which it has been laid out a moment ago."""
        if self._laid is not None and event.size == self._laid:
            event.stop()
            event.prevent_default()
        self._laid = Size()
