"""A drawing made for exactly the room that it has; the bin cut open is one."""

from __future__ import annotations

from collections.abc import Callable

from textual.content import Content
from textual.widget import Widget

from wormbin.drawing.boxwork import CENTIMETRES, INCHES
from wormbin.drawing.cutaway import Cut, cutaway
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


TALLER = 0.7
"""Rows a cell of width where the box is as deep as it is long: taller than it is, so that thin layers show."""
LEAST_ROWS = 10


class CutPicture(PictureView):
    """Shows a ``Cut``; ``ascii`` and ``us`` say with which letters and in which measure."""

    _deep = 0.0

    def most_rows(self, width: int, height: int) -> int:
        """Rows that the drawing takes of ``height``."""
        return min(max(round(width * self._deep * TALLER), LEAST_ROWS), height) if self._deep else height

    def show_cut(self, cut: Cut, *, ascii: bool, us: bool, length_m: float | None = None) -> None:
        """Draw this bin from now on; with its ``length_m`` it is never drawn as a tower, however much room there is."""
        scale = INCHES if us else CENTIMETRES
        storeys = len(cut.parts) if not cut.sideways else 1
        self._deep = cut.box_depth_m * storeys / length_m if length_m else 0.0

        def draw(width: int, height: int) -> Picture:
            return cutaway(cut, width, min(height, self.most_rows(width, height)), ascii=ascii, scale=scale)

        self.show(draw)
