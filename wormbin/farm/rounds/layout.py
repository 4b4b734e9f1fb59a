"""Lays the work on all bins out: harvests on the days that have time for them, bins at the stops of the walk."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from fnmatch import fnmatchcase
from functools import cache
from typing import TYPE_CHECKING

from wormbin.farm.views.layout import Layout, Moved, Place
from wormbin.farm.views.round import RoundRow
from wormbin.records.farms import Stop

if TYPE_CHECKING:
    from wormbin.castings.lot import Lot
    from wormbin.exchange.calendar import Due
    from wormbin.farm.session import Session
    from wormbin.schedule.pace import Pace
    from wormbin.schedule.spread import Job

SPREAD_DAYS = 28
LOSS_DAY, FULL_LOSS = 0.01, 3.0
"""Share of the castings that is lost with every day that they wait, and how much more in a full box, which is fed no
more (ours; only their order counts)."""


def layout(session: Session, rows: Sequence[RoundRow], on: date | None = None) -> Layout:
    """How the work on these bins, which are all that there are, is laid out on a day."""
    today = session.moment(on).date()
    own = session.cache.pace(today)
    settings = session.settings()
    return Layout(
        today,
        dict(_moved(session, rows, on)),
        {row.bin: place(row.bin, settings.walk) for row in rows} if settings.walk else {},
        own.walk,
        own.harvest,
    )


def _moved(session: Session, rows: Sequence[RoundRow], on: date | None) -> Iterator[tuple[str, Moved]]:
    """The harvests of the next weeks that get another day, as they are spread over the hours that there are.

    Those farther off are too unsure to make room for one another.
    """
    from wormbin.schedule.spread import spread, visits, walk_minutes

    settings, today = session.settings(), session.moment(on).date()
    own = session.cache.pace(today)
    put = {each.bin: each.on for each in settings.put}
    last = today + timedelta(days=SPREAD_DAYS)
    near = {row.bin: row for row in rows if row.harvest.on is not None and (row.harvest.on <= last or row.bin in put)}
    jobs = [_job(row, put.get(row.bin), own) for row in near.values()]
    trouble = sum(row.jobs_minutes for row in rows if not row.ticked)

    nexts = [(row.next_feeding, row.next_check) for row in rows]

    @cache
    def taken(day: date) -> float:
        return own.walk * (walk_minutes(*visits(settings, nexts, day)) + (trouble if day == today else 0))

    for bin, day in spread(jobs, today, settings, taken, _curing(session, today)).items():
        if (was := near[bin].harvest.on) is not None and was != day:
            yield bin, Moved(was, day)


def _job(row: RoundRow, put: date | None, own: Pace) -> Job:
    from wormbin.schedule.spread import Job

    harvest = row.harvest
    kg = next((each.kg.p50 for each in row.coming if each.part == harvest.part), 0.0)
    day = harvest.on
    assert day is not None
    steps = {step.code: step for step in harvest.steps}
    minutes = own.harvest * steps["harvest"].minutes if "harvest" in steps else 0.0
    minutes += own.walk * sum(step.minutes for step in harvest.steps if step.on == day and step.code != "harvest")
    cure = (steps["cured"].on - day).days if "cured" in steps else 0
    late = 0.0
    if harvest.due_since is not None:
        late = kg * LOSS_DAY * (FULL_LOSS if harvest.because == "full" else 1.0)
    return Job(row.bin, minutes, day, late, kg, cure, put)


def _curing(session: Session, today: date) -> list[tuple[date, float]]:
    """Lots that cure now: until when, kg; asked only where the room for them is known."""
    if session.settings().curing_room_kg is None:
        return []
    return [(until, lot.kg) for lot, until in curing_now(session, today)]


def curing_now(session: Session, on: date) -> tuple[tuple[Lot, date], ...]:
    """Lots that are not sieved yet, and the day on which each has cured."""
    from wormbin.castings.lot import lots
    from wormbin.castings.plan import curing
    from wormbin.store import StoreError

    try:
        found = lots(line for line in session.store.lot_lines() if line.when.date() <= on)
    except StoreError as error:  # the bins stay usable
        session.logs.unread["castings"] = error
        return ()
    return tuple(curing(found, {one.key: one for one in session.bins()}))


def promised(session: Session, on: date, days: int) -> tuple[Due, ...]:
    """What is promised for the next days: to bag it the day before, and to hand it over on its day."""
    from wormbin.castings.orders import promises
    from wormbin.exchange import calendar as files
    from wormbin.measures import mass
    from wormbin.records.kinds.castings import Product
    from wormbin.store import StoreError

    try:
        book = session.store.lot_lines()
    except StoreError as error:  # the bins stay usable
        session.logs.unread["castings"] = error
        return ()
    last, found = on + timedelta(days=days), []
    for each in promises(book, on, last + timedelta(days=1), (log for _one, log in session.cache.counted)):
        if each.due < on or not each.open_kg:
            continue
        what = f"{mass(each.open_kg, session.units)} {each.product.value}"
        whom = f" for {each.buyer}" if each.buyer else ""
        slot = f"{each.order}|{each.due.isoformat()}"
        if on < each.due:
            ready = "take out" if each.product is Product.WORMS else "bag"
            eve = each.due - timedelta(days=1)
            found.append(files.Due(eve, "", "order", f"Order {each.order}: {ready} {what}{whom}", slot=f"{slot}|bag"))
        found.append(files.Due(each.due, "", "order", f"Order {each.order}: {what} due{whom}", slot=slot))
    return tuple(due for due in found if due.on <= last)


def place(bin: str, walk: Sequence[Stop]) -> Place:
    """Where a bin comes in the walk, and the name of the stop; behind all others where no stop has it."""
    at = 0
    for stop in walk:
        for pattern in stop.bins:
            if fnmatchcase(bin, pattern):
                return Place(at, stop.name)
            at += 1
    return Place(at)
