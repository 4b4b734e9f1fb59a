"""Write down anything else: which kind, by one key; then its few lines; Enter saves. Or strike a line through."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import Input, Static

from wormbin.farm import recording
from wormbin.farm.views.bin import LogLine
from wormbin.tui.form import FilledForm, PaperForm
from wormbin.tui.papers import PAPERS, Paper
from wormbin.tui.place import Form, Hand
from wormbin.tui.showing import Piece, lines_of, said
from wormbin.tui.widgets.fields import WordField
from wormbin.tui.widgets.line_list import LineList


class KindMenu(Form[Paper]):
    """Every kind of entry with its key."""

    HELP = "Pick what to write down by its letter, or with the arrows and Enter."
    heading = "Write down"
    KEYS = (("a letter", "picks"),)
    SHEET = "small"
    BINDINGS: ClassVar[list[BindingType]] = [
        *(
            # Before the list's own letters, and before the next key is looked at.
            Binding(paper.key, f"pick({number})", paper.title, show=False, priority=True)
            for number, paper in enumerate(PAPERS)
        ),
        Binding("escape", "leave", "back"),
    ]

    def parts(self) -> ComposeResult:
        """The kinds."""
        yield LineList(self._line, len(PAPERS))

    def _line(self, index: int, _: int) -> list[Piece]:
        paper = PAPERS[index]
        return [(f" {paper.key}  ", "key"), (f"{paper.title:<13}", "strong"), (paper.about, "dim")]

    def on_mount(self) -> None:
        """Listen to letters at once."""
        self.query_one(LineList).focus()

    def action_pick(self, number: int) -> None:
        """A letter picks."""
        self.dismiss(PAPERS[number])

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Enter picks."""
        self.dismiss(PAPERS[event.index])


class WriteForm(PaperForm):
    """Shows one paper; what is refused stays filled in."""

    HELP = "Fill in the lines; Enter goes to the next and saves on the last. Measures are written with their unit."

    def __init__(
        self, hand: Hand, paper: Paper, *, fields: Mapping[str, str] | None = None, replaces: str = ""
    ) -> None:
        super().__init__(paper.lines, paper.mind)
        self.paper = paper
        self.key = hand.key
        self.compartments = hand.compartments
        self.given = fields or {}
        self.replaces = replaces
        self.draft_name = f"{paper.title.replace(' ', '-')}-{hand.key}"
        words = f"{'put right, ' if replaces else ''}{paper.title}: {hand.name}"
        self.heading = words[:1].upper() + words[1:]

    async def save_paper(self, said: Mapping[str, str]) -> None:
        """Write the line."""
        heading = self.entry_heading(ask=self.asks)
        await self.save(lambda farm: self.paper.write(farm, self.key, said, heading))


class StrikeForm(FilledForm):
    """One line: why."""

    HELP = "A paper log is never rubbed out. Say in a word or two why the line is wrong; Enter strikes it through."

    heading = "Strike through"
    KEYS = (("Enter", "strike it through"),)
    SHEET = "small"

    def __init__(self, line: LogLine) -> None:
        super().__init__()
        self.line = line
        self.draft_name = f"strike-{line.entry}"

    def parts(self) -> ComposeResult:
        """The line, and why."""
        yield Static(lines_of([[said(f"{self.line.moment}  {self.line.kind.value}", "dim")], [said(self.line.words)]]))
        yield WordField("why", "mistyped", id="why")

    def on_mount(self) -> None:
        """Listen."""
        self.query_one(WordField).input.focus()

    @on(Input.Submitted)
    async def submitted(self, event: Input.Submitted) -> None:
        """Strike."""
        event.stop()
        why, by = event.value.strip(), self.wormbin.by
        if not why:
            self.say("why: nothing was read; allowed is a word or two. Example: mistyped")
            return
        asks, way = self.asks, "Enter again strikes it; Esc leaves."
        await self.save(lambda farm: recording.strike(farm, self.line.entry, why, by, ask=asks), way)
