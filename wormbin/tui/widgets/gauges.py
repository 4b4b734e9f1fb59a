"""A bin's gauges under each other, one or two lines each as the room allows; the chosen one is opened by a key."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.content import Content
from textual.events import Click
from textual.geometry import Size
from textual.message import Message

from wormbin.drawing.gauge import Gauge, gauges
from wormbin.drawing.picture import Picture
from wormbin.tui.showing import Piece, lines_of
from wormbin.tui.widgets.pictures import PictureView


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
