"""Lines to read, laid out for the width there is: broken between words, set in under where they began."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.geometry import Size
from textual.message import Message
from textual.widget import Widget

from wormbin.pages.page import Line, Piece, cut_short, laid
from wormbin.tui.themes import lines_of


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


class Row(PageLines, can_focus=True):
    """A row that can be chosen: it is the one with the focus, and a mark tells so without colour."""

    DEFAULT_CSS = "Row { padding: 0 1 0 0; } Row:focus { background: $wb-cursor; }"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up,k", "move(-1)", "up", show=False),
        Binding("down,j", "move(1)", "down", show=False),
        Binding("enter,right", "choose", "open", show=False),
    ]

    class Chosen(Message):
        """Row ``index`` was chosen."""

        def __init__(self, index: int) -> None:
            super().__init__()
            self.index = index

    def __init__(self, line: Line, index: int, *, ascii: bool) -> None:
        super().__init__()
        self.index = index
        self._line, self._ascii = line, ascii

    def render(self) -> Content:
        """The row, with the mark while it has the focus."""
        mark = (">" if self._ascii else "▸") if self.has_focus else " "
        self._lines = ([(f" {mark} ", "key"), *self._line],)
        return super().render()

    def action_move(self, by: int) -> None:
        """To the row above or below; beyond the last ones the page scrolls to its end."""
        rows = list(self.screen.query(Row))
        at = rows.index(self) + by
        if 0 <= at < len(rows):
            rows[at].focus()
        elif isinstance(self.parent, VerticalScroll):
            self.parent.scroll_home() if by < 0 else self.parent.scroll_end()

    def action_choose(self) -> None:
        """Open it."""
        self.post_message(self.Chosen(self.index))

    def on_click(self) -> None:
        """A click opens it."""
        self.action_choose()


class Parts(VerticalScroll, can_focus=True):
    """Lines, of which some are rows to choose from."""

    _at = 0

    async def show(
        self, above: Sequence[Line], rows: Sequence[Line], below: Sequence[Line], at: int = 0, *, ascii: bool
    ) -> None:
        """Show these from now on, with row ``at`` chosen."""
        self._at = max(0, min(at, len(rows) - 1))
        listens = self.has_focus or any(row.has_focus for row in self.query(Row))
        made = [Row(line, number, ascii=ascii) for number, line in enumerate(rows)]
        await self.remove_children()
        await self.mount(PageLines(above), *made, PageLines(below))
        if listens:
            (made[self._at] if made else self).focus(scroll_visible=at > 0)
        if not at:
            self.scroll_home(animate=False)

    def on_focus(self) -> None:
        """A row listens where there is one."""
        rows = list(self.query(Row))
        if rows:
            rows[min(self._at, len(rows) - 1)].focus(scroll_visible=self._at > 0)
