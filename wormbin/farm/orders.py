"""Orders: what is promised to whom by when, how it stands, and how likely it can be kept; each line of one written."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

from wormbin.castings.lot import find_lot, lots
from wormbin.castings.orders import Promise, Stand, promises
from wormbin.farm.heading import NOW, Heading
from wormbin.farm.logbook import ledger_of
from wormbin.farm.lot_plans import Supply, Wish, supply
from wormbin.farm.session import AHEAD_DAYS
from wormbin.farm.views.bin import Recorded
from wormbin.farm.views.lots import PromiseView
from wormbin.farm.words.log import words_of
from wormbin.farm.words.typed import typed_fields
from wormbin.measures import tidy
from wormbin.problems import RefusedError
from wormbin.records.kinds.castings import LOT_BY_KIND, LotKind, Order, Product
from wormbin.records.line_rules import lot_name_problems
from wormbin.records.lots import LotLine, lot_key

if TYPE_CHECKING:
    from wormbin.farm.session import Session

PAST_DAYS = 90
"""Deliveries so long ago are still told."""


def orders(session: Session, on: date | None = None, *, every: bool = False) -> tuple[PromiseView, ...]:
    """What is promised for the next months and was of late, the soonest first; ``every`` one that there ever was."""
    today = session.moment(on).date()
    book = session.store.lot_lines()
    found = promises(book, today, today + timedelta(days=AHEAD_DAYS))
    since = date.min if every else today - timedelta(days=PAST_DAYS)
    told = [each for each in found if each.due >= since]
    waits = [each for each in told if _counts(each, today)]
    held = None
    if waits:
        known = lots(line for line in book if line.when.date() <= today)
        held, _troubled = supply(session, known, Wish(0.0, waits[-1].due, today), on)
    return tuple(_view(each, today, held) for each in told)


def _counts(each: Promise, today: date) -> bool:
    """Whether it waits for castings."""
    return each.stand(today) is Stand.OPEN and each.product is not Product.WORMS


def _view(each: Promise, today: date, held: Supply | None) -> PromiseView:
    odds = held.outcome(0.0, each.due).likelihood if held is not None and _counts(each, today) else None
    return PromiseView(
        each.order, each.buyer, each.product.value, each.kg, each.due, each.taken_kg, each.taken_on,
        each.stand(today).value, each.open_kg, odds,
    )  # fmt: skip


def write(session: Session, name: str, kind: LotKind, said: Mapping[str, str], heading: Heading = NOW) -> Recorded:
    """Save one line about an order, its fields in the keeper's words, by their names."""
    ledger, described = ledger_of(session), LOT_BY_KIND[kind]
    wrong = session.store.find_line(heading.replaces) if heading.replaces.strip() else None
    if wrong is not None and wrong.kind is kind:  # what is unsaid of a line put right stays
        said = {**typed_fields(wrong.what, ledger.spoken, session.units), **said}
    what = ledger.spoken.read(described, said)
    line = ledger.save_lot(_named(session, name, is_new=isinstance(what, Order)), what, heading)
    done = "put right" if wrong is not None else "written down"
    return Recorded((line.id,), f"order {line.lot}: {words_of(what, session.units)} - {done}")


def _named(session: Session, name: str, *, is_new: bool) -> str:
    """The name as the book has it already; a new one where something is promised."""
    known: dict[str, LotLine] = {lot_key(line.lot): line for line in session.store.lot_lines() if line.about == "order"}
    said = " ".join(tidy(name).split())
    if not is_new or lot_key(said) in known:
        return find_lot(said, [_Named(line.lot) for line in known.values()], "order").name
    if problems := tuple(replace(each, field="order") for each in lot_name_problems(said)):
        raise RefusedError(problems)
    return said


class _Named:
    """A name to be found again."""

    def __init__(self, name: str) -> None:
        self.name = name
