"""A worm survey, sample by sample: after each one stands how many worms there are, and how sure that is."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.widgets import Input

from wormbin.farm import recording
from wormbin.farm.recording.lines import write
from wormbin.farm.views.proposals import SurveyView
from wormbin.measures import counted
from wormbin.problems import RefusedError
from wormbin.records.entries import Kind
from wormbin.tui.form import FilledForm
from wormbin.tui.place import Hand, acting
from wormbin.tui.showing import Piece, said
from wormbin.tui.widgets.fields import WordField
from wormbin.tui.widgets.page_lines import PageLines


class SurveyForm(FilledForm):
    """Enter adds a sample; Enter on an empty line saves."""

    HELP = (
        "Take equal areas down to the floor, from the edge and the middle. Wash and blot the worms before you weigh "
        "them. Enter adds a sample and shows the estimate so far. Enter on an empty line saves the survey."
    )
    KEYS = (("Enter", "add; on an empty line: save"), ("Tab", "next"))
    SHEET = "middling"
    BINDINGS: ClassVar[list[BindingType]] = [Binding("ctrl+r", "take_out", "take out")]

    def __init__(self, hand: Hand) -> None:
        super().__init__()
        self.hand = hand
        self.draft_name = f"survey-{hand.key}"
        self.samples: list[str] = []
        self.view: SurveyView | None = None
        self.heading = f"Worm survey: {self.hand.name}"

    def parts(self) -> ComposeResult:
        """The area, the samples, the interval."""
        yield WordField("area of a sample", "225 cm2 (15 cm x 15 cm)", id="area")
        yield WordField("worms in a sample", "12 g, or 25 worms, or 0", id="sample")
        yield WordField("note", id="note")
        with VerticalScroll(can_focus=False, id="page"):
            yield PageLines([[("No sample yet. Five or more make a fair guess.", "dim")]], id="effect")

    async def on_mount(self) -> None:
        """Offer what was half filled."""
        if await self.offer_draft():
            await self._look()
            area = self.query_one("#area", WordField)
            if area.value and self.focused is area.input:
                self.query_one("#sample", WordField).input.focus()

    def fields(self) -> dict[str, str]:
        """What is filled in so far."""
        return {**super().fields(), **({"samples": "; ".join(self.samples)} if self.samples else {})}

    def fill(self, fields: Mapping[str, str]) -> None:
        """Put back what was filled in before."""
        super().fill(fields)
        self.samples = [words for words in fields.get("samples", "").split("; ") if words]

    @on(Input.Submitted)
    @acting
    async def submitted(self, event: Input.Submitted) -> None:
        """The next line, a sample more, or save."""
        area, sample = (self.query_one(f"#{name}", WordField) for name in ("area", "sample"))
        if event.input is area.input:
            sample.input.focus()
        elif sample.value:
            self.samples.append(sample.value)
            if await self._look():
                sample.value = ""
                sample.input.focus()
            else:
                self.samples.pop()
        else:
            await self._save()

    async def _look(self) -> bool:
        samples, area = list(self.samples), self.query_one("#area", WordField).value
        if not samples:
            self.query_one("#effect", PageLines).show([[("No sample yet.", "dim")]])
            return True
        try:
            view = await self.ask(lambda farm: recording.preview_survey(farm, self.hand.key, samples, area))
        except RefusedError as refused:
            self.refuse(refused)
            return False
        self.view = view
        lines: list[list[Piece]] = [[said(view.words, "strong")]]
        if view.more_samples:
            lines.append([said(f"{counted(view.more_samples, 'sample')} more would halve the width", "dim")])
        lines.append([])
        lines += [[(f"  {number:>2}  ", "dim"), said(each)] for number, each in enumerate(view.samples, 1)]
        self.query_one("#effect", PageLines).show(lines)
        self.say("")
        return True

    async def _save(self) -> None:
        if not self.samples:
            self.say("No sample yet. Example: 12 g")
            return
        samples, area = list(self.samples), self.query_one("#area", WordField).value
        heading, filled = self.entry_heading(ask=self.asks), {"samples": "; ".join(samples), "area": area}
        await self.save(lambda farm: write(farm, self.hand.key, Kind.SURVEY, filled, heading))

    @acting
    async def action_take_out(self) -> None:
        """Take the last sample out again."""
        if self.samples:
            self.query_one("#sample", WordField).value = self.samples.pop()
            await self._look()
