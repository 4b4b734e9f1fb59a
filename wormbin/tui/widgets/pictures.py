"""A drawing made for exactly the room that it has; the bin cut open is one."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.content import Content
from textual.events import Click
from textual.geometry import Size
from textual.message import Message
from textual.widget import Widget

from wormbin.drawing.cutaway import CENTIMETRES, INCHES, Cut, cutaway
from wormbin.drawing.gauge import Gauge, gauges
from wormbin.drawing.picture import Picture
from wormbin.tui.themes import Piece, content_of, lines_of

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


class Gauges(PictureView, can_focus=True):
    """Shows ``Gauge``s; those that find no room are left to the place where numbers are opened."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up,k", "move(-1)", "the gauge above", show=False),
        Binding("down,j", "move(1)", "the gauge below", show=False),
        Binding("enter", "open", "explain this number", show=False),
    ]

    class Opened(Message):
        """The number of gauge ``code`` is to be opened."""

        def __init__(self, code: str) -> None:
            super().__init__()
            self.code = code

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._views: tuple[Gauge, ...] = ()
        self._at = 0
        self._lines_each = 1

    def show_gauges(self, views: Sequence[Gauge], *, ascii: bool) -> None:
        """Draw these from now on."""
        if not self._views:
            # What the worst finding is about is chosen first.
            self._at = max(range(len(views)), key=lambda at: (views[at].level.rank, -at), default=0)
        self._views = made = tuple(views)

        def draw(width: int, height: int) -> Picture:
            fitting = tuple(made[at] for at in self._fitted(height))
            apart = height >= 2 * len(fitting)
            self._lines_each = 2 if apart else 1
            return gauges(fitting, width, two_lines=apart and width < 60, ascii=ascii)

        self.show(draw)

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """A line a gauge."""
        return len(self._views)

    def _fitted(self, height: int) -> list[int]:
        """Which gauges stand in so many lines: those that a finding is about before the others."""
        wanted = sorted(range(len(self._views)), key=lambda at: (-self._views[at].level.rank, at))
        return sorted(wanted[: max(height, 0)])

    def _seen(self) -> list[int]:
        return self._fitted(self.content_size.height)

    def render(self) -> Content:
        """The gauges, the chosen one marked while the keys go here."""
        width, height = self.content_size
        if self._maker is None or width < 1 or height < 1:
            return Content("")
        gap = 2 if width > 30 else 0
        picture = self._maker(width - gap, height)
        lines: list[list[Piece]] = []
        seen = self._seen()
        at = seen.index(self._at) if self._at in seen else -1
        spaced = self._lines_each == 2 and picture.height < 2 * min(len(self._views), height)
        for row in range(picture.height):
            chosen = self.has_focus and row == at * (1 if spaced else self._lines_each)
            lines.append([(("> " if chosen else "  ")[:gap], "key"), *picture.pieces(row)])
            if spaced:
                lines.append([])
        return lines_of(lines)

    def action_move(self, by: int) -> None:
        """Choose another gauge of those in sight."""
        seen = self._seen()
        if seen:
            at = seen.index(self._at) if self._at in seen else 0
            self._at = seen[max(0, min(at + by, len(seen) - 1))]
        self.refresh()

    def action_open(self) -> None:
        """Open the chosen gauge's number."""
        if self._views:
            self.post_message(self.Opened(self._views[self._at].code))

    def on_click(self, event: Click) -> None:
        """A click chooses and opens."""
        at, seen = int(event.y) // max(self._lines_each, 1), self._seen()
        if 0 <= at < len(seen):
            self._at = seen[at]
            self.action_open()

    def on_focus(self) -> None:
        """Mark the chosen one."""
        self.refresh()

    def on_blur(self) -> None:
        """And no longer."""
        self.refresh()
