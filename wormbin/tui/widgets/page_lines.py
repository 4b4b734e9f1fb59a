"""Lines to read, laid out for the width there is: broken between words, set in under where they began."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content
from textual.geometry import Size
from textual.widget import Widget

from wormbin.tui.showing import Piece, lines_of, wrapped

Line = Sequence[Piece]
DEEPER = 2


class PageLines(Widget):
    """As high as its lines are; stands in something that scrolls."""

    DEFAULT_CSS = "PageLines { height: auto; width: 1fr; }"

    def __init__(self, lines: Sequence[Line] = (), *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes)
        self._lines = tuple(lines)

    def show(self, lines: Sequence[Line]) -> None:
        """Show these from now on."""
        self._lines = tuple(lines)
        self.refresh(layout=True)

    def _laid(self, width: int) -> list[list[Piece]]:
        return [row for line in self._lines for row in wrapped(line, max(width, 1), indent_of(line))]

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """One row a laid-out line."""
        return max(len(self._laid(width)), 1)

    def render(self) -> Content:
        """The lines."""
        return lines_of(self._laid(self.content_size.width))


def indent_of(line: Line) -> int:
    """How far later rows of a line are set in: a little more than the line itself, nothing for one that is not."""
    text = "".join(text for text, _ in line)
    spaces = len(text) - len(text.lstrip(" "))
    return spaces + DEEPER if spaces else 0
