"""Loads of feedstock, hot piles, costs and orders: each a list with its page beside it, and a letter writes a line."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll

from wormbin.drawing.marks import plain, width_of
from wormbin.farm import feedstock
from wormbin.farm.money import costs
from wormbin.farm.orders import orders
from wormbin.farm.views.bin import Recorded
from wormbin.farm.views.lots import PromiseView
from wormbin.measures import mass
from wormbin.pages import feedstock as pages
from wormbin.pages import lots, money
from wormbin.pages.lines import Line, Piece
from wormbin.pages.page import GAP, Page, Sentence, lines
from wormbin.problems import RefusedError
from wormbin.records.ids import key_from
from wormbin.records.kinds.castings import LOT_BY_KIND, LOT_KINDS, LotKind
from wormbin.tui.place import Form
from wormbin.tui.widgets.line_list import LineList
from wormbin.tui.widgets.page_lines import PageLines

if TYPE_CHECKING:
    from wormbin.farm.session import Session

Entry = tuple[str, str, str, str]
"""A line of the list: name, words and their role, quiet words."""
WIDE = 100
"""A page opened is laid out for so many cells, and broken to what there is."""


def _keys(about: str) -> list[BindingType]:
    kinds = [kind for kind in LOT_KINDS.values() if kind.about == about and kind.page.key]
    return [
        Binding("escape,q", "leave", "leave"),
        *(Binding(kind.page.key, f"write('{kind.kind.value}')", kind.page.title) for kind in kinds),
    ]


class BookScreen(Form[None]):
    """The arrows choose; a letter writes a line of what is chosen, ``BEGINS`` one of something new."""

    KEYS = (("Enter", "page"),)
    BEGINS: ClassVar[LotKind]
    NONE: ClassVar[str]

    def __init__(self) -> None:
        super().__init__()
        self._entries: tuple[Entry, ...] = ()

    def found(self, farm: Session) -> Iterable[Entry]:
        """What is listed."""
        raise NotImplementedError

    def page_of(self, farm: Session, name: str) -> Page:
        """What is shown of one of them."""
        raise NotImplementedError

    def parts(self) -> ComposeResult:
        """The list, and the one chosen."""
        with Horizontal(id="pair"):
            yield LineList(self._line, id="lines")
            with VerticalScroll(id="after", can_focus=False):
                yield PageLines(id="effect")

    async def on_mount(self) -> None:
        """Show all of them, the newest under the cursor."""
        self.query_one(LineList).focus()
        await self._load(at_end=True)

    async def _load(self, *, at_end: bool = False) -> None:
        try:
            self._entries = await self.ask(lambda farm: tuple(self.found(farm)))
        except RefusedError:
            return
        self.query_one(LineList).show(len(self._entries), len(self._entries) - 1 if at_end else None)
        await self._show()

    def _line(self, index: int, width: int) -> list[Piece]:
        if index >= len(self._entries):
            return []
        name, words, role, quiet = self._entries[index]
        longest = max(width_of(plain(each[0])) for each in self._entries)
        shown = plain(name, min(longest, max(8, width - 20)))
        return [(f" {shown}  ", "strong"), (f"{words}  " if words else "", role), (plain(quiet), "dim")]

    def _chosen(self) -> str:
        at = self.query_one(LineList).cursor
        return self._entries[at][0] if at < len(self._entries) else ""

    async def _page(self, width: int = WIDE) -> Sequence[Line]:
        name = self._chosen()
        if not name:
            return [[(self.NONE, "dim")]]
        return lines(await self.ask(lambda farm: tuple(self.page_of(farm, name))), width)

    async def _show(self) -> None:
        room = self.query_one("#after").size.width - 3
        self.query_one("#effect", PageLines).show(await self._page(room if room > 0 else WIDE))

    @on(LineList.Moved)
    def moved(self, _: LineList.Moved) -> None:
        """Show the one chosen."""
        self.in_background(self._show, "page")

    @on(LineList.Chosen)
    def opened(self, _: LineList.Chosen) -> None:
        """The whole page of it, to read and to print."""
        self.in_background(self._open, "open")

    async def _open(self) -> None:
        if name := self._chosen():
            self.open("page", f"{self.heading}: {name}", await self._page(), file=f"{key_from(name)}.txt")

    def action_write(self, what: str) -> None:
        """Write a line: of something new, or of the one chosen."""
        kind = LOT_BY_KIND[LotKind(what)]
        name = "" if kind.kind is self.BEGINS else self._chosen()
        if name or kind.kind is self.BEGINS:
            self.open("book", name, kind, then=self._written)

    def _written(self, recorded: Recorded | None) -> None:
        if recorded is not None:
            self.notify(recorded.sentence, markup=False)
            for words in recorded.warnings[:2]:
                self.warn(words)
            self.in_background(lambda: self._load(at_end=True), "load")


class LoadsScreen(BookScreen):
    """Loads: what is left of each, where it went, whom it reached."""

    HELP = (
        "Feedstock and bedding that came in. b: a load came in. o: you opened it, and take its material from it from "
        "then on. m: what is left by the scale. x: it turned out bad. Its page then says what to do, and names every "
        "bed, lot and buyer that it reached. Feedings and beddings are taken off by themselves."
    )
    heading = "Loads"
    BINDINGS: ClassVar[list[BindingType]] = _keys("load")
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
        yield from pages.load(page, farm.units, recall=page.load.bad is not None)


class PilesScreen(BookScreen):
    """Hot piles."""

    HELP = (
        "Piles that compost hot before they are fed. b: something was put on. c: its temperature was read, or it was "
        "turned. r: it was released, and is a load of the pile's name from then on. The rule: 55 C for 3 days in a "
        "vessel. In a windrow it is 15 days with 5 turns, from readings. Guidance, not certification."
    )
    heading = "Piles"
    BINDINGS: ClassVar[list[BindingType]] = _keys("pile")
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
    BINDINGS: ClassVar[list[BindingType]] = _keys("cost")
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
            return money.bins(view)
        if name == "entries":
            return money.entries(view, farm.units)
        return money.lots(view, farm.units) if name == "lots" else money.spans(view, farm.units)


class OrdersScreen(BookScreen):
    """Orders: what is promised, and whether it can be kept."""

    HELP = (
        "What is promised to whom by when. b: something was promised, once or every so many days. x: nothing more "
        "is promised by the order chosen. Sales to its buyer, or for its name, are taken off it by themselves. Likely "
        "means that what is there by its day is enough for all that is promised up to then."
    )
    heading = "Orders"
    BINDINGS: ClassVar[list[BindingType]] = _keys("order")
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
            yield (each.order, each.stand, role, f"{mass(each.kg, farm.units)} by {each.due.isoformat()}")

    def page_of(self, farm: Session, name: str) -> Page:
        """What is promised by it, of late and for the next months."""
        return lots.order([each for each in orders(farm) if each.order == name], farm.units)
