"""Loads of feedstock, hot piles, money and orders: each a list with its page beside it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import ClassVar

from textual.binding import BindingType

from wormbin.drawing.axes import day_month
from wormbin.farm import feedstock
from wormbin.farm.money import costs
from wormbin.farm.orders import left_out, orders
from wormbin.farm.session import Session
from wormbin.farm.views.lots import PromiseView
from wormbin.measures import mass
from wormbin.pages import feedstock as pages, lots, selling
from wormbin.pages.page import GAP, Page, Sentence
from wormbin.records.kinds.castings import LotKind
from wormbin.tui.book import BookScreen, Entry, keys_of


class LoadsScreen(BookScreen):
    """Loads: what is left of each, where it went, whom it reached."""

    HELP = (
        "Feedstock and bedding that came in. b: a load came in. o: you opened it, and take its material from it from "
        "then on. m: what is left by the scale. x: it turned out bad. Its page then says what to do, and names every "
        "bed, lot and buyer that it reached. Feedings and beddings are taken off by themselves."
    )
    heading = "Loads"
    BINDINGS: ClassVar[list[BindingType]] = keys_of("load")
    BEGINS = LotKind.LOAD
    NONE = "No load yet: b writes down what came in."

    def found(self, farm: Session) -> Iterable[Entry]:
        """Every load with what is left."""
        for each in feedstock.loads(farm).loads:
            left = mass(each.kg, farm.units) if each.kg else "used up"
            yield (each.name, *(("! bad", "act") if each.bad is not None else (left, "good")), each.material_name)

    def page_of(self, farm: Session, name: str) -> Page:
        """The load; called back, where it turned out bad. How long its material lasts stands first."""
        page = feedstock.load(farm, name)
        for each in feedstock.loads(farm).on_hand:
            if each.material == page.load.material and page.load.bad is None:
                yield Sentence(pages.lasts(each, farm.units), lead=f"{each.name}: ", lead_role="key")
                yield GAP
        bad = page.load.bad is not None
        yield from pages.load(page, farm.units, recall=bad, promised=orders(farm) if bad else ())


class PilesScreen(BookScreen):
    """Hot piles."""

    HELP = (
        "Piles that compost hot before they are fed. b: something was put on. c: its temperature was read, or it was "
        "turned. r: it was released, and is a load of the pile's name from then on. The rule: 55 C for 3 days in a "
        "vessel. In a windrow it is 15 days with 5 turns, from readings. Guidance, not certification."
    )
    heading = "Piles"
    BINDINGS: ClassVar[list[BindingType]] = keys_of("pile")
    BEGINS = LotKind.PILED
    NONE = "No pile yet: b begins one."

    def found(self, farm: Session) -> Iterable[Entry]:
        """Every pile, and how far it is."""
        for each in feedstock.all_piles(farm):
            yield (each.name, *(("hot enough", "good") if each.met else ("not yet", "watch")), each.way)

    def page_of(self, farm: Session, name: str) -> Page:
        """The pile."""
        return pages.pile(feedstock.pile(farm, name), farm.units)


class CostsScreen(BookScreen):
    """Money: its pages, and costs written down."""

    HELP = (
        "Money, simply: what you took and spent by month and year. Also what a kilogram of each lot and bin costs and "
        "leaves. b: money or hours were spent. Sales and loads bring their prices. It is no accounting "
        "program: wormbin costs export FILE.csv writes every amount for a spreadsheet."
    )
    heading = "Money"
    BINDINGS: ClassVar[list[BindingType]] = keys_of("cost")
    BEGINS = LotKind.COST
    NONE = ""

    def found(self, farm: Session) -> Iterable[Entry]:
        """The pages."""
        said = {"lots": "what a kilogram costs", "bins": "", "entries": "line by line", "months": "and years"}
        return ((name, "", "", quiet) for name, quiet in said.items())

    def page_of(self, farm: Session, name: str) -> Page:
        """One of them."""
        view = costs(farm)
        if name == "bins":
            return selling.bins(view)
        if name == "entries":
            return selling.entries(view, farm.units)
        return selling.lots(view, farm.units) if name == "lots" else selling.spans(view, farm.units)


class OrdersScreen(BookScreen):
    """Orders: what is promised, and whether it can be kept."""

    HELP = (
        "What is promised to whom by when. b: something was promised, once or every so many days. x: nothing more "
        "is promised by the order chosen. Sales to its buyer, or for its name, are taken off it by themselves. Likely "
        "means that what is there by its day is enough for all that is promised up to then."
    )
    heading = "Orders"
    BINDINGS: ClassVar[list[BindingType]] = keys_of("order")
    BEGINS = LotKind.ORDER
    NONE = "Nothing is promised: b writes down an order."

    def found(self, farm: Session) -> Iterable[Entry]:
        """Every order with what comes next of it."""
        last: dict[str, PromiseView] = {}
        for each in orders(farm):
            if each.order not in last or not last[each.order].open_kg:
                last[each.order] = each
        for each in last.values():
            role = {"missed": "act", "open": "watch"}.get(each.stand, "good")
            yield (each.order, each.stand, role, f"{day_month(each.due)} {mass(each.kg, farm.units)}")

    def page_of(self, farm: Session, name: str) -> Page:
        """What is promised by it, of late and for the next months."""
        return lots.order([each for each in orders(farm) if each.order == name], farm.units, left_out(farm))
