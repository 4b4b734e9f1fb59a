"""A list of lines with a cursor, drawn line by line, so that ten years of log scroll like ten lines."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import ClassVar, Self

from rich.segment import Segment
from rich.style import Style
from textual.binding import Binding, BindingType
from textual.color import Color
from textual.events import Click, Resize
from textual.geometry import Region, Size
from textual.message import Message
from textual.reactive import reactive
from textual.scroll_view import ScrollView
from textual.strip import Strip

from wormbin.pages.page import Piece, fitted
from wormbin.tui.themes import rich_styles

KEPT = 600
"""Lines that are kept as they were drawn, some screens' worth."""
Draw = Callable[[int, int], Sequence[Piece]]
"""``draw(index, width)`` gives the pieces of one line."""


class LineList(ScrollView, can_focus=True):
    """``count`` lines, each made by ``draw`` when it comes into sight; the cursor moves by key and mouse."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up,k", "move(-1)", "up", show=False),
        Binding("down,j", "move(1)", "down", show=False),
        Binding("pageup", "page(-1)", "a page up", show=False),
        Binding("pagedown", "page(1)", "a page down", show=False),
        Binding("home", "ends(0)", "first", show=False),
        Binding("end", "ends(1)", "last", show=False),
        Binding("enter", "choose", "open", show=False),
    ]

    cursor: reactive[int] = reactive(0, repaint=False)

    class Moved(Message):
        """The cursor has come to line ``index``."""

        def __init__(self, lines: LineList, index: int) -> None:
            super().__init__()
            self.lines = lines
            self.index = index

        @property
        def control(self) -> LineList:
            """The list itself."""
            return self.lines

    class Chosen(Moved):
        """Line ``index`` was chosen, with Enter or a click on the cursor's line."""

    def __init__(self, draw: Draw, count: int = 0, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._draw = draw
        self._count = count
        self._styles: dict[str, Style] = {}
        self._drawn: dict[tuple[int, bool], Strip] = {}
        self._base = Style()
        self._under = Color(0, 0, 0)

    def on_mount(self) -> None:
        """Take the theme's colours, and again whenever it changes."""
        self.app.theme_changed_signal.subscribe(self, lambda _: self.restyle())
        self.restyle()
        self._measure()

    def restyle(self) -> None:
        """Read the colours of the theme that is on."""
        self._styles = rich_styles(self.app.theme_variables)
        self.refresh()

    def show(self, count: int, cursor: int | None = None) -> None:
        """There are ``count`` lines now; every line is drawn anew."""
        self._count = count
        self._measure()
        self.cursor = max(0, min(self.cursor if cursor is None else cursor, count - 1))
        self.refresh()

    @property
    def count(self) -> int:
        """How many lines there are."""
        return self._count

    def on_resize(self, _: Resize) -> None:
        """Keep the lines as wide as the room."""
        self._measure()

    def _measure(self) -> None:
        self.virtual_size = Size(self.scrollable_content_region.width, self._count)

    def refresh(self, *regions: Region, repaint: bool = True, layout: bool = False, recompose: bool = False) -> Self:
        """Paint again: only these regions of the widget from what was drawn before, or without any, all drawn anew."""
        if not regions:
            self._drawn.clear()
        return super().refresh(*regions, repaint=repaint, layout=layout, recompose=recompose)

    def render_lines(self, crop: Region) -> list[Strip]:
        """The lines in sight, without the work for a border or padding, which a list never has.

        A line that was drawn once is kept until something but the cursor or the scrolling changes.
        """
        width, top, drawn = self.size.width, self.scroll_offset.y, self._drawn
        if len(drawn) > KEPT:
            drawn.clear()
        if not drawn:
            self._base, self._under = self.rich_style, self.background_colors[1]
        strips = []
        for y in crop.line_range:
            index = y + top
            place = (index, index == self.cursor)
            if (strip := drawn.get(place)) is None:
                strip = self.render_line(y).adjust_cell_length(width, self._base)
                for each in self.get_line_filters():
                    strip = strip.apply_filter(each, self._under)
                drawn[place] = strip
            strips.append(strip)
        start, end = crop.column_span
        return strips if (start, end) == (0, width) else [strip.crop(start, end) for strip in strips]

    def render_line(self, y: int) -> Strip:
        """One line of the screen."""
        width = self.scrollable_content_region.width
        index = y + self.scroll_offset.y
        base = self._base
        if index >= self._count:
            return Strip.blank(width, base)
        under = base
        if index == self.cursor:
            under += Style(bgcolor=self.app.theme_variables.get("wb-cursor"), bold=True if self.has_focus else None)
        pieces = fitted(self._draw(index, width), width)
        return Strip([Segment(text, under + self._styles.get(role, self._styles[""])) for text, role in pieces], width)

    def watch_cursor(self, old: int, new: int) -> None:
        """Keep the cursor in sight and say where it is; only the two lines change."""
        self.scroll_to_region(Region(0, new, 1, 1), animate=False)
        self.refresh_line(old)
        self.refresh_line(new)
        if self._count and self.is_mounted:
            self.post_message(self.Moved(self, new))

    def validate_cursor(self, value: int) -> int:
        """Never outside the lines."""
        return max(0, min(value, max(self._count - 1, 0)))

    def on_focus(self) -> None:
        """The cursor's line looks stronger with focus."""
        self.refresh()

    def on_blur(self) -> None:
        """And plainer without."""
        self.refresh()

    def on_click(self, event: Click) -> None:
        """A click moves the cursor; on the cursor's own line it chooses."""
        index = int(event.y) + self.scroll_offset.y
        if not 0 <= index < self._count:
            return
        if index == self.cursor:
            self.action_choose()
        else:
            self.cursor = index

    def action_move(self, by: int) -> None:
        """Move the cursor by lines."""
        self.cursor += by

    def action_page(self, by: int) -> None:
        """Move the cursor by pages."""
        self.cursor += by * max(self.scrollable_content_region.height - 1, 1)

    def action_ends(self, last: int) -> None:
        """To the first or the last line."""
        self.cursor = (self._count - 1) if last else 0

    def action_choose(self) -> None:
        """Choose the cursor's line."""
        if self._count:
            self.post_message(self.Chosen(self, self.cursor))
