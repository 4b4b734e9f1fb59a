"""The round of all bins: what each needs today, the worst first, and what falls due on the days to come.

What is heavy to load is imported within the functions, so that the first screen comes at once.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from datetime import date, timedelta
from typing import TYPE_CHECKING

from wormbin.farm.views.round import RoundRow

if TYPE_CHECKING:
    from wormbin.exchange.calendar import Due
    from wormbin.farm.bins.scene import Scene
    from wormbin.farm.rounds.fill import Filling
    from wormbin.farm.session import Session
    from wormbin.farm.views.bin import CompartmentView, HarvestRow, RoundView
    from wormbin.records.bins import Bin


def view(session: Session, on: date | None = None) -> RoundView:
    """All bins, worst first; a bin whose book cannot be read is named apart, and the others stay usable."""
    from wormbin.farm.errors import closed_words
    from wormbin.farm.turns import fed_today, today_words
    from wormbin.farm.views.bin import RoundView

    filled_now = filling(session, on)
    list(filled(session, filled_now))
    known = sorted(filled_now.laid_out(), key=order)
    today = session.moment(on).date()
    notes = " ".join(flaw.sentence() for flaw in session.store.notices())
    minutes = minutes_left(known), jobs_left(known, today)
    whose = today_words(session, on, fed_today(known, today))
    closed = tuple(closed_words(one) for one in session.bins() if one.ended is not None and one.ended <= today)
    return RoundView(today, tuple(known), *minutes, notes, tuple(filled_now.troubled), whose, closed)


def rows(session: Session, on: date | None = None) -> Iterator[RoundRow]:
    """The rows of the round with the work on all bins laid out; troubled bins are left out."""
    filled_now = filling(session, on)
    list(filled(session, filled_now))
    return iter(filled_now.laid_out())


def filling(session: Session, on: date | None = None, only: str = "", far: int = 0) -> Filling:
    """The round of a day, to be filled step by step by whoever shows it; ``only`` one bin's row, by its key.

    ``far``: in place of rows the harvests to come within so many days.
    """
    from wormbin.farm.rounds.fill import Filling
    from wormbin.farm.session import within_life

    on = on or session.asked_on
    if on is not None:
        within_life(on, session.bins(), session.clock().date())
    return Filling(session, living(session, on), on, only, far)


def filled(session: Session, filling: Filling) -> Iterator[RoundRow]:
    """The rows of a filling one by one, as they come; the bins that cannot be read are then among its troubled."""
    of = len(filling.cold)
    try:
        yield from tuple(filling.known)
        for number, made in enumerate(filling.rest(), 1):
            if session.progress is not None:
                session.progress(number, of)
            if isinstance(made, RoundRow):
                yield made
    finally:
        filling.end()


def living(session: Session, on: date | None = None) -> tuple[Bin, ...]:
    """The bins that live on a day: those that the round has a row for."""
    on, day = on or session.asked_on, session.moment(on).date()
    return tuple(
        one
        for one in session.bins()
        if not (one.ended is not None and one.ended <= day) and not (on is not None and on < one.started)
    )


def harvests(session: Session, on: date | None = None) -> tuple[HarvestRow, ...]:
    """Every bin's harvest window and steps, the soonest first."""
    from wormbin.farm.views.bin import HarvestRow

    found = [HarvestRow(row.bin, row.name, row.harvest, _trays(session, row, on)) for row in rows(session, on)]
    far = date.max
    return tuple(sorted(found, key=lambda row: (row.harvest.due_since or row.harvest.likely or far, row.bin)))


def _trays(session: Session, row: RoundRow, on: date | None) -> tuple[CompartmentView, ...]:
    if row.compartments < 2:
        return ()
    from wormbin.farm.bins.row import compartments

    return compartments(session.scene(row.bin, on))


def calendar(session: Session, on: date | None = None, *, days: int = 60, before: str = "") -> str:
    """Everything due in the next days as an iCalendar file.

    ``before`` is the file handed out before: what it has from today on and does not stand any more is called off.
    """
    from wormbin.exchange import calendar as files
    from wormbin.farm.rounds.week import by_rounds
    from wormbin.farm.rounds.workdays import promised
    from wormbin.farm.turns import by_day

    names, today = {one.key: one.name for one in session.bins()}, session.moment(on).date()
    every = (*due_at(session, on, days), *promised(session, today, days))
    fed = {name: {due.on for due in every if due.bin == key and due.kind == "feed"} for key, name in names.items()}
    dues = by_rounds(every, names, by_day(session, today, days, fed))
    return files.calendar(dues, session.clock(), files.events(before), today)


def due_at(session: Session, on: date | None = None, days: int = 60) -> tuple[Due, ...]:
    """What falls due at every bin in the next days, as it is kept beside the rows of the round."""
    from wormbin.farm.cache.rows import Dues
    from wormbin.farm.rounds.fill import DUE_DAYS
    from wormbin.farm.rounds.week import dues, meals
    from wormbin.farm.views.round import put_off

    def _dues(scene: Scene, ahead: int) -> Dues:
        return Dues(scene.bin.key, tuple(dues(scene, ahead)), meals(scene))

    found: list[Due] = []
    known = {row.bin: row for row in rows(session, on)}
    last = session.moment(on).date() + timedelta(days=days)
    for one in living(session, on):
        row = known.get(one.key)
        if row is None or one.ended is not None:
            continue
        token = session.cache.token(one, on)
        held = session.cache.dues.get(Dues, one.key, token) if days <= DUE_DAYS else None
        if held is None:
            held = _dues(session.scene(one.key, on), max(days, DUE_DAYS))
            if days <= DUE_DAYS:
                session.cache.dues.put(one.key, token, held)
        found += [due for each in held.dues if (due := put_off(each, row)).on <= last]
    session.cache.dues.flush()
    return tuple(found)


def sheet(session: Session, bin: str, on: date | None = None) -> tuple[str, ...]:
    """The printable weekly sheet, line by line."""
    from wormbin.farm.errors import not_closed
    from wormbin.farm.rounds import week
    from wormbin.farm.turns import by_day

    scene = session.scene(bin, on)
    not_closed(scene.bin, scene.on)
    laid = session.cache.laid(on, scene.on)
    fed = {scene.bin.name: {due.on for due in week.dues(scene, week.WEEK) if due.kind == "feed"}}
    return week.sheet(scene, session.farm().keepers, by_day(session, scene.on, week.WEEK, fed), laid)


def natural(name: str) -> list[tuple[int, str]]:
    """An order of names in which bed 2 comes before bed 10."""
    return [(int(part), "") if part.isdecimal() else (0, part.casefold()) for part in re.split(r"(\d+)", name)]


def order(one: RoundRow) -> tuple[int, float, list[tuple[int, str]]]:
    """Worst first; within a level the most urgent, then by name."""
    urgency = max((each.urgency for each in one.findings if each.level is one.level), default=0.0)
    return -one.level.rank, -urgency, natural(one.name)


def minutes_left(rows: Iterable[RoundRow]) -> int:
    """About how long it still takes to look in and feed, in minutes: at the bins where nobody has been today."""
    return sum(row.minutes for row in rows if not row.done)


def jobs_left(rows: Iterable[RoundRow], on: date) -> int:
    """About how many minutes today's other jobs take: what calls for something, and the harvest steps of the day."""
    return sum(
        (0 if row.ticked else row.jobs_minutes) + sum(step.minutes for step in row.harvest.steps if step.on == on)
        for row in rows
    )
