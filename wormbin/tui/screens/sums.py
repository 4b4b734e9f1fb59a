"""A number explained: it opens level by level, in the voice that is chosen, and is written as a work sheet."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.events import Mount

from wormbin.figures import VOICES, Quantity, Working
from wormbin.pages.page import Block, Heading, Sentence, lines
from wormbin.pages.sums import foot, head, leaf, list_row, printed, rows
from wormbin.tui.screens.reading import ReadingScreen
from wormbin.tui.widgets.fields import LateField
from wormbin.tui.widgets.parts import Parts, Row


class SumsScreen(ReadingScreen):
    """One number, or several to choose from; the path to what is open now is kept to go back by."""

    HELP = (
        "A number explained. Up and Down choose a row, Enter or Right opens it, Left or Esc goes back. v says it in "
        "plain words, as a sum, or by its sources. p writes a work sheet with blanks, and its solution."
    )
    KEYS = (("Enter", "open"), ("Left", "back"))
    AUTO_FOCUS = "Parts"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("v", "voice", "plain, sum, source"),
        Binding("p", "print", "work sheet"),
        Binding("left", "leave", "back", show=False),
    ]

    def __init__(self, title: str, workings: Sequence[Working], *, of: str = "", file: str = "work-sheet.html") -> None:
        super().__init__(title, (), file=file)
        self._all, self._of = tuple(workings), of
        self._path: list[Working | Quantity] = list(workings) if len(workings) == 1 else []
        self._at: list[int] = [0]

    def parts(self) -> ComposeResult:
        """The number, and where a work sheet is to be written."""
        yield Parts(id="page")
        yield LateField("Enter writes to", self._file, id="file")

    @on(Mount)
    async def first_shown(self) -> None:
        """Show the first, and listen."""
        await self._show()

    @property
    def _open(self) -> Working | Quantity | None:
        return self._path[-1] if self._path else None

    async def _show(self, at: int = 0) -> None:
        now, voice, ascii = self._open, VOICES[self.wormbin.voice], self.wormbin.ascii
        above: list[Block] = []
        told: list[Block] = []
        below: list[Block] = []
        if len(self._path) > 1:
            trail = " › ".join(each.title if isinstance(each, Working) else each.words for each in self._path[:-1])
            above.append(Sentence(trail, "dim"))
        if isinstance(now, Working):
            above += head(now, voice, ascii=ascii)
            told += rows(now, voice, ascii=ascii, indent=0)
            below += foot(now, voice)
        elif now is not None:
            above += leaf(now)
        else:
            above.append(Heading(self.heading))
            told += [list_row(each, ascii=ascii) for each in self._all]
        await self.query_one(Parts).show(lines(above), lines(told), lines(below), at, ascii=ascii)

    @on(Row.Chosen)
    async def chosen(self, event: Row.Chosen) -> None:
        """One level down."""
        now = self._open
        given = now.inputs[event.index] if isinstance(now, Working) else self._all[event.index]
        self._path.append(given.opens or given if isinstance(given, Quantity) else given)
        self._at.append(event.index)
        await self._show()

    def action_leave(self) -> None:
        """One level up; from the first back to what was there."""
        if self.query_one("#file").display or len(self._path) <= (len(self._all) == 1):
            super().action_leave()
            return
        self._path.pop()
        self.in_background(partial(self._show, self._at.pop()), "sum")

    async def action_voice(self) -> None:
        """The next voice."""
        self.wormbin.voice = (self.wormbin.voice + 1) % len(VOICES)
        at = next((row.index for row in self.query(Row) if row.has_focus), 0)
        await self._show(at)

    def action_print(self) -> None:
        """Ask for the file's name, where a sum is open."""
        if isinstance(self._open, Working):
            super().action_print()
        else:
            self.say("Open a number first: its work sheet is written.")

    def to_write(self, name: str) -> list[str]:
        """The work sheet and its solution."""
        working = self._open
        html = name.lower().endswith((".html", ".htm"))
        return printed(working, self._of, html=html) if isinstance(working, Working) else []
