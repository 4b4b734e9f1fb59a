"""The round of all bins: what each needs today, the worst first, and what falls due on the days to come.

What is heavy to load is imported within the functions, so that the first screen comes at once.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from typing import TYPE_CHECKING

from wormbin.farm.views.round import RoundRow

if TYPE_CHECKING:
    from wormbin.farm.rounds.fill import Filling
    from wormbin.farm.session import Session
    from wormbin.farm.views.bin import CompartmentView, HarvestRow, RoundView
    from wormbin.records.bins import Bin


def view(session: Session, on: date | None = None) -> RoundView:
    """All bins, worst first; a bin whose book cannot be read is named apart, and the others stay usable."""
    from wormbin.farm.views.bin import RoundView

    filled_now = filling(session, on)
    known = sorted(filled(session, filled_now), key=order)
    notes = " ".join(flaw.sentence() for flaw in session.store.notices())
    return RoundView(session.moment(on).date(), tuple(known), minutes_left(known), notes, tuple(filled_now.troubled))


def rows(session: Session, on: date | None = None) -> Iterator[RoundRow]:
    """The rows of the round one by one, as they come; troubled bins are left out."""
    return filled(session, filling(session, on))


def filling(session: Session, on: date | None = None, only: str = "") -> Filling:
    """The round of a day, to be filled step by step by whoever shows it; ``only`` one bin's row, by its key."""
    from wormbin.farm.rounds.fill import Filling
    from wormbin.farm.session import within_life

    on = on or session.asked_on
    if on is not None:
        within_life(on, session.bins(), session.clock().date())
    return Filling(session, living(session, on), on, only)


def filled(session: Session, filling: Filling) -> Iterator[RoundRow]:
    """The rows of a filling one by one, as they come; the bins that cannot be read are then among its troubled."""
    from wormbin.farm.views.bin import TroubledBin

    try:
        yield from tuple(filling.known)
        for made in filling.rest():
            if not isinstance(made, TroubledBin):
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


def calendar(session: Session, on: date | None = None, *, days: int = 60) -> str:
    """Everything due in the next days as an iCalendar file."""
    from wormbin.exchange import calendar as files
    from wormbin.farm.rounds.week import by_rounds, dues
    from wormbin.farm.session import within_life

    bins, on = session.bins(), on or session.asked_on
    if on is not None:
        within_life(on, bins, session.clock().date())
    open_bins = [one for one in bins if one.ended is None and (on is None or one.started <= on)]
    every = [
        due
        for one in open_bins
        if session.logs.get(one.key) is not None
        for due in dues(session.scene(one.key, on), days)
    ]
    return files.calendar(by_rounds(every, {one.key: one.name for one in open_bins}), session.clock())


def sheet(session: Session, bin: str, on: date | None = None) -> tuple[str, ...]:
    """The printable weekly sheet, line by line."""
    from wormbin.farm.rounds import week

    return week.sheet(session.scene(bin, on), session.farm().keepers)


def order(one: RoundRow) -> tuple[int, float, str]:
    """Worst first; within a level the most urgent, then by name."""
    urgency = max((each.urgency for each in one.findings if each.level is one.level), default=0.0)
    return -one.level.rank, -urgency, one.name.casefold()


def minutes_left(rows: Iterable[RoundRow]) -> int:
    """About how many minutes the round still takes: those of the bins at which nobody has been today."""
    return sum(row.minutes for row in rows if not row.done)
