"""Lines to read, laid out for the width there is: broken between words, set in under where they began."""

from __future__ import annotations

import re
from collections.abc import Sequence

from textual.content import Content
from textual.geometry import Size
from textual.widget import Widget

from wormbin.drawing.marks import width_of
from wormbin.tui.showing import Line, Piece, cut_short, lines_of, wrapped

DEEPER = 2
MARK = re.compile(r" *(?:[·•→>▲■○#^*-]|\[[ x]\]|\d+[.]?|(?<=  )[a-z?](?=  )) +")
"""What a line of a list begins with; the words after it stand under each other."""


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
        width = max(width, 1)
        return [
            row
            for line in self._lines
            for row in ([rule(line, width)] if is_rule(line) else wrapped(line, width, indent_of(line)))
        ]

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


def is_rule(line: Line) -> bool:
    """Whether a line is a stroke across the page, which is cut where it does not fit and never broken."""
    text = "".join(text for text, _ in line).strip()
    return len(text) > DEEPER and len(set(text)) == 1 and not text[0].isalnum()


def rule(line: Line, width: int) -> list[Piece]:
    """A stroke as far as it fits."""
    (text, role), *_ = line
    return [(text[:width], role)]


def indent_of(line: Line) -> int:
    """How far later rows of a line are set in: under the words after a mark or number, else a little more than the
    line itself, nothing for one that is not set in."""
    text = "".join(text for text, _ in line)
    if mark := MARK.match(text):
        return width_of(mark[0])
    spaces = len(text) - len(text.lstrip(" "))
    return spaces + DEEPER if spaces else 0
