"""What stands beside a form's lines is scrolled by two keys, while the lines keep all the others."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.dom import DOMNode


class SidePage(DOMNode):
    """For a form with a page beside it; ``SIDE`` is where that is."""

    SIDE = "#after"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("pageup", "scroll_side(-1)", "the page beside it up", show=False, priority=True),
        Binding("pagedown", "scroll_side(1)", "the page beside it down", show=False, priority=True),
    ]

    def action_scroll_side(self, by: int) -> None:
        """Scroll by nearly a page."""
        side = self.query_one(self.SIDE, VerticalScroll)
        side.scroll_relative(y=by * max(side.size.height - 1, 1), animate=False)
