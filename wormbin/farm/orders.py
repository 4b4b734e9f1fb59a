"""Orders: what is promised to whom by when, how it stands, and how likely it can be kept."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from wormbin.castings.lot import lots
from wormbin.castings.orders import Promise, Stand, promises
from wormbin.farm.feedstock import called_back
from wormbin.farm.lot_plans import Supply, Wish, not_counted, supply
from wormbin.farm.session import AHEAD_DAYS
from wormbin.farm.views import shown_as
from wormbin.farm.views.lots import PromiseView
from wormbin.records.kinds.castings import Product

if TYPE_CHECKING:
    from wormbin.farm.session import Session

MET_BEFORE_DAYS = 90
"""Deliveries so long ago are still told."""


def orders(session: Session, on: date | None = None, *, every: bool = False) -> tuple[PromiseView, ...]:
    """What is promised and was of late, the soonest first; ``every`` one that there ever was.

    Standing ones are told, and how likely each is, as far as the look-ahead reaches.
    """
    today = session.moment(on).date()
    book = session.store.lot_lines()
    far = today + timedelta(days=AHEAD_DAYS)
    found = promises(book, today, far, (log for _one, log in session.cache.counted))
    since = date.min if every else today - timedelta(days=MET_BEFORE_DAYS)
    told = [each for each in found if each.due >= since]
    held = None
    if any(_counts(each, today) for each in told):
        known = lots(line for line in book if line.when.date() <= today)
        held, _troubled = supply(session, known, Wish(0.0, today, today), on)
    return tuple(_view(each, today, held) for each in told)


def left_out(session: Session, on: date | None = None) -> tuple[str, ...]:
    """What lies there and is not counted for any order yet, in words."""
    today = session.moment(on).date()
    known = lots(line for line in session.store.lot_lines() if line.when.date() <= today)
    return not_counted(known, called_back(session, on), session.units)


def _counts(each: Promise, today: date) -> bool:
    """Whether it waits for castings, by a day to which the look-ahead reaches."""
    near = (each.due - today).days <= AHEAD_DAYS
    return near and each.stands(today) is Stand.OPEN and each.product is not Product.WORMS


def _view(each: Promise, today: date, held: Supply | None) -> PromiseView:
    odds = held.outcome(0.0, each.due).likelihood if held is not None and _counts(each, today) else None
    return shown_as(PromiseView, each, stand=each.stands(today), likelihood=odds)
