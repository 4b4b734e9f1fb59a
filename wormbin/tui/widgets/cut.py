"""The bin cut open, drawn for the room there is."""

from __future__ import annotations

from wormbin.drawing.boxwork import CENTIMETRES, INCHES
from wormbin.drawing.cutaway import Cut, cutaway
from wormbin.drawing.picture import Picture
from wormbin.tui.widgets.picture_view import PictureView

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
