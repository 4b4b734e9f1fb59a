"""Castings after the harvest: every lot with its step, and a plan of so much by a day."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.widgets import Input, Static

from wormbin.drawing.marks import plain, width_of
from wormbin.farm import lot_plans
from wormbin.farm.herd import herd
from wormbin.farm.inspection import label
from wormbin.farm.inspection import lot as lot_record
from wormbin.farm.lots import Lots
from wormbin.farm.uses import plan_uses
from wormbin.farm.views.lots import LotView, StockView
from wormbin.farm.words.log import STEP_WORDS
from wormbin.measures import counted, mass
from wormbin.pages import inspection
from wormbin.pages.herd import herd as herd_page
from wormbin.pages.lines import Piece
from wormbin.pages.lots import facts, lot, plan
from wormbin.pages.page import Page, lines
from wormbin.pages.uses import uses
from wormbin.problems import RefusedError
from wormbin.records.ids import key_from
from wormbin.records.kinds.castings import LOT_BY_KIND, LotKind
from wormbin.tui.book import BookScreen, keys_of
from wormbin.tui.desk import FILL
from wormbin.tui.place import Form, acting
from wormbin.tui.showing import line_of
from wormbin.tui.widgets.fields import WordField
from wormbin.tui.widgets.line_list import LineList
from wormbin.tui.widgets.page_lines import PageLines

if TYPE_CHECKING:
    from wormbin.farm.session import Session

NAMED_CELLS = 26
"""A lot's step and what is left of it take so much beside its name."""


class CastingsScreen(BookScreen):
    """The arrows choose a lot; a letter writes a line of it."""

    HELP = (
        "Castings lie in lots, from the harvest to the buyer. s: the lot came a step further (curing, screened, in "
        "stock). m: you weighed or measured it. v: you sold some. o: you used some. p: how likely so much is ready "
        "by a day. r: orders. l: loads of feedstock. h: hot piles. c: money. w: worms to sell. f: only what is in "
        "stock, or on its way. i: a record for an inspector. b: a label. n: how much pots, a bed, a potting mix or an "
        "extract take. At the right stands where a bag came from. Enter opens that as a page to print. What a label "
        "may say is for local law to tell."
    )
    heading = "Castings"
    SHEET = "broad"
    NONE = "No lot yet: write a harvest (e, then h) and name the lot that it goes into."
    BINDINGS: ClassVar[list[BindingType]] = [
        *keys_of("lot"),
        Binding("p", "plan", "plan"),
        Binding("l", "go('loads')", "loads"),
        Binding("r", "go('orders')", "orders"),
        Binding("h", "go('piles')", "hot piles", show=False),
        Binding("c", "go('costs')", "money"),
        Binding("n", "uses", "how much for"),
        Binding("w", "herd", "worms to sell", show=False),
        Binding("f", "only", "filter", show=False),
        Binding("i", "record", "record for an inspector", show=False),
        Binding("b", "label", "bag label", show=False),
    ]

    def __init__(self) -> None:
        super().__init__()
        self._lots: tuple[LotView, ...] = ()
        self._only = ""

    async def _load(self, *, at_end: bool = False) -> None:
        try:
            every, stock = await self.ask(lambda farm: (Lots(farm).all(), Lots(farm).stock()))
        except RefusedError:
            return
        self._lots = tuple(each for each in every if not self._only or each.where == self._only)
        self.query_one(LineList).show(len(self._lots), len(self._lots) - 1 if at_end else None)
        self.query_one(".sheet-title", Static).update(line_of(self._head(stock)))
        await self._show()

    def _head(self, stock: StockView) -> list[Piece]:
        units = self.wormbin.units
        words = f"   in stock {mass(stock.kg, units)}, on its way {mass(stock.waiting_kg, units)}"
        only = {"stock": "   only what is in stock", "coming": "   only what is on its way"}.get(self._only, "")
        return [("Castings", "title"), (words if self._lots else "", "dim"), (only, "watch")]

    def _line(self, index: int, width: int) -> list[Piece]:
        if index >= len(self._lots):
            return []
        longest = max(width_of(plain(each.name)) for each in self._lots)
        lot, room = self._lots[index], min(longest, max(8, width - 20))
        here = "empty" if not lot.kg else mass(lot.kg, self.wormbin.units)
        mark: list[Piece] = [("! ", "act")] if lot.short else []
        mark += [("! called back ", "act")] if lot.called_back else []
        step = "" if lot.called_back else f"{STEP_WORDS[lot.step]:<10} "
        more = facts(lot, self.wormbin.units, width - room - NAMED_CELLS)
        name: list[Piece] = [(f" {plain(lot.name, room)}  ", "strong"), *mark, (step, "dim")]
        return [*name, (f"{here:<8}", "good" if lot.in_stock else ""), (more, "dim")]

    def _chosen(self) -> str:
        at = self.query_one(LineList).cursor
        return self._lots[at].name if at < len(self._lots) else ""

    def page_of(self, farm: Session, name: str) -> Page:
        """The lot, in full."""
        return lot(Lots(farm).show(name), farm.units)

    def title_of(self, name: str) -> str:
        """The lot."""
        return f"Lot {name}"

    def action_write(self, what: str) -> None:
        """Write a line of the lot chosen."""
        if name := self._chosen():
            self.open("lot", name, LOT_BY_KIND[LotKind(what)], then=self._written)

    def action_only(self) -> None:
        """All lots, those in stock, those on their way."""
        self._only = {"": "stock", "stock": "coming"}.get(self._only, "")
        self.in_background(lambda: self._load(at_end=True), "lots")

    def action_herd(self) -> None:
        """Worms bin by bin, and what can be sold."""
        self.in_background(self._herd, "page")

    async def _herd(self) -> None:
        self.open("page", "Worms", lines(herd_page(await self.ask(herd), self.wormbin.units)), file="worms.txt")

    def action_record(self) -> None:
        """The lot chosen, for an inspector."""
        self.in_background(lambda: self._sheet("record"), "page")

    def action_label(self) -> None:
        """A bag's label of the lot chosen."""
        self.in_background(lambda: self._sheet("label"), "page")

    async def _sheet(self, which: str) -> None:
        name, units = self._chosen(), self.wormbin.units
        if not name:
            return
        if which == "label":
            page = inspection.label(await self.ask(lambda farm: label(farm, name)), units)
        else:
            page = inspection.lot(await self.ask(lambda farm: lot_record(farm, name)), units)
        self.open("page", f"Lot {name}: {which}", lines(page), file=f"{which}-{key_from(name)}.txt")

    def action_plan(self) -> None:
        """So much by a day."""
        self.open("plan")

    def action_go(self, name: str) -> None:
        """Feedstock, piles, money."""
        self.open(name)

    def action_uses(self) -> None:
        """How much for pots, a bed, a mix, an extract."""
        self.open("uses")


class PlanForm(Form[None]):
    """Nothing here is written into a log."""

    HELP = (
        "Say how much finished castings you want, and by which day. What is in stock, on its way and to come from "
        "the bins is added up. You see how likely it is enough. Nothing is written down."
    )
    heading = "Plan castings"
    KEYS = (("Enter", "plan"), ("Tab", "next"))
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "leave", "leave")]

    def parts(self) -> ComposeResult:
        """An amount, a day, the plan."""
        yield WordField("castings wanted", "40 kg", id="amount")
        yield WordField("by when", "2026-11-30, or in 90 days", id="by")
        with VerticalScroll(id="page", can_focus=True):
            yield PageLines([[("The plan will stand here.", "dim")]], id="effect")

    @on(Input.Submitted)
    def submitted(self, event: Input.Submitted) -> None:
        """The day, then the plan; what is refused stays filled in."""
        event.stop()
        amount, by = (self.query_one(f"#{name}", WordField).value for name in ("amount", "by"))
        if amount and not by:
            self.query_one("#by", WordField).input.focus()
            return
        self.in_background(partial(self._plan, amount, by), "plan")

    async def _plan(self, amount: str, by: str) -> None:
        """Work out the bins that it rests on, one by one, so that the form can be left or asked anew at any time."""
        try:
            asked = await self.ask(lambda farm: lot_plans.wish(farm, amount, by))
            filling = await self.ask(lambda farm: lot_plans.rests_on(farm, asked), FILL)
            cold = len(filling.cold)
            async for _made in self.filled(filling):
                self.say(f"{cold - len(filling.cold)} of {counted(cold, 'bin')} worked out …", role="dim")
            await self.ask(lambda _: filling.end(), FILL)
            view = await self.ask(lambda farm: Lots(farm).plan(amount, by))
        except RefusedError as refused:
            self.refuse(refused)
            return
        self.say("")
        self.query_one("#effect", PageLines).show(lines(plan(view, self.wormbin.units)))
        self.query_one("#page").focus()


class UsesForm(Form[None]):
    """Nothing here is written into a log."""

    HELP = (
        "Say what the castings are for: 12 pots of 20 cm; 2 m2 bed; 20 L seedling mix; 50 L potting mix; 5 L extract. "
        "Several things are parted by a semicolon. Enter shows how much each takes, what to do, and whether you have "
        "enough. Nothing is written down: o in the list of lots writes what you took."
    )
    heading = "Use castings"
    KEYS = (("Enter", "work it out"), ("Tab", "next"))
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "leave", "leave")]

    def parts(self) -> ComposeResult:
        """What for, the share in a mix, what it takes."""
        yield WordField("what for", "12 pots of 20 cm; 20 L seedling mix", id="use")
        yield WordField("share in a mix", "15%", id="share")
        with VerticalScroll(id="page", can_focus=True):
            yield PageLines([[("What it takes will stand here.", "dim")]], id="effect")

    @on(Input.Submitted)
    @acting
    async def submitted(self, event: Input.Submitted) -> None:
        """Work it out; what is refused stays filled in."""
        said, share = (self.query_one(f"#{name}", WordField).value for name in ("use", "share"))
        try:
            view = await self.ask(lambda farm: plan_uses(farm, said.split(";"), share))
        except RefusedError as refused:
            self.refuse(refused)
            return
        self.say("")
        self.query_one("#effect", PageLines).show(lines(uses(view, self.wormbin.units)))
        self.query_one("#page").focus()
