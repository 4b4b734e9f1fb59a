"""The herd of all bins: how many worms each has and needs, what can be sold by when, which are due to be split or
surveyed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from wormbin.farm import rounds
from wormbin.farm.session import Session
from wormbin.farm.words.spoken import worm_mass
from wormbin.figures import Band
from wormbin.measures import Dimension, parse_amount, parse_date
from wormbin.records.bins import Bin
from wormbin.records.entries import Survey
from wormbin.science.constants import SURVEY_HOLDS_DAYS
from wormbin.science.practice import PLAN_AT_MOST_KG_M2, START_KG_M2

LEAST_TAKE_KG = 0.1
"""For less nobody lifts a lid (ours)."""
LARGEST_SHARE = 1.0 / 3.0
"""No more of a herd than this is taken at once, so that the bed keeps working (ours)."""


def herd(session: Session, on: date | None = None) -> HerdView:
    """Every living bin with its worms, what it can spare today, and what is due."""
    today = on or session.asked_on or session.clock().date()
    bins = {one.key: one for one in session.bins()}
    rows = tuple(
        _row(bins[row.bin], row.worms_kg, _surveyed(session, row.bin, today), today)
        for row in rounds.filled(session, rounds.filling(session, on))
    )
    return HerdView(tuple(sorted(rows, key=lambda each: (-each.spare_kg, each.bin))))


def _surveyed(session: Session, key: str, on: date) -> date | None:
    """The day of the latest survey up to a day."""
    log = session.cache.counted.get(key) or ()
    days = [each.when.date() for each in log if isinstance(each.what, Survey) and each.when.date() <= on]
    return max(days, default=None)


def _row(one: Bin, worms: Band, surveyed: date | None, today: date) -> HerdRow:
    """One bin. What it needs is the start density that gave the best castings; an unsurveyed herd counts by its low
    end."""
    area = one.footprint_m2
    needs, holds = START_KG_M2 * area, surveyed is not None and (today - surveyed).days <= SURVEY_HOLDS_DAYS
    sure = worms.p50 if holds else worms.p10
    spare = max(0.0, min(sure - needs, sure * LARGEST_SHARE))
    return HerdRow(
        one.key, one.name, worms, worms.p50 / area if area else 0.0, needs,
        spare if spare >= LEAST_TAKE_KG else 0.0, surveyed, not holds, worms.p50 > PLAN_AT_MOST_KG_M2 * area,
    )  # fmt: skip


def plan(session: Session, amount: str, by: str, on: date | None = None) -> HerdPlan:
    """Out of which bins so many worms can go by a day, the one that has most to spare first; nothing is written."""
    said = parse_amount(amount, "worms", expect=(Dimension.MASS, Dimension.COUNT))
    wanted, _ = worm_mass(said)
    today = on or session.asked_on or session.clock().date()
    day = parse_date(by, today, "by", toward="future") if by else today
    now = herd(session, on)
    there = now if day <= today else HerdView(tuple(_then(session, now.rows, day, today)))
    takes, left = [], wanted
    for each in sorted(there.rows, key=lambda row: (row.survey_due, -row.spare_kg, row.bin)):
        kg = min(left, each.spare_kg)
        if kg > 0:
            takes.append(Take(each.bin, each.name, kg, each.survey_due))
            left -= kg
    return HerdPlan(wanted, day, tuple(takes), max(0.0, left))


def _then(session: Session, rows: Sequence[HerdRow], day: date, today: date) -> Iterator[HerdRow]:
    """The rows as the look-ahead has them on a later day."""
    bins = {one.key: one for one in session.bins()}
    for row in rows:
        ahead = session.scene(row.bin, today, (day - today).days + 1).ahead.days
        worms = next((each.worms_kg for each in ahead if each.on >= day), None)
        yield row if worms is None else _row(bins[row.bin], worms, row.surveyed, day)


@dataclass(frozen=True, slots=True)
class HerdRow:
    """One bin. Live kg; ``kg_m2`` on its footprint; ``needs_kg`` keeps it working, ``spare_kg`` may go.

    ``survey_due`` is whether no survey holds, and the figures are an estimate; ``crowded`` asks for a split.
    """

    bin: str
    name: str
    worms_kg: Band
    kg_m2: float
    needs_kg: float
    spare_kg: float
    surveyed: date | None
    survey_due: bool
    crowded: bool


@dataclass(frozen=True, slots=True)
class HerdView:
    """Every living bin, the one that can spare most first."""

    rows: tuple[HerdRow, ...]


@dataclass(frozen=True, slots=True)
class Take:
    """So many worms, live kg, out of one bin; ``survey_first`` where nobody has counted them of late."""

    bin: str
    name: str
    kg: float
    survey_first: bool


@dataclass(frozen=True, slots=True)
class HerdPlan:
    """So many worms by a day: out of which bins, and what is missing, live kg."""

    kg: float
    by: date
    takes: tuple[Take, ...]
    missing_kg: float
