"""Lines to read, laid out for the width there is: broken between words, set in under where they began."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content
from textual.geometry import Size
from textual.widget import Widget

from wormbin.pages.lines import Line, Piece, cut_short, laid
from wormbin.tui.showing import lines_of


class PageLines(Widget):
    """As high as its lines are; stands in something that scrolls."""

    DEFAULT_CSS = "PageLines { height: auto; width: 1fr; padding: 0 1 0 0; }"

    def __init__(self, lines: Sequence[Line] = (), *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes)
        self._lines = tuple(lines)

    def show(self, lines: Sequence[Line]) -> None:
        """Show these from now on."""
        self._lines = tuple(lines)
        self.refresh(layout=True)

    def _laid(self, width: int) -> list[list[Piece]]:
        return list(laid(self._lines, width))

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """One row a laid-out line."""
        return max(len(self._laid(width)), 1)

    def render(self) -> Content:
        """The lines; where the style sheet leaves no room for all, the last one says that it goes on."""
        width, height = self.content_size
        lines = self._laid(width)
        if 0 < height < len(lines):
            lines = [*lines[: height - 1], cut_short(lines[height - 1], width)]
        return lines_of(lines)
