"""Write one line of a lot: a step, what was measured, a sale, a use; Enter saves, what is refused stays filled in."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical, VerticalScroll
from textual.widgets import Input, Static

from wormbin.farm.heading import Heading
from wormbin.farm.lots import castings
from wormbin.farm.lots.book import Lots
from wormbin.farm.views.bin import Recorded
from wormbin.records.ids import key_from
from wormbin.tui.filled_form import FilledForm
from wormbin.tui.papers import Line
from wormbin.tui.showing import line_of, said
from wormbin.tui.widgets.word_field import WordField

_READINGS = (
    Line("mass", "weight now", "7.2 kg"),
    Line("volume", "room it takes", "10 L"),
    Line("moisture", "moisture", "60%"),
)


@dataclass(frozen=True, slots=True)
class LotPaper:
    """One kind of line: its title, its fields, what is asked of the lots, what to mind."""

    title: str
    lines: tuple[Line, ...]
    write: Callable[[Lots, str, Mapping[str, str], Heading], Recorded]
    mind: str = ""


STEP = LotPaper(
    "next step",
    (Line("step", "step reached", "curing, screened or stock"), *_READINGS),
    lambda lots, lot, said, head: lots.step(lot, said["step"], said["mass"], said["volume"], said["moisture"], head),
    "Screening raises dust: damp it down, wear a mask, wash hands. Lift under 20 kg.",
)
MEASURE = LotPaper(
    "measured",
    _READINGS,
    lambda lots, lot, said, head: lots.weigh(lot, said["mass"], said["volume"], said["moisture"], head),
)
SELL = LotPaper(
    "sold",
    (Line("amount", "how much, or all", "5 kg"), Line("for", "what for", "market"), Line("price", "money taken", "30")),
    lambda lots, lot, said, head: lots.sell(lot, said["amount"], said["for"], said["price"], head),
    "Labels, claims and registration are matters of local law: ask before you sell.",
)
USE = LotPaper(
    "used",
    (Line("amount", "how much, or all", "2 kg"), Line("for", "what for", "tomato pots")),
    lambda lots, lot, said, head: lots.use(lot, said["amount"], said["for"], head),
    "10-20 % of a potting mix, never over 40 %; about 1 cm strewn on a planted pot. No tea on anything eaten. "
    "Gloves and a mask with asthma or weak immunity.",
)


class LotForm(FilledForm):
    """The lines of one paper, for one lot."""

    HELP = "Fill in the lines; Enter goes to the next and saves on the last. What does not apply is left empty."

    def __init__(self, lot: str, paper: LotPaper) -> None:
        super().__init__()
        self.lot = lot
        self.paper = paper
        self.draft_name = f"{key_from(paper.title)}-lot-{key_from(lot)}"[:40]

    def compose(self) -> ComposeResult:
        """The paper's lines, a note, a day, what is wrong."""
        with Vertical(classes="sheet middling snug"):
            yield Static(line_of([said(f"Lot {self.lot}: {self.paper.title}", "title")]), classes="sheet-title")
            with VerticalScroll(can_focus=False):
                for line in self.paper.lines:
                    yield WordField(line.label, line.example, id=line.name)
                yield WordField("note", id="note")
                yield WordField("when, if not now", "yesterday, or 2026-03-02", id="when")
                if self.paper.mind:
                    yield Static(line_of([said(self.paper.mind, "dim")]), classes="mind")
            yield Static(id="trouble", classes="trouble")
            yield Static(line_of([("Enter next, and save on the last line   F1 help   Esc leave", "dim")]), id="keys")

    async def on_mount(self) -> None:
        """Offer what was half filled."""
        await self.offer_draft()

    def fill(self, fields: Mapping[str, str]) -> None:
        """Put back what was filled in before."""
        for field in self.query(WordField):
            field.value = fields.get(field.id or "", "")

    def fields(self) -> dict[str, str]:
        """What is filled in so far."""
        return {field.id or "": field.value for field in self.query(WordField) if field.value}

    @on(Input.Submitted)
    async def submitted(self, event: Input.Submitted) -> None:
        """The next line, or save from the paper's last one and those after it."""
        event.stop()
        own = [self.query_one(f"#{line.name}", WordField) for line in self.paper.lines]
        if any(field.input is event.input for field in own[:-1]):
            self.focus_next()
            return
        fields = self.fields()
        heading = Heading(
            when=self.day_meant(fields.get("when", "")), note=fields.get("note", ""), by=self.wormbin.by, ask=self.asks
        )
        lines = {line.name: fields.get(line.name, "") for line in self.paper.lines}
        await self.save(lambda farm: self.paper.write(castings(farm), self.lot, lines, heading))
