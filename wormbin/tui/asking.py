"""The form that answers: some lines of words, then Enter, and a page of what they come to; nothing is written."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Input

from wormbin.pages.page import Page
from wormbin.problems import RefusedError
from wormbin.tui.place import Form
from wormbin.tui.widgets.fields import WordField
from wormbin.tui.widgets.page_lines import PageLines


class AskForm(Form[None]):
    """``FIELDS`` are its lines: id, label, example. Without the one ``NEEDED`` there is no answer."""

    FIELDS: ClassVar[tuple[tuple[str, str, str], ...]]
    NEEDED = ""
    HINT = ""

    async def answer(self) -> Page:
        """What the words come to. Raises RefusedError for what is not understood."""
        raise NotImplementedError

    def parts(self) -> ComposeResult:
        """The lines, and the page."""
        for name, label, example in self.FIELDS:
            yield WordField(label, example, id=name)
        with VerticalScroll(id="page", can_focus=True):
            yield PageLines([[(self.HINT, "dim")]], id="effect")

    @on(Input.Submitted)
    def submitted(self, event: Input.Submitted) -> None:
        """The line that is needed, then the answer."""
        event.stop()
        if self.NEEDED and not self.word(self.NEEDED) and event.input.parent is not (row := self.row_of(self.NEEDED)):
            if row is not None:
                row.query_one(Input).focus()
        else:
            self.in_background(self._answer, "answer")

    async def _answer(self) -> None:
        try:
            page = await self.answer()
        except RefusedError as refused:  # and what is filled in stays
            self.refuse(refused)
            return
        self.say("")
        self.show_page(page)
        self.query_one("#page").focus()
