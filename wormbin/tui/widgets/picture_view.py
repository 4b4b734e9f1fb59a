"""A widget that shows a drawing made for exactly the room that it has."""

from __future__ import annotations

from collections.abc import Callable

from textual.content import Content
from textual.widget import Widget

from wormbin.drawing.picture import Picture
from wormbin.tui.showing import content_of

Maker = Callable[[int, int], Picture]
"""``maker(width, height)`` draws the picture for a room of that many cells."""


class PictureView(Widget):
    """Draws anew when it is resized or given another ``maker``; shows nothing before the first."""

    DEFAULT_CSS = "PictureView { height: 1fr; width: 1fr; }"

    def __init__(self, maker: Maker | None = None, *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes)
        self._maker = maker

    def show(self, maker: Maker) -> None:
        """Draw with ``maker`` from now on."""
        self._maker = maker
        self.refresh()

    def render(self) -> Content:
        """The drawing for today's size."""
        width, height = self.content_size
        if self._maker is None or width < 1 or height < 1:
            return Content("")
        return content_of(self._maker(width, height))
