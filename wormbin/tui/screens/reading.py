"""A page to read: lines that scroll, over whatever was there; the help for a place is such a page."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.dom import DOMNode
from textual.events import Mount
from textual.screen import Screen
from textual.widgets import Input

from wormbin.drawing.marks import basis_mark, beside_mark, level_mark
from wormbin.farm.reports import write_page
from wormbin.figures import VOICES, Basis, Level, Quantity, Working
from wormbin.pages.page import Block, Heading, Sentence, lines
from wormbin.pages.sums import foot, head, leaf, list_row, printed, rows
from wormbin.tui.desk import SAVE
from wormbin.tui.keyboard import named_actions, places_of
from wormbin.tui.place import Form, acting
from wormbin.tui.themes import Piece, said
from wormbin.tui.widgets.fields import LateField
from wormbin.tui.widgets.page_lines import PageLines, Parts, Row


class ReadingScreen(Form[None]):
    """Shows a title and lines; any of the usual keys leaves."""

    HELP = "A page to read. The arrows scroll it. p writes it to a text file that you can print and hang up."
    KEYS: Sequence[tuple[str, str]] = (("arrows", "scroll"),)
    AUTO_FOCUS = "#page"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,q,enter,d", "leave", "back"),
        Binding("p", "print", "write to a file, to print"),
    ]

    def __init__(self, title: str, lines: Sequence[Sequence[Piece]], *, file: str = "wormbin-page.txt") -> None:
        super().__init__()
        self.heading = title
        self._lines = lines
        self._file = file

    def parts(self) -> ComposeResult:
        """Title, lines, where to write it, how to leave."""
        with VerticalScroll(can_focus=True, id="page"):
            yield PageLines(self._lines)
        yield LateField("Enter writes to", self._file, id="file")

    def on_mount(self) -> None:
        """Arrow keys scroll at once."""
        self.query_one("#page").focus()

    def action_print(self) -> None:
        """Ask for the file's name."""
        self.query_one(LateField).open(self._file)

    def to_write(self, name: str) -> list[str]:
        """The lines of the file of that name."""
        return [self.heading, "", *("".join(text for text, _ in line) for line in self._lines)]

    @on(Input.Submitted)
    @acting
    async def file_named(self, event: Input.Submitted) -> None:
        """Write the page; an older file of that name is never written over."""
        name = event.value
        lines = self.to_write(name)
        if path := await self.understood(lambda _: write_page(name, lines), SAVE):
            self.query_one(LateField).close()
            self.say(f"Written: {path}", role="good")


CAUTION = (
    "Worm bins do not make waste safe: no pet or human waste, no meat. Wash hands after; mind dust and mould,",
    "above all with asthma; lift under 20 kg. Local rules decide; ask a licensed professional.",
)


class HelpScreen(ReadingScreen):
    """Help for ``screen``: what it is for, its keys and those that work everywhere, and what the marks mean."""

    def __init__(self, screen: Screen[object], *, ascii: bool = False) -> None:
        lines: list[list[Piece]] = [[said(screen.HELP or "")], []]
        lines.append([("Keys here", "strong")])
        typed = bool(screen.query(Input))  # there a question mark is a letter
        for place in places_of(screen):
            lines.extend(key_lines(place, typed=typed))
        lines += [[], [("Keys everywhere", "strong")]]
        lines.extend(key_lines(screen.app, typed=typed))
        lines += [[], [("What the marks mean", "strong")]]
        for level, words in (
            (Level.ACT, "do something today"),
            (Level.WATCH, "keep an eye on it, a small step helps"),
            (Level.STEADY, "nothing to do about it"),
        ):
            lines.append([(f"  {level_mark(level, ascii=ascii):<10}", level.value), (words, "")])
        for way, words in (("below", "left of"), ("above", "right of")):
            mark = f"{beside_mark(way, ascii=ascii)} {way}"
            lines.append([(f"  {mark:<10}", Level.WATCH.value), (f"{words} the brackets, not far enough to act", "")])
        lines.append(
            [(f"  {basis_mark(Basis.READ, ascii=ascii):<10}", "reading"), ("read: somebody looked or measured", "")]
        )
        lines.append(
            [
                (f"  {basis_mark(Basis.WORKED_OUT, ascii=ascii):<10}", "basis"),
                ("worked out from the log; the true value lies in the shaded band eight times in ten", ""),
            ]
        )
        lines += [[], *([(words, "dim")] for words in CAUTION)]
        super().__init__("Help", lines)


def key_lines(place: DOMNode, *, typed: bool = False) -> list[list[Piece]]:
    """Everything that a screen or program can do, one a line; without the letters that are ``typed`` there."""
    return [
        [(f"  {each.keys:<10} ", "key"), (each.words, "")]
        for each in named_actions(place)
        if not (typed and each.keys == "?")
    ]


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
