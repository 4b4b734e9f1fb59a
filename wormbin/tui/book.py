"""The list of a castings book's things (lots, loads, piles, orders): each with its page beside it; a letter writes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll

from wormbin.drawing.marks import plain, width_of
from wormbin.farm.views.bin import Recorded
from wormbin.pages.page import Line, Page, Piece, lines
from wormbin.problems import RefusedError
from wormbin.records.ids import key_from
from wormbin.records.kinds.castings import LOT_BY_KIND, LOT_KINDS, LotKind
from wormbin.tui.place import Form
from wormbin.tui.widgets.line_list import LineList
from wormbin.tui.widgets.page_lines import PageLines

if TYPE_CHECKING:
    from wormbin.farm.session import Session

Entry = tuple[str, str, str, str]
"""A line of the list: name, words and their role, quiet words."""
WIDE = 100
"""A page opened is laid out for so many cells, and broken to what there is."""


def keys_of(about: str) -> list[BindingType]:
    """To leave, and a letter for each kind of line about this."""
    kinds = [kind for kind in LOT_KINDS.values() if kind.about == about and kind.page.key]
    return [
        Binding("escape,q", "leave", "leave"),
        *(Binding(kind.page.key, f"write('{kind.kind.value}')", kind.page.title) for kind in kinds),
    ]


class BookScreen(Form[None]):
    """The arrows choose; a letter writes a line of what is chosen, ``BEGINS`` one of something new."""

    KEYS = (("Enter", "page"),)
    BEGINS: ClassVar[LotKind]
    NONE: ClassVar[str]

    def __init__(self) -> None:
        super().__init__()
        self._entries: tuple[Entry, ...] = ()

    def found(self, farm: Session) -> Iterable[Entry]:
        """What is listed."""
        raise NotImplementedError

    def page_of(self, farm: Session, name: str) -> Page:
        """What is shown of one of them."""
        raise NotImplementedError

    def parts(self) -> ComposeResult:
        """The list, and the one chosen."""
        with Horizontal(id="pair"):
            yield LineList(self._line, id="lines")
            with VerticalScroll(id="after", can_focus=False):
                yield PageLines(id="effect")

    async def on_mount(self) -> None:
        """Show all of them, the newest under the cursor."""
        self.query_one(LineList).focus()
        await self._load(at_end=True)

    async def _load(self, *, at_end: bool = False) -> None:
        try:
            self._entries = await self.ask(lambda farm: tuple(self.found(farm)))
        except RefusedError:
            return
        self.query_one(LineList).show(len(self._entries), len(self._entries) - 1 if at_end else None)
        await self._show()

    def _line(self, index: int, width: int) -> list[Piece]:
        if index >= len(self._entries):
            return []
        name, words, role, quiet = self._entries[index]
        longest = max(width_of(plain(each[0])) for each in self._entries)
        shown = plain(name, min(longest, max(8, width - 20)))
        return [(f" {shown}  ", "strong"), (f"{words} " if words else "", role), (plain(quiet), "dim")]

    def _chosen(self) -> str:
        at = self.query_one(LineList).cursor
        return self._entries[at][0] if at < len(self._entries) else ""

    async def _page(self, width: int = WIDE) -> Sequence[Line]:
        name = self._chosen()
        if not name:
            return [[(self.NONE, "dim")]]
        return lines(await self.ask(lambda farm: tuple(self.page_of(farm, name))), width)

    async def _show(self) -> None:
        room = self.query_one("#after").size.width - 3
        self.query_one("#effect", PageLines).show(await self._page(room if room > 0 else WIDE))

    @on(LineList.Moved)
    def moved(self, _: LineList.Moved) -> None:
        """Show the one chosen."""
        self.in_background(self._show, "page")

    @on(LineList.Chosen)
    def opened(self, _: LineList.Chosen) -> None:
        """The whole page of it, to read and to print."""
        self.in_background(self._open, "open")

    def title_of(self, name: str) -> str:
        """What stands over the page of one of them; the file that it is printed into is called so, too."""
        return f"{self.heading}: {name}"

    async def _open(self) -> None:
        if name := self._chosen():
            title = self.title_of(name)
            self.open("page", title, await self._page(), file=f"{key_from(title)}.txt")

    def action_write(self, what: str) -> None:
        """Write a line: of something new, or of the one chosen."""
        kind = LOT_BY_KIND[LotKind(what)]
        name = "" if kind.kind is self.BEGINS else self._chosen()
        if name or kind.kind is self.BEGINS:
            self.open("book", name, kind, then=partial(self._written, new=kind.kind is self.BEGINS))

    def _written(self, recorded: Recorded | None, *, new: bool = False) -> None:
        if recorded is not None:
            self.notify(recorded.sentence, markup=False)
            for words in recorded.warnings[:2]:
                self.warn(words)
            self.in_background(lambda: self._load(at_end=new), "load")
