"""A bin's log, newest first, in lines: ten years scroll like ten days."""

from __future__ import annotations

from collections.abc import Sequence

from wormbin.drawing.marks import plain
from wormbin.farm.views.bin import LogLine
from wormbin.tui.showing import Piece, said
from wormbin.tui.widgets.line_list import LineList


class LogList(LineList):
    """Shows log lines; struck and replaced ones stay visible, struck through, with the reason."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(self._line, id=id)
        self._lines: Sequence[LogLine] = ()
        self.ascii = False

    def show_log(self, lines: Sequence[LogLine], *, ascii: bool) -> None:
        """Show these lines (they come oldest first)."""
        self._lines = lines
        self.ascii = ascii
        self._signed = any(line.by for line in lines)
        self.show(len(lines))

    def current(self) -> LogLine | None:
        """The line under the cursor."""
        return self._at(self.cursor)

    def _at(self, index: int) -> LogLine | None:
        return self._lines[len(self._lines) - 1 - index] if 0 <= index < len(self._lines) else None

    def _line(self, index: int, width: int) -> Sequence[Piece]:
        line = self._at(index)
        return log_pieces(line, width, signed=self._signed, ascii=self.ascii) if line is not None else [("", "")]


def log_pieces(line: LogLine, width: int, *, signed: bool = True, ascii: bool = False) -> list[Piece]:
    """One line of the log: day, time, kind, what, who where any are ``signed``; the reason when it is struck."""
    by = min(10, max(width // 8, 0)) if signed else 0
    words = line.words
    if line.compartment:
        words = f"part {line.compartment}: {words}"
    if line.note:
        words = f"{words} · {line.note}" if words else line.note
    state, role = "", ""
    if line.struck:
        state, role = f"struck: {line.why}  ", "struck"
    elif line.replaced:
        state, role = "amended  ", "struck"
    room = max(width - 17 - 10 - by, 0)
    if state:
        words = f"{state}{words}"
    return [
        (f" {line.moment}"[:17], "dim"),
        (plain(f" {line.kind.value}", 10), role or "key"),
        (plain(words, max(room - 1, 0), ascii=ascii) + " ", role),
        said(plain(line.by, by, ascii=ascii), "dim"),
    ]
