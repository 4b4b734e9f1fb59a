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
from wormbin.measures import counted
from wormbin.pages.page import GAP, Block, Sentence
from wormbin.records.entries import Kind
from wormbin.tui.form import FilledForm
from wormbin.tui.place import Hand
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

    heading = "Worm survey"
    draft_name = "survey"

    def __init__(self, hand: Hand) -> None:
        super().__init__(hand)
        self.samples: list[str] = []

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
    async def submitted(self, event: Input.Submitted) -> None:
        """The next line, a sample more, or save."""
        event.stop()
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
        samples, area = list(self.samples), self.word("area")
        if not samples:
            self.show_page([Sentence("No sample yet.", "dim")])
            return True
        view = await self.understood(lambda farm: recording.preview_survey(farm, self.hand.key, samples, area))
        if view is None:
            return False
        page: list[Block] = [Sentence(view.words, "strong")]
        if view.more_samples:
            page.append(Sentence(f"{counted(view.more_samples, 'sample')} more would halve the width", "dim"))
        page += [
            GAP,
            *(Sentence(each, lead=f"  {at:>2}  ", lead_role="dim") for at, each in enumerate(view.samples, 1)),
        ]
        self.show_page(page)
        self.say("")
        return True

    async def _save(self) -> None:
        if not self.samples:
            self.say("No sample yet. Example: 12 g")
            return
        samples, area = list(self.samples), self.word("area")
        heading, filled = self.entry_heading(ask=self.asks), {"samples": "; ".join(samples), "area": area}
        await self.save(lambda farm: write(farm, self.hand.key, Kind.SURVEY, filled, heading))

    async def action_take_out(self) -> None:
        """Take the last sample out again."""
        if self.samples:
            self.query_one("#sample", WordField).value = self.samples.pop()
            await self._look()
