"""The bin cut open, drawn for the room there is."""

from __future__ import annotations

from wormbin.drawing.boxwork import CENTIMETRES, INCHES
from wormbin.drawing.cutaway import Cut, cutaway
from wormbin.drawing.picture import Picture
from wormbin.drawing.strata import Section
from wormbin.farm.views.bin import CutView
from wormbin.records.bins import Cover
from wormbin.tui.widgets.picture_view import PictureView

TALLER = 0.7
"""Rows a cell of width where the box is as deep as it is long: taller than it is, so that thin layers show."""
LEAST_ROWS = 10


class CutPicture(PictureView):
    """Shows a ``CutView``; ``ascii`` and ``us`` say with which letters and in which measure."""

    _deep = 0.0

    def most_rows(self, width: int, height: int) -> int:
        """Rows that the drawing takes of ``height``."""
        return min(max(round(width * self._deep * TALLER), LEAST_ROWS), height) if self._deep else height

    def show_cut(self, view: CutView, *, ascii: bool, us: bool, length_m: float | None = None) -> None:
        """Draw this bin from now on; with its ``length_m`` it is never drawn as a tower, however much room there is."""
        cut = cut_of(view)
        scale = INCHES if us else CENTIMETRES
        storeys = len(view.parts) if not view.sideways else 1
        self._deep = view.parts[0].box_m * storeys / length_m if length_m else 0.0

        def draw(width: int, height: int) -> Picture:
            return cutaway(cut, width, min(height, self.most_rows(width, height)), ascii=ascii, scale=scale)

        self.show(draw)


def cut_of(view: CutView) -> Cut:
    """The drawing's input for a farm's view."""
    first = view.parts[0]
    sections = tuple(
        Section(
            part.number, part.feed_m, part.bedding_m, part.castings_m, part.water_m, part.worms_kg_m2, "", part.named
        )
        for part in view.parts
    )
    return Cut(
        first.feed_m,
        first.bedding_m,
        first.castings_m,
        first.water_m,
        box_depth_m=first.box_m,
        cover=Cover(view.cover),
        worms_kg_m2=first.worms_kg_m2,
        ruler_m=first.ruler_m,
        drainage=view.drainage,
        parts=sections if len(sections) > 1 else (),
        sideways=view.sideways,
        named=first.named,
    )
