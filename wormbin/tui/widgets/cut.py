"""The bin cut open, drawn for the room there is."""

from __future__ import annotations

from wormbin.drawing.boxwork import CENTIMETRES, INCHES
from wormbin.drawing.cutaway import Cut, cutaway
from wormbin.drawing.picture import Picture
from wormbin.drawing.strata import Section
from wormbin.farm.views import CutView
from wormbin.records.bins import Cover
from wormbin.tui.widgets.picture_view import PictureView


class CutPicture(PictureView):
    """Shows a ``CutView``; ``ascii`` and ``us`` say with which letters and in which measure."""

    def show_cut(self, view: CutView, *, ascii: bool, us: bool) -> None:
        """Draw this bin from now on."""
        cut = cut_of(view)
        scale = INCHES if us else CENTIMETRES

        def draw(width: int, height: int) -> Picture:
            return cutaway(cut, width, height, ascii=ascii, scale=scale)

        self.show(draw)


def cut_of(view: CutView) -> Cut:
    """The drawing's input for a farm's view."""
    first = view.parts[0]
    sections = tuple(
        Section(part.number, part.feed_m, part.bedding_m, part.castings_m, part.water_m, part.worms_kg_m2)
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
    )
