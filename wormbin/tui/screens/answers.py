"""What has to be answered before anything else: a trouble that matters, a question before something large, what a
word means that was never said."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.widgets import Input, Static

from wormbin.farm.materials import answered, asked
from wormbin.farm.views.bin import Recorded
from wormbin.problems import MissingError
from wormbin.tui.desk import SAVE
from wormbin.tui.place import Form, acting
from wormbin.tui.themes import line_of, said
from wormbin.tui.widgets.fields import WordField
from wormbin.tui.widgets.page_lines import PageLines


class TroubleScreen(Form[None]):
    """Says what happened and what to do; nothing that was filled in is lost by it."""

    HELP = "Something could not be done. Read what it says. Enter goes on, and what you filled in is still there."
    AUTO_FOCUS = "#page"
    SHEET = "middling trouble-sheet"
    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter,escape", "go_on", "I have read it")]

    def __init__(self, words: str, *, ours: bool, heading: str = "") -> None:
        super().__init__()
        self._words = words
        self._ours = ours
        self.heading = heading or ("A fault in this program" if self._ours else "The store could not be used")

    def parts(self) -> ComposeResult:
        """What, and how to go on."""
        rest = "What you filled in is still there. Please keep this line and tell the makers." if self._ours else ""
        with VerticalScroll(id="page"):
            yield PageLines([*([said(line)] for line in self._words.splitlines()), [], [said(rest)]])

    def on_mount(self) -> None:
        """The arrows scroll."""
        self.query_one("#page").focus()

    def action_go_on(self) -> None:
        """Back to what was there."""
        self.dismiss(None)


class SureScreen(Form[bool]):
    """Says what would happen; answers whether it shall."""

    HELP = "Read what would happen. Enter does it. Esc leaves everything as it is."
    heading = "Are you sure?"
    SHEET = "small"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "answer(True)", "do it", show=False),
        Binding("escape", "answer(False)", "leave it"),
    ]

    def __init__(self, words: str, does: str) -> None:
        super().__init__()
        self.words = words
        self.KEYS = (("Enter", does),)

    def parts(self) -> ComposeResult:
        """What, and what the two keys do."""
        yield Static(line_of([said(self.words)]))

    def action_answer(self, yes: bool) -> None:
        """Say which."""
        self.dismiss(yes)


class OnceForm(Form[Recorded]):
    """Asks for what a word means that was never said, and keeps it; answers None when it was left."""

    HELP = "What you typed is not known yet. Say it once and press Enter: it is kept. Esc goes back to the form."
    SHEET = "small"
    KEYS = (("Enter", "keep it"),)
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "leave", "back")]

    def __init__(self, missing: MissingError) -> None:
        super().__init__()
        self.missing = missing
        self._asked = asked(missing)
        self.heading = self._asked.question

    def parts(self) -> ComposeResult:
        """What happens with it, and the line to say it in."""
        yield Static(line_of([said(self._asked.after, "dim")]))
        yield WordField(self._asked.label, self._asked.example, id="answer")

    @on(Input.Submitted)
    @acting
    async def submitted(self, event: Input.Submitted) -> None:
        """Keep it; what is refused stays in the line."""
        words, by = event.value.strip(), self.wormbin.by
        if not words:
            self.say(f"{self._asked.label}: nothing yet. Example: {self._asked.example}")
            return
        if recorded := await self.understood(lambda farm: answered(farm, self.missing, words, by), SAVE):
            self.dismiss(recorded)
