"""A page to read: lines that scroll, over whatever was there; the help for a place is such a page."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.dom import DOMNode
from textual.screen import Screen
from textual.widgets import Input

from wormbin.drawing.marks import basis_mark, beside_mark, level_mark
from wormbin.farm.reports import write_page
from wormbin.figures import Basis, Level
from wormbin.tui.desk import SAVE
from wormbin.tui.keys import named_actions, places_of
from wormbin.tui.place import Form, acting
from wormbin.tui.showing import Piece, said
from wormbin.tui.widgets.fields import LateField
from wormbin.tui.widgets.page_lines import PageLines


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
