"""The place of a bin's log: the lines, a filter by kind and by word, and what can be done to a line."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.message import Message
from textual.widgets import Input, Static

from wormbin.drawing.marks import plain
from wormbin.farm.views.bin import LogLine
from wormbin.records.entries import Kind
from wormbin.tui.themes import Piece, line_of, said
from wormbin.tui.widgets.line_list import LineList

KINDS = ("", *(kind.value for kind in Kind))


class LogPlace(Vertical):
    """Asks for what it wants to show by ``Wanted``; what is chosen goes up as a message."""

    DEFAULT_CSS = "LogPlace Input { height: 1; border: none; padding: 0 1; }"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("r", "put_right", "put the line right", show=False),
        Binding("z,delete", "strike", "strike the line through", show=False),
        Binding("slash", "find", "lines with a word", show=False),
        Binding("v", "next_kind", "only one kind", show=False),
    ]

    class Wanted(Message):
        """Other lines are to be shown: of this kind, with this word."""

        def __init__(self, kind: str, word: str) -> None:
            super().__init__()
            self.kind = kind
            self.word = word

    class LineChosen(Message):
        """Something is to be done with a line: ``open``, ``put right`` or ``strike``."""

        def __init__(self, line: LogLine, what: str) -> None:
            super().__init__()
            self.line = line
            self.what = what

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._kind = ""
        self._word = ""

    def compose(self) -> ComposeResult:
        """What is shown, the lines, the word to find."""
        yield Static(id="log-head")
        yield LogList(id="lines")
        word = Input(placeholder="a word; Enter back to the lines, Esc all lines", id="log-word", select_on_focus=False)
        word.display = False
        yield word

    def ask_again(self) -> None:
        """Ask for the lines as they are filtered now."""
        self.post_message(self.Wanted(self._kind, self._word))

    def show_log(self, lines: Sequence[LogLine], *, ascii: bool) -> None:
        """Show these."""
        self.query_one(LogList).show_log(lines, ascii=ascii)
        count = f"{len(lines)} lines, newest first" if len(lines) != 1 else "one line"
        pieces: list[Piece] = [(f" {count}", "dim")]
        if self._kind:
            pieces.append((f"   only {self._kind}", "watch"))
        if self._word:
            pieces.append(said(f"   with “{self._word}”", "watch"))
        pieces.append(("   Enter open  r put right  z strike  / word  v kind", "dim"))
        self.query_one("#log-head", Static).update(line_of(pieces))

    def listen(self) -> None:
        """The arrows go to the lines."""
        self.query_one(LogList).focus()

    def leave_filter(self) -> bool:
        """Take the filter off; whether there was one."""
        word = self.query_one("#log-word", Input)
        if not (word.display or self._kind or self._word):
            return False
        self._kind = self._word = word.value = ""
        word.display = False
        self.listen()
        self.ask_again()
        return True

    def action_next_kind(self) -> None:
        """Go to the next kind."""
        self._kind = KINDS[(KINDS.index(self._kind) + 1) % len(KINDS)]
        self.ask_again()

    def action_find(self) -> None:
        """Type a word."""
        word = self.query_one("#log-word", Input)
        word.display = True
        word.focus()

    @on(Input.Changed, "#log-word")
    def typed(self, event: Input.Changed) -> None:
        """Filter while typing."""
        event.stop()
        if event.value.strip() != self._word:
            self._word = event.value.strip()
            self.ask_again()

    @on(Input.Submitted, "#log-word")
    def word_said(self, event: Input.Submitted) -> None:
        """Back to the lines."""
        event.stop()
        event.input.display = bool(self._word)
        self.listen()

    @on(LineList.Chosen)
    def opened(self, event: LineList.Chosen) -> None:
        """Enter opens a line."""
        event.stop()
        self._send("open")

    def action_put_right(self) -> None:
        """Write a right line for this one."""
        self._send("put right")

    def action_strike(self) -> None:
        """Strike this line through."""
        self._send("strike")

    def _send(self, what: str) -> None:
        line = self.query_one(LogList).current()
        if line is not None:
            self.post_message(self.LineChosen(line, what))


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
