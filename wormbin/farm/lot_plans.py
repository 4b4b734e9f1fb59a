"""A plan for castings: so much by a day, from stock, lots on their way, and the bins by their harvest windows."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from wormbin.castings.lot import Lot
from wormbin.castings.plan import KEPT, Delivery, outcome, own_cure_days, own_kept, ready_on
from wormbin.farm import rounds
from wormbin.farm.rounds.fill import Filling
from wormbin.farm.session import AHEAD_DAYS, Session
from wormbin.farm.views.lots import DeliveryView, PlanView
from wormbin.farm.views.round import ComingRow
from wormbin.figures import Band
from wormbin.measures import Dimension, mass, parse_amount, parse_date, percent
from wormbin.problems import Problem, RefusedError
from wormbin.records.bins import Bin
from wormbin.science.practice import CURE_DAYS, cure_days

FARTHEST_DAYS = 366


@dataclass(frozen=True, slots=True)
class Wish:
    """So much finished castings by a day, as of today."""

    kg: float
    by: date
    today: date

    @property
    def horizon(self) -> date:
        """The last day that is looked ahead to."""
        return max(self.by, self.today + timedelta(days=AHEAD_DAYS))


def wish(farm: Session, amount: str, by: str, on: date | None = None) -> Wish:
    """What is asked for, in the keeper's words."""
    today = on or farm.asked_on or farm.clock().date()
    wanted = parse_amount(amount, "kg", expect=Dimension.MASS).kg()
    day = parse_date(by, today, "by")
    if wanted <= 0:
        raise RefusedError(Problem("kg", amount, "an amount of castings", "40 kg"))
    example = (today + timedelta(days=90)).isoformat()
    if not today <= day <= today + timedelta(days=FARTHEST_DAYS):
        raise RefusedError(Problem("by", day.isoformat(), f"a day from {today} to a year from then", example))
    return Wish(wanted, day, today)


def rests_on(farm: Session, wish: Wish, on: date | None = None) -> Filling:
    """The bins that a plan rests on, to be worked out as far as its day: the round's rows, as far as these reach."""
    days = (wish.horizon - wish.today).days
    return rounds.filling(farm, on, far=days if days > AHEAD_DAYS else 0)


def plan(farm: Session, known: Sequence[Lot], amount: str, by: str, on: date | None) -> PlanView:
    """Whether ``amount`` of finished castings can be there ``by`` a day, as of ``on``."""
    asked = wish(farm, amount, by, on)
    wanted, day, today, horizon = asked.kg, asked.by, asked.today, asked.horizon
    in_stock = sum(lot.kg for lot in known if lot.in_stock)
    own_days, own_share = own_cure_days(known), own_kept(known)
    kept = KEPT if own_share is None else Band(own_share * 0.85, own_share, min(1.0, own_share * 1.15))
    bins = {one.key: one for one in farm.bins()}
    coming = _coming(known, day, own_days, bins, kept.p50)
    missing = wanted - in_stock - coming
    filling = rests_on(farm, asked, on)
    rows = {row.bin: row.coming for row in rounds.filled(farm, filling)}
    rows |= {each.bin: each.rows for each in filling.coming}
    found_in = [
        (one, each, cure_days(one.site_temp_c, own_days))
        for one in bins.values()
        if one.ended is None
        for each in rows.get(one.key, ())
    ]
    deliveries = tuple(_delivery(one, each, cure, today, day) for one, each, cure in found_in)
    found = outcome(deliveries, max(missing, 0.0), day, horizon, kept=kept, today=today)
    likelihood = 1.0 if missing <= 0 else found.likelihood
    views = [
        DeliveryView(
            one.key, f"{one.name}, {each.part}" if each.part else one.name, ready, each.kg.times(kept.p50),
            each.earliest, each.likely, each.latest, last, each.on, cure, each.due_since,
        )
        for (one, each, cure), ready, last in zip(found_in, found.ready, found.harvest_by, strict=True)
    ]  # fmt: skip
    views.sort(key=lambda each: (-each.ready, each.likely or date.max, each.bin))
    cures = sorted({cure for _one, _each, cure in found_in}) or [CURE_DAYS if own_days is None else own_days]
    units = farm.units
    sources = (
        f"{mass(in_stock, units)} are in stock, about {mass(coming, units)} will be from lots on their way,"
        f" about {mass(found.brings.p50, units)} from the bins"
        f" (8 times in 10 between {mass(found.brings.p10, units)} and {mass(found.brings.p90, units)})"
    )
    by_words = " or ".join((day - timedelta(days=cure)).isoformat() for cure in reversed(cures))
    days_words = " or ".join(str(cure) for cure in reversed(cures)) + (" day" if cures == [1] else " days")
    cooler = ", the longer where it is cooler" if len(cures) > 1 else ""
    curing = (
        f"to be in the bag by {day.isoformat()} a bin must be harvested by {by_words}:"
        f" {days_words} of curing and sieving ({_whence(own_days)}{cooler}), after which"
        f" {percent(kept.p50)} of the mass is left ({_whence(own_share)})"
    )
    doubt = "what makes one bin late is taken to make the others late in part: weather, feed, your own hand"
    latest = max((day - timedelta(days=cure) for cure in cures), default=day)
    gone = ("that day has gone by: what is harvested from now on is not in the bag by then",) if latest < today else ()
    left_out = tuple(f"{each.name} cannot be read and is left out: {each.why}" for each in filling.troubled)
    words = (sources, curing, *gone, doubt, *left_out)
    return PlanView(wanted, day, in_stock, coming, found.brings, likelihood, cures[-1], kept.p50, tuple(views), words)


def _whence(own: float | None) -> str:
    return "common practice, no source, until lots of yours tell" if own is None else "as your own lots had it"


def _coming(known: Sequence[Lot], by: date, own_days: int | None, bins: Mapping[str, Bin], kept: float) -> float:
    """What lots that are not in stock yet will give by the day, kg; those weighed since sieving lose nothing more."""
    total = 0.0
    for lot in known:
        if lot.in_stock or lot.empty or ready_on(lot, own_days, bins) > by:
            continue
        total += lot.kg if lot.weighed_on and lot.weighed_on >= lot.step_on and lot.step != "curing" else lot.kg * kept
    return total


def _delivery(one: Bin, each: ComingRow, cure: int, today: date, by: date) -> Delivery:
    """What a bin or tray can bring, by the days on which it can be taken off: where worms are to move out first, after
    that.
    """
    due = each.due_since is not None and each.on is not None and each.on <= by - timedelta(days=cure)
    ripe = today if each.due_since is not None else each.likely
    later = max(timedelta(), each.on - ripe) if each.on is not None and ripe is not None else timedelta()

    def then(day: date | None) -> date | None:
        return day + later if day is not None else None

    return Delivery(one.key, each.kg, then(each.earliest), then(each.likely), then(each.latest), due, cure)
