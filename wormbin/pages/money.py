"""Money, simply: by month and year, and what a kilogram of each lot costs to make and leaves."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from decimal import Decimal

from wormbin.castings.money import Entered, Made
from wormbin.farm.money import AccountView, Span
from wormbin.measures import mass
from wormbin.measures.units import UNITS
from wormbin.pages.lots import summed
from wormbin.pages.page import GAP, Block, Column, Heading, Sentence, Table

NOT_BOOKS = "A help to reckon with, not an accounting program: costs export FILE.csv writes all of it out."
SHARES = "feed: given up to the harvest; general: bags, fees, hours of the year, by the kilograms harvested."


def spans(view: AccountView, units: str) -> Iterator[Block]:
    """By year and by month, and what is in no lot yet."""
    if not view.entered:
        yield Sentence("No money was written down yet. Begin: wormbin costs add bags --price 24, or a price to a sale.")
        return
    yield _head(view)
    yield GAP
    yield _table("year", view.years, units)
    yield GAP
    yield _table("month", view.months, units)
    yield GAP
    yield Sentence("What each lot costs: wormbin costs lots. " + NOT_BOOKS, "dim")


def entries(view: AccountView, units: str) -> Iterator[Block]:
    """Every amount by its day, with the id by which its line is amended or struck."""
    columns = (
        Column("day"), Column("what", rank=1), Column("name"), Column("", right=True, rank=2),
        Column("taken", right=True), Column("spent", right=True), Column("who", rank=3), Column("entry"),
    )  # fmt: skip
    yield Table(columns, tuple(_entry(each, units) for each in view.entered))


def _entry(each: Entered, units: str) -> tuple[str, ...]:
    much = mass(each.kg, units) if each.kg else f"{each.hours:g} h" if each.hours else ""
    amounts = (money(each.amount), "") if each.amount > 0 else ("", money(-each.amount))
    return (each.on.isoformat(), each.what, each.name, much, *amounts, each.who, f"#{each.entry}")


def _head(view: AccountView) -> Sentence:
    leaves = view.taken - view.spent
    words = f"taken {money(view.taken)}, spent {money(view.spent)}, leaves {money(leaves)}"
    hours = sum(each.hours or 0.0 for each in view.entered)
    own = f"; of what is spent {money(view.own_hours)} are your own {hours:g} h" if view.own_hours else ""
    return Heading(words + (f" {view.currency}" if view.currency else "") + own)


def money(amount: Decimal) -> str:
    """ "1234.50": an amount to the cent, the currency told once beside it."""
    return f"{amount:.2f}"


def _table(head: str, all_of: tuple[Span, ...], units: str) -> Table:
    columns = (Column(head), *(Column(name, right=True) for name in ("taken", "spent", "leaves")))
    columns = (*columns, Column("sold", right=True, rank=1))
    return Table(
        columns,
        tuple(
            (each.name, money(each.taken), money(each.spent), money(each.taken - each.spent), sold)
            for each, sold in zip(all_of, summed([each.sold_kg for each in all_of], units), strict=False)
        ),
    )


def lots(view: AccountView, units: str) -> Iterator[Block]:
    """What each lot cost, by what, what a finished kilogram of it costs, what it brought and leaves."""
    yield _head(view)
    yield GAP
    unit = "lb" if units == "us" else "kg"
    columns = (
        Column("lot"), Column("finished", right=True, rank=1), Column("feed", right=True, rank=3),
        Column("own", right=True, rank=3), Column("general", right=True, rank=3), Column("cost", right=True, rank=2),
        Column(f"a {unit}", right=True), Column("taken", right=True), Column("leaves", right=True),
        Column(f"a {unit} sold", right=True, rank=1),
    )  # fmt: skip
    *finished, together = summed([each.finished_kg for each in view.lots], units)
    rows = tuple(_lot(each, kg, unit) for each, kg in zip(view.lots, finished, strict=True))
    total = [sum((pick(each) for each in view.lots), Decimal(0)) for pick in _SUMMED]
    last = ("together", together)
    yield Table(columns, (*rows, (*last, *map(money, total[:4]), "", *map(money, total[4:]), "")))
    if view.rest:
        yield GAP
        yield Sentence("spent, and in no lot so far:", "dim")
        for name, amount in view.rest:
            yield Sentence(f"{money(amount)}  {name}", indent=2)
    yield GAP
    yield Sentence(f"{SHARES} A {unit} sold leaves what it brought less what one cost.", "dim")


_SUMMED: tuple[Callable[[Made], Decimal], ...] = (
    lambda each: each.feed, lambda each: each.own, lambda each: each.general, lambda each: each.cost,
    lambda each: each.taken, lambda each: each.leaves,
)  # fmt: skip


def _lot(each: Made, finished: str, unit: str) -> tuple[str, ...]:
    per = "-" if each.per_kg is None else money(each.per_kg * Decimal(repr(UNITS[unit].factor)))
    amounts = (each.feed, each.own, each.general, each.cost)
    finished += "" if each.ready else " to cure"
    left = each.leaves_per_kg
    sold = "-" if left is None else money(left * Decimal(repr(UNITS[unit].factor)))
    return each.lot, finished, *map(money, amounts), per, money(each.taken), money(each.leaves), sold


def bins(view: AccountView) -> Iterator[Block]:
    """What each bin took, a lot's sales by what came into it, and what was spent on it."""
    columns = (Column("bin"), *(Column(name, right=True) for name in ("taken", "spent", "leaves")))
    rows = tuple((name, money(taken), money(spent), money(taken - spent)) for name, taken, spent in view.bins)
    yield Table(columns, rows)
    yield Sentence("Taken: a lot's sales by what each bin brought to it, and its worms. Spent: its feed, and costs of "
                   "its own.", "dim")  # fmt: skip
