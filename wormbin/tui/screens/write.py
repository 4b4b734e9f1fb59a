"""Write down anything else: first which kind, by one key; then its few lines; Enter saves."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.widgets import Input, Static

from wormbin.drawing.marks import plain
from wormbin.farm.proposals import Heading
from wormbin.farm.views import Recorded
from wormbin.problems import RefusedError
from wormbin.tui.desk import SAVE
from wormbin.tui.papers import PAPERS, Paper
from wormbin.tui.place import Form
from wormbin.tui.showing import Piece, line_of, lines_of, said
from wormbin.tui.widgets.line_list import LineList
from wormbin.tui.widgets.name_suggester import NameSuggester
from wormbin.tui.widgets.word_field import WordField


class KindMenu(Form[Paper]):
    """Every kind of entry with its key."""

    HELP = "Pick what to write down by its letter, or with the arrows and Enter."
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "dismiss(None)", "back")]

    def compose(self) -> ComposeResult:
        """The kinds."""
        with Vertical(classes="sheet small"):
            yield Static(line_of([("Write down", "title")]))
            yield LineList(self._line, len(PAPERS))
            yield Static(line_of([("a letter picks   Esc back", "dim")]))

    def _line(self, index: int, _: int) -> list[Piece]:
        paper = PAPERS[index]
        return [(f" {paper.key} ", "key"), (paper.title, "")]

    def on_mount(self) -> None:
        """Listen to letters at once."""
        self.query_one(LineList).focus()

    def key_up_or_letter(self, letter: str) -> Paper | None:
        """The paper that a letter picks."""
        return next((paper for paper in PAPERS if paper.key == letter), None)

    def on_key(self, event: object) -> None:
        """A letter picks."""
        letter = getattr(event, "character", None) or ""
        if (paper := self.key_up_or_letter(letter)) is not None:
            event.stop()  # type: ignore[attr-defined]
            self.dismiss(paper)

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Enter picks."""
        self.dismiss(PAPERS[event.index])


class WriteForm(Form[Recorded]):
    """Shows one paper; what is refused stays filled in."""

    HELP = "Fill in the lines; Enter goes to the next and saves on the last. Measures are written with their unit."
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "leave", "leave")]

    def __init__(self, key: str, name: str, paper: Paper) -> None:
        super().__init__()
        self.key = key
        self._bin_name = name
        self.paper = paper
        self._leaving = False

    def compose(self) -> ComposeResult:
        """The paper's lines, a note, a day, what is wrong."""
        names = NameSuggester(self._finish)
        with Vertical(classes="sheet"):
            yield Static(line_of([said(f"{self.paper.title}: {self._bin_name}", "title")]))
            with VerticalScroll(can_focus=False):
                for line in self.paper.lines:
                    yield WordField(line.label, line.example, suggester=names if line.names else None, id=line.name)
                if not any(line.name == "words" for line in self.paper.lines):
                    yield WordField("note", "", id="note")
                yield WordField("when, if not now", "yesterday, 2026-03-02", id="when")
                if self.paper.mind:
                    yield Static(line_of([said(self.paper.mind, "dim")]), classes="mind")
            yield Static(id="trouble", classes="trouble")
            yield Static(line_of([("Enter next, and save on the last line   Esc leave", "dim")]))

    async def on_mount(self) -> None:
        """Offer what was half filled."""
        draft = await self.ask(lambda farm: dict(farm.draft(self._draft_name)))
        for field in self.query(WordField):
            field.value = draft.get(field.id or "", "")
        self.query(WordField).first().input.focus()

    @property
    def _draft_name(self) -> str:
        return f"{self.paper.title.replace(' ', '-')}-{self.key}"

    async def _finish(self, words: str) -> str | None:
        return await self.ask(lambda farm: farm.complete_portion(words))

    def _say(self, *sentences: str) -> None:
        self.query_one("#trouble", Static).update(lines_of([said(plain(words), "watch")] for words in sentences))

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
        heading = Heading(when=fields.get("when", ""), note=fields.get("note", ""))
        lines = {line.name: fields.get(line.name, "") for line in self.paper.lines}
        try:
            recorded = await self.ask(lambda farm: self.paper.write(farm, self.key, lines, heading), SAVE)
        except RefusedError as refused:
            self._say(*(problem.sentence() for problem in refused.problems))
            return
        await self.ask(lambda farm: farm.drop_draft(self._draft_name), SAVE)
        self.dismiss(recorded)

    async def action_leave(self) -> None:
        """Leave at once when nothing is filled in; else ask once."""
        if self.fields() and not self._leaving:
            self._leaving = True
            self._say("Not saved. Esc again drops what is filled in.")
            return
        await self.ask(lambda farm: farm.drop_draft(self._draft_name), SAVE)
        self.dismiss(None)

    async def keep_draft(self) -> None:
        """The program is ending: keep what is half filled for the next start."""
        if fields := self.fields():
            await self.ask(lambda farm: farm.save_draft(self._draft_name, fields), SAVE)
