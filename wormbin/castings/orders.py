"""What is promised: orders with a day and a buyer, standing ones day by day, and what was sold on each."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from enum import StrEnum

from wormbin.records.entries import Entry, Stocking, standing
from wormbin.records.kinds.castings import Closed, Order, Product
from wormbin.records.lots import LotLine, Sale, lot_key, standing_lots

ENOUGH = 0.98
"""Of an order is all of it: scales and bags differ by so much (ours)."""
EARLY_DAYS = 60
"""A sale so long before the day of an order may be a part of it (ours)."""


class Stand(StrEnum):
    """How a promise stands."""

    OPEN = "open"
    MET = "met"
    LATE = "met late"
    MISSED = "missed"


@dataclass(frozen=True, slots=True)
class Promise:
    """One delivery of an order: so many kg by ``due``; ``taken_kg`` was sold on it, the last of it on ``taken_on``.

    ``line`` is the line that promised it, ``made`` when, ``written`` its place among all that were written.
    """

    order: str
    buyer: str
    product: Product
    kg: float
    due: date
    made: datetime
    line: str
    written: int = 0
    every_days: float | None = None
    taken_kg: float = 0.0
    taken_on: date | None = None

    @property
    def promised_on(self) -> date:
        """The day on which it was promised."""
        return self.made.date()

    @property
    def open_kg(self) -> float:
        """What is still to be delivered."""
        return 0.0 if self.taken_kg >= ENOUGH * self.kg else self.kg - self.taken_kg

    def stands(self, on: date) -> Stand:
        """How it stands on a day."""
        if self.open_kg:
            return Stand.OPEN if on <= self.due else Stand.MISSED
        return Stand.MET if self.taken_on is not None and self.taken_on <= self.due else Stand.LATE


def promises(
    lines: Iterable[LotLine], on: date, until: date, logs: Iterable[Sequence[Entry]] = ()
) -> tuple[Promise, ...]:
    """Every delivery promised up to ``on``, by its day, with what was sold on it; of standing orders up to ``until``.

    A sale counts for the order that it names as its occasion, else for its buyer's, where it was written down after
    the order: for the delivery that is due first among those still open. A standing order comes again until it is
    closed. Worms are sold in the bins' ``logs``, to a buyer or for an order.
    """
    every = list(lines)
    written = _written(every)
    book = [line for line in standing_lots(every) if line.when.date() <= on]
    closed = {lot_key(line.lot): line.when.date() for line in book if isinstance(line.what, Closed)}
    found = sorted(_all(book, written, closed, until), key=lambda each: (each.due, each.order))
    for line in book:
        if isinstance(line.what, Sale):
            _deliver(found, line.what, line.when.date(), written[line.id])
    worms = any(each.product is Product.WORMS for each in found)  # else no log is read, which takes long
    sold = (each for log in (logs if worms else ()) for each in standing(list(log)))
    for entry in sorted(sold, key=lambda each: each.when):
        if isinstance(entry.what, Stocking) and entry.what.worms_kg < 0 and entry.what.who and entry.when.date() <= on:
            _take_worms(found, entry.what, entry.when)
    return tuple(found)


def _written(lines: Sequence[LotLine]) -> dict[str, int]:
    """The place of each line among all that were written; of one put right that of the first."""
    known, found = {line.id: line for line in lines}, {}
    for line in lines:
        first, seen = line, {line.id}
        while first.replaces in known and first.replaces not in seen:
            first = known[first.replaces]
            seen.add(first.id)
        found[line.id] = first.order
    return found


def _all(book: Sequence[LotLine], written: dict[str, int], closed: dict[str, date], until: date) -> Iterator[Promise]:
    for line in book:
        what = line.what
        if not isinstance(what, Order):
            continue
        ends, due = closed.get(lot_key(line.lot)), what.due
        first = Promise(
            line.lot, what.buyer, what.product, what.kg, due, line.when, line.id, written[line.id], what.every_days
        )  # fmt: skip
        while (due <= until or not what.every_days) and (ends is None or due <= ends or ends < first.promised_on):
            yield replace(first, due=due)
            if not what.every_days:
                break
            due += timedelta(days=round(what.every_days))


def _deliver(found: list[Promise], sale: Sale, on: date, written: int) -> None:
    """Take a sale of castings off the deliveries that it is for."""
    buyer, occasion = lot_key(sale.buyer), lot_key(sale.purpose)

    def mine(each: Promise) -> bool:
        since = (on, written) >= (each.promised_on, each.written) and each.product is not Product.WORMS
        return lot_key(each.order) == occasion or bool(since and buyer and lot_key(each.buyer) == buyer)

    _take(found, mine, sale.kg, on)


def _take_worms(found: list[Promise], sold: Stocking, when: datetime) -> None:
    """Take worms that were sold off the orders of worms that they are for."""
    who = lot_key(sold.who)

    def mine(each: Promise) -> bool:
        return each.product is Product.WORMS and when >= each.made and who in (lot_key(each.buyer), lot_key(each.order))

    _take(found, mine, -sold.worms_kg, when.date())


def _take(found: list[Promise], mine: Callable[[Promise], bool], left: float, on: date) -> None:
    for at, each in enumerate(found):
        if (
            left <= 0
            or not mine(each)
            or not each.open_kg
            or on < each.promised_on
            or (each.due - on).days > EARLY_DAYS
        ):
            continue
        part = min(left, each.open_kg)
        found[at] = replace(each, taken_kg=each.taken_kg + part, taken_on=on)
        left -= part
