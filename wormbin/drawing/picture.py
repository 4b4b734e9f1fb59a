"""A picture is lines of text of one width, with the meaning of each stretch beside it so that a theme can colour it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from wormbin.drawing.marks import graphemes, plain, to_ascii


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of one line, ``line[start:end]``, and its role: ``feed``, ``band``, ``reading`` and so on."""

    role: str
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Picture:
    """Lines of exactly ``width`` terminal cells each, and the roles of their parts (one tuple of spans a line)."""

    width: int
    lines: tuple[str, ...]
    spans: tuple[tuple[Span, ...], ...]

    @property
    def height(self) -> int:
        """How many lines there are."""
        return len(self.lines)

    @property
    def text(self) -> str:
        """All lines joined by line ends, as they go to standard output."""
        return "\n".join(self.lines)

    def pieces(self, row: int) -> Iterator[tuple[str, str]]:
        """The stretches of one line from left to right as ``(text, role)``; the role is empty where there is none."""
        line, at = self.lines[row], 0
        for span in self.spans[row]:
            if span.start > at:
                yield line[at : span.start], ""
            yield line[span.start : span.end], span.role
            at = span.end
        if at < len(line):
            yield line[at:], ""


class Canvas:
    """A grid of terminal cells to draw on; what falls outside is cut off, and nothing can push a line out of true."""

    def __init__(self, width: int, height: int, *, ascii: bool = False) -> None:
        self.width = max(width, 0)
        self.height = max(height, 0)
        self.ascii = ascii
        self._cells = [[" "] * self.width for _ in range(self.height)]
        self._roles = [[""] * self.width for _ in range(self.height)]

    def set(self, x: int, y: int, glyph: str, role: str = "") -> None:
        """Put one one-cell glyph at column ``x``, row ``y``."""
        if 0 <= x < self.width and 0 <= y < self.height:
            self._clear(x, y)
            self._cells[y][x] = glyph
            self._roles[y][x] = role

    def write(self, x: int, y: int, text: str, role: str = "") -> int:
        """Write text (cleaned, see ``plain``) from column ``x``; returns the column after it."""
        if text.isascii() and text.isprintable():
            for char in text:
                self.set(x, y, char, role)
                x += 1
            return x
        for letter, cells in graphemes(to_ascii(text) if self.ascii else text):
            if cells == 1:
                self.set(x, y, letter, role)
            elif x >= 0 and x + 1 < self.width and 0 <= y < self.height:
                self._clear(x, y)
                self._clear(x + 1, y)
                self._cells[y][x : x + 2] = [letter, ""]
                self._roles[y][x : x + 2] = [role, role]
            else:
                self.set(x, y, " ", role)
            x += cells
        return x

    def right(self, x: int, y: int, text: str, role: str = "") -> None:
        """Write text that ends before column ``x``."""
        line = plain(text, ascii=self.ascii)
        self.write(x - sum(cells for _, cells in graphemes(line)), y, line, role)

    def get(self, x: int, y: int) -> str:
        """The glyph at a cell, or a space outside the grid."""
        return self._cells[y][x] if 0 <= x < self.width and 0 <= y < self.height else " "

    def role(self, x: int, y: int) -> str:
        """The role of a cell, empty outside the grid."""
        return self._roles[y][x] if 0 <= x < self.width and 0 <= y < self.height else ""

    def picture(self) -> Picture:
        """The finished picture."""
        lines, spans = [], []
        for cells, roles in zip(self._cells, self._roles, strict=True):
            lines.append("".join(cells))
            spans.append(tuple(_spans(cells, roles)))
        return Picture(self.width, tuple(lines), tuple(spans))

    def _clear(self, x: int, y: int) -> None:
        """Leave no half of a two-cell letter standing where a cell is about to be written."""
        row = self._cells[y]
        if row[x] == "" and x > 0:
            row[x - 1] = " "
            row[x] = " "
        elif x + 1 < self.width and row[x + 1] == "":
            row[x + 1] = " "


def _spans(cells: Iterable[str], roles: Iterable[str]) -> Iterator[Span]:
    at = start = 0
    held = ""
    for cell, role in zip(cells, roles, strict=True):
        if role != held:
            if held and at > start:
                yield Span(held, start, at)
            start, held = at, role
        at += len(cell)
    if held and at > start:
        yield Span(held, start, at)


class Dots:
    """A grid of dots, 2 across and 4 down in each cell, written as braille."""

    BITS = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))

    def __init__(self, columns: int, rows: int) -> None:
        self.columns, self.rows = columns, rows
        self._bits = [[0] * columns for _ in range(rows)]

    def dot(self, x: int, y: int, on: bool = True) -> None:
        """Set or clear the dot at ``x`` (0 .. 2 columns - 1) and ``y`` (0 .. 4 rows - 1, downwards)."""
        if 0 <= x < 2 * self.columns and 0 <= y < 4 * self.rows:
            bit = self.BITS[y & 3][x & 1]
            row = self._bits[y >> 2]
            row[x >> 1] = row[x >> 1] | bit if on else row[x >> 1] & ~bit

    def glyph(self, column: int, row: int) -> str:
        """The cell as one character; a space when it has no dot."""
        bits = self._bits[row][column]
        return chr(0x2800 + bits) if bits else " "
