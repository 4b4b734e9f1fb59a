"""Forms that answer and write nothing: some lines of words, then Enter, and a page of what they come to."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import Any, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widget import Widget
from textual.widgets import Input, Static

from wormbin.farm import bins, inspection, lot_plans
from wormbin.farm.lots import Lots
from wormbin.farm.settings import change_setting
from wormbin.farm.uses import plan_uses
from wormbin.farm.views.proposals import Absence, WhatIfView
from wormbin.measures import parse_date
from wormbin.pages import selling as pages
from wormbin.pages.futures import absences, for_neighbour, future_series, what_if
from wormbin.pages.lots import plan, uses
from wormbin.pages.page import Page, lines
from wormbin.problems import RefusedError
from wormbin.records.ids import key_from
from wormbin.tui.desk import FILL, SAVE
from wormbin.tui.place import Form, Hand, acting
from wormbin.tui.themes import line_of, said
from wormbin.tui.widgets.charts import ChartPicture, Range, Shown, futures_pieces
from wormbin.tui.widgets.fields import Choice, ChoiceRow, WordField
from wormbin.tui.widgets.page_lines import PageLines


class AskForm(Form[None]):
    """``FIELDS`` are its lines: id, label, example. Without the one ``NEEDED`` there is no answer."""

    FIELDS: ClassVar[tuple[tuple[str, str, str], ...]]
    NEEDED = ""
    HINT = ""

    async def answer(self) -> Page:
        """What the words come to. Raises RefusedError for what is not understood."""
        raise NotImplementedError

    async def judge(self, row: str) -> None:
        """Raise RefusedError for what is not understood in a row that is left before the answer."""

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
            if row is not None and event.input.parent is not None:
                self.act(partial(self._go_to, row, event.input.parent.id or ""))
        else:
            self.in_background(self._answer, "answer")

    async def _go_to(self, row: Widget, left: str) -> None:
        try:
            await self.judge(left)
        except RefusedError as refused:
            self.refuse(refused)
        else:
            row.query_one(Input).focus()

    async def _answer(self) -> None:
        try:
            page = await self.answer()
        except RefusedError as refused:  # and what is filled in stays
            self.refuse(refused)
            return
        self.say("")
        self.show_page(page)
        self.query_one("#page").focus()


BOTH_FIRST = "Say both days first, then Enter."


class AwayForm(AskForm):
    """Writes nothing into the log; the days are kept in the settings."""

    HELP = (
        "Say your first and your last day away. The next holiday of your settings stands there already. The plan "
        "says what to do before you leave, and what may go wrong. It says when water or food would run short. ^O "
        "opens a page for a neighbour, to print. ^S keeps the days, for the round, the sheet and the calendar."
    )
    KEYS = (("Enter", "plan"),)
    heading = "Going away"
    FIELDS = (
        ("first", "first day away", "saturday, or 2026-03-07"),
        ("last", "last day away", "2026-03-19, or 12 days"),
    )
    NEEDED = "last"
    ROW_OF: ClassVar[Mapping[str, str]] = {"from": "first", "until": "last"}
    HINT = "The plan will stand here."
    plans: Sequence[Absence] = ()
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+o", "neighbour", "a neighbour's page, to print"),
        Binding("ctrl+s", "keep", "keep these days"),
    ]

    def __init__(self, *hands: Hand) -> None:
        super().__init__(replace(hands[0], name=", ".join(hand.name for hand in hands)))
        self.keys = tuple(hand.key for hand in hands)

    async def on_mount(self) -> None:
        """The next holiday of the settings stands there already."""
        for name, words in zip(
            ("first", "last"), await self.ask(lambda farm: bins.next_absence(farm, self.hand.key)), strict=True
        ):
            field = self.query_one(f"#{name}", WordField)
            field.value = field.value or words

    async def answer(self) -> Page:
        """The plan for these days."""
        first, last = self.word("first"), self.word("last")
        self.plans = await self.ask(lambda farm: bins.away(farm, self.keys, first, last))
        return absences(self.plans)

    async def judge(self, row: str) -> None:
        """Only a day is a first day."""
        words = self.word(row)
        await self.ask(lambda farm: parse_date(words, farm.clock().date(), "from", toward="future"))

    @acting
    async def action_keep(self) -> None:
        """Keep the days in the settings, for the round, the sheet and the calendar."""
        if not self.plans:
            self.say(BOTH_FIRST)
            return
        days = f"{self.plans[0].first.isoformat()} to {self.plans[0].last.isoformat()}"
        kept = await self.ask(lambda farm: change_setting(farm, "away", days), SAVE)
        await self.wormbin.take_settings()
        self.show_page(await self.answer())
        self.say(kept.sentence, role="good")
        self.wormbin.tell_changed()

    def action_neighbour(self) -> None:
        """The page that a neighbour gets."""
        if not self.plans:
            self.say(BOTH_FIRST)
            return
        told = [[said(line)] for line in for_neighbour(self.plans)]
        self.open("page", f"While we are away: {self.hand.name}", told, file="while-away.txt")


class PlanForm(AskForm):
    """How likely so much is there by a day."""

    HELP = (
        "Say how much finished castings you want, and by which day. What is in stock, on its way and to come from "
        "the bins is added up. You see how likely it is enough. Nothing is written down."
    )
    heading = "Plan castings"
    KEYS = (("Enter", "plan"), ("Tab", "next"))
    FIELDS = (
        ("amount", "castings wanted", "40 kg"),
        ("by", "by when", "2026-11-30, or in 90 days"),
        ("as_of", "as of", "today, or 2026-08-30: what came since"),
    )
    NEEDED = "by"
    HINT = "The plan will stand here."

    async def answer(self) -> Page:
        """Work out the bins that it rests on, one by one, so that the form can be left or asked anew at any time."""
        amount, by, as_of = (self.word(each) for each in ("amount", "by", "as_of"))
        on = await self.ask(
            lambda farm: parse_date(as_of, farm.clock().date(), "as of", toward="past") if as_of else None
        )
        asked = await self.ask(lambda farm: lot_plans.wish(farm, amount, by, on))
        await self.worked_out(await self.ask(lambda farm: lot_plans.rests_on(farm, asked, on), FILL))
        return plan(await self.ask(lambda farm: Lots(farm).plan(amount, by, on)), self.wormbin.units)


class LabelForm(AskForm):
    """The label of a bag of a lot, of any size."""

    HELP = (
        "A label for a bag of this lot: what is in it, by its log, and no claim. Say how large the bag is. Empty takes "
        "your own bag (settings, measure), or all that is in the lot. ^O opens it as a page to print. Local law says "
        "what a label may and must say."
    )
    KEYS = (("Enter", "show it"),)
    FIELDS = (("size", "size of the bag", "2 kg, or 5 L"),)
    BINDINGS: ClassVar[list[BindingType]] = [Binding("ctrl+o", "print", "to print")]

    def __init__(self, lot: str) -> None:
        super().__init__()
        self.lot, self.heading = lot, f"Lot {lot}: label"

    async def on_mount(self) -> None:
        """The usual bag at once."""
        self.show_page(await self.answer())

    async def answer(self) -> Page:
        """The label."""
        size = self.word("size")
        return tuple(
            pages.label(await self.ask(lambda farm: inspection.label(farm, self.lot, size)), self.wormbin.units)
        )

    @acting
    async def action_print(self) -> None:
        """The label as a page."""
        self.open("page", self.heading, lines(await self.answer()), file=f"label-{key_from(self.lot)}.txt")


class UsesForm(AskForm):
    """How much castings something takes."""

    HELP = (
        "Say what the castings are for: 12 pots of 20 cm; 2 m2 bed; 20 L seedling mix; 50 L potting mix; 5 L extract. "
        "Several things are parted by a semicolon. Enter shows how much each takes, what to do, and whether you have "
        "enough. Nothing is written down: o in the list of lots writes what you took."
    )
    heading = "Use castings"
    KEYS = (("Enter", "work it out"), ("Tab", "next"))
    FIELDS = (("use", "what for", "12 pots of 20 cm; 20 L seedling mix"), ("share", "share in a mix", "15%"))
    HINT = "What it takes will stand here."

    async def answer(self) -> Page:
        """What it takes."""
        said, share = self.word("use").split(";"), self.word("share")
        return uses(await self.ask(lambda farm: plan_uses(farm, said, share)), self.wormbin.units)


CHANGES = (
    Choice("1", "skip", "leave out a feeding"), Choice("2", "skip two", "leave out two"),
    Choice("3", "double", "double the next"), Choice("4", "harvest", "harvest today"),
)  # fmt: skip
FIELDS = (
    ("bedding", "add bedding", "200 g shredded cardboard"), ("spell", "warm or cold spell", "30C:5d"),
    ("split", "take worms out", "50%"),
)  # fmt: skip


class WhatIfForm(Form[WhatIfView]):
    """Answers the what-if that is to stay drawn over the bin's charts, or None."""

    HELP = (
        "Pick a change, or type one or several. You can add bedding, have days of heat or cold (30C:5d), or take out "
        "a share of the worms. Both futures are drawn over each other. Enter leaves the other future on the bin's "
        "charts."
    )
    KEYS = (("Tab", "next"),)
    SIDE = "#asked"
    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter", "keep", "draw it over the charts", priority=True)]

    heading = "What if"
    view: WhatIfView | None = None
    _refused = False

    def parts(self) -> ComposeResult:
        """The changes, what would come of it, two charts."""
        yield ChoiceRow("feeding", CHANGES, id="change")
        for name, label, example in FIELDS:
            yield WordField(label, example, id=name)
        with Horizontal(id="pair"):
            with VerticalScroll(id="asked", can_focus=False):
                yield PageLines([[("Pick a change: both futures will stand here.", "dim")]], id="effect")
            with Vertical(id="after"):
                yield Static(id="chart-title-1", classes="chart-title")
                yield ChartPicture(id="chart-1")
                yield Static(id="chart-title-2", classes="chart-title")
                yield ChartPicture(id="chart-2")

    def on_mount(self) -> None:
        """One key is enough."""
        self.query_one("#change", ChoiceRow).focus()

    @on(ChoiceRow.Picked)
    def picked(self) -> None:
        """What is picked and what is typed count together."""
        self._look()

    @on(Input.Changed)
    def typed(self) -> None:
        """The same."""
        self._look()

    def _look(self) -> None:
        self.in_background(self._work_out, "what-if")

    async def _work_out(self) -> None:
        change = self.word("change")
        words: dict[str, Any] = {name: self.word(name) for name, _, _ in FIELDS}
        self.view, self._refused = None, False
        if not change and not any(words.values()):
            self.say("")
            return
        skip, double, harvest = {"skip": 1, "skip two": 2}.get(change, 0), int(change == "double"), change == "harvest"
        key = self.hand.key
        self.view = await self.understood(
            lambda farm: bins.what_if(farm, key, skip=skip, double=double, harvest=harvest, **words)
        )
        self._refused = self.view is None
        if self.view is not None:
            self.say("")
            self._show(self.view)

    def _show(self, view: WhatIfView) -> None:
        how = Shown(Range(60, 0.0), self.wormbin.ascii, self.wormbin.units)
        self.show_page(what_if(view))
        for number, chart in enumerate(future_series(view)[:2], 1):
            words = [said(f" {chart.title}", "strong"), *futures_pieces(ascii=how.ascii)]
            self.query_one(f"#chart-title-{number}", Static).update(line_of(words))
            self.query_one(f"#chart-{number}", ChartPicture).show_chart(chart, how, dates=number == 2)

    @acting
    async def action_keep(self) -> None:
        """Leave it drawn over the bin's charts; what could not be understood stays, with what is wrong."""
        await self._work_out()
        if not self._refused:
            self.dismiss(self.view)
