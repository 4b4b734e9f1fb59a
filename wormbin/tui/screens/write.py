"""Write down anything else: which kind, by one key; then its few lines; Enter saves. Or strike a line through."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.widgets import Input, Static

from wormbin.farm import recording
from wormbin.farm.heading import Heading
from wormbin.farm.materials import complete_portion
from wormbin.farm.views.bin import LogLine
from wormbin.tui.form import FilledForm
from wormbin.tui.papers import PAPERS, Paper
from wormbin.tui.place import Form, Hand
from wormbin.tui.showing import Piece, line_of, lines_of, said
from wormbin.tui.widgets.fields import NameSuggester, WordField
from wormbin.tui.widgets.line_list import LineList


class KindMenu(Form[Paper]):
    """Every kind of entry with its key."""

    HELP = "Pick what to write down by its letter, or with the arrows and Enter."
    BINDINGS: ClassVar[list[BindingType]] = [
        *(
            # Before the list's own letters, and before the next key is looked at.
            Binding(paper.key, f"pick({number})", paper.title, show=False, priority=True)
            for number, paper in enumerate(PAPERS)
        ),
        Binding("escape", "dismiss(None)", "back"),
    ]

    def compose(self) -> ComposeResult:
        """The kinds."""
        with Vertical(classes="sheet small"):
            yield Static(line_of([("Write down", "title")]), classes="sheet-title")
            yield LineList(self._line, len(PAPERS))
            yield Static(line_of([("a letter picks   F1 help   Esc back", "dim")]), id="keys")

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


class WriteForm(FilledForm):
    """Shows one paper; what is refused stays filled in."""

    HELP = "Fill in the lines; Enter goes to the next and saves on the last. Measures are written with their unit."

    def __init__(
        self, hand: Hand, paper: Paper, *, fields: Mapping[str, str] | None = None, replaces: str = ""
    ) -> None:
        super().__init__()
        self.hand = hand
        self.key = hand.key
        self._given = fields or {}
        self._replaces = replaces
        self.paper = paper
        self.draft_name = f"{paper.title.replace(' ', '-')}-{hand.key}"

    def compose(self) -> ComposeResult:
        """The paper's lines, a note, a day, what is wrong."""
        names = NameSuggester(self._finish)
        with Vertical(classes="sheet middling snug"):
            words = f"{'put right, ' if self._replaces else ''}{self.paper.title}: {self.hand.name}"
            yield Static(line_of([said(words[:1].upper() + words[1:], "title")]), classes="sheet-title")
            with VerticalScroll(can_focus=False):
                for line in self.paper.lines:
                    yield WordField(line.label, line.example, suggester=names if line.names else None, id=line.name)
                if not any(line.name == "words" for line in self.paper.lines):
                    yield WordField("note", id="note")
                if self.hand.compartments > 1:
                    yield WordField(f"part, 1 to {self.hand.compartments}", "1", id="part")
                yield WordField("when, if not now", "yesterday, or 2026-03-02", id="when")
                if self.paper.mind:
                    yield Static(line_of([said(self.paper.mind, "dim")]), classes="mind")
            yield Static(id="trouble", classes="trouble")
            yield Static(line_of([("Enter next, and save on the last line   F1 help   Esc leave", "dim")]), id="keys")

    async def on_mount(self) -> None:
        """Offer what was half filled."""
        if self._given:
            self.fill(self._given)
        else:
            await self.offer_draft()

    def fill(self, fields: Mapping[str, str]) -> None:
        """Put back what was filled in before."""
        for field in self.query(WordField):
            field.value = fields.get(field.id or "", "")

    async def _finish(self, words: str) -> str | None:
        # Beddings are the only materials that have a paper of this kind.
        return await self.ask(lambda farm: complete_portion(farm, words, "bedding"))

    def fields(self) -> dict[str, str]:
        """What is filled in so far."""
        return {field.id or "": field.value for field in self.query(WordField) if field.value}

    @on(Input.Submitted)
    async def submitted(self, event: Input.Submitted) -> None:
        """The next line, or save from the last, or from any once all the paper's own lines are filled."""
        event.stop()
        own = [self.query_one(f"#{line.name}", WordField) for line in self.paper.lines]
        unfilled = next((field for field in own if not field.value), None)
        here = next((field for field in own if field.input is event.input), None)
        if unfilled is not None and here is not None and here is not own[-1]:
            self.focus_next()
            return
        await self._save()

    async def _save(self) -> None:
        fields = self.fields()
        heading = Heading(
            when=self.day_meant(fields.get("when", "") or self._given.get("when", "")), note=fields.get("note", ""),
            compartment=fields.get("part", ""), by=self.wormbin.by, replaces=self._replaces, ask=self.asks,
        )  # fmt: skip
        lines = {line.name: fields.get(line.name, "") for line in self.paper.lines}
        await self.save(lambda farm: self.paper.write(farm, self.key, lines, heading))


class StrikeForm(FilledForm):
    """One line: why."""

    HELP = "A paper log is never rubbed out. Say in a word or two why the line is wrong; Enter strikes it through."

    def __init__(self, line: LogLine) -> None:
        super().__init__()
        self.line = line
        self.draft_name = f"strike-{line.entry}"

    def compose(self) -> ComposeResult:
        """The line, and why."""
        with Vertical(classes="sheet small"):
            yield Static(line_of([("Strike through", "title")]), classes="sheet-title")
            yield Static(
                lines_of([[said(f"{self.line.moment}  {self.line.kind.value}", "dim")], [said(self.line.words)]])
            )
            yield WordField("why", "mistyped", id="why")
            yield Static(id="trouble", classes="trouble")
            yield Static(line_of([("Enter strike it through   F1 help   Esc leave", "dim")]), id="keys")

    def on_mount(self) -> None:
        """Listen."""
        self.query_one(WordField).input.focus()

    def fields(self) -> dict[str, str]:
        """Why, so far."""
        why = self.query_one(WordField).value
        return {"why": why} if why else {}

    def fill(self, fields: Mapping[str, str]) -> None:
        """Put back what was filled in before."""
        self.query_one(WordField).value = fields.get("why", "")

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
