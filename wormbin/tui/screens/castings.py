"""Castings after the harvest: every lot with its step, and a plan of so much by a day."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.widgets import Static

from wormbin.drawing.marks import plain, width_of
from wormbin.farm.lots import Lots
from wormbin.farm.session import Session
from wormbin.farm.views.lots import LotView, StockView
from wormbin.farm.words.log import STEP_WORDS
from wormbin.measures import mass
from wormbin.pages.lots import facts, lot
from wormbin.pages.page import Page, Piece
from wormbin.problems import RefusedError
from wormbin.records.kinds.castings import LOT_BY_KIND, LotKind
from wormbin.tui.book import BookScreen, keys_of
from wormbin.tui.themes import line_of
from wormbin.tui.widgets.line_list import LineList

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
        Binding("p", "go('plan')", "plan"),
        Binding("l", "go('loads')", "loads"),
        Binding("r", "go('orders')", "orders"),
        Binding("h", "go('piles')", "hot piles"),
        Binding("c", "go('costs')", "money"),
        Binding("b", "go('label')", "label"),
        Binding("i", "page('lot')", "record"),
        Binding("w", "page('herd')", "worms"),
        Binding("n", "go('uses')", "how much for"),
        Binding("f", "only", "filter"),
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
            self.open("book", name, LOT_BY_KIND[LotKind(what)], then=self._written)

    def action_only(self) -> None:
        """All lots, those in stock, those on their way."""
        self._only = {"": "stock", "stock": "coming"}.get(self._only, "")
        self.in_background(lambda: self._load(at_end=True), "lots")

    def about(self) -> tuple[str, str]:
        """The lot chosen."""
        return self._chosen(), self._chosen()

    def action_go(self, name: str) -> None:
        """Feedstock, piles, money, a plan, uses; a label of the lot chosen."""
        of = (self._chosen(),) if name == "label" else ()
        if all(of):
            self.open(name, *of)
