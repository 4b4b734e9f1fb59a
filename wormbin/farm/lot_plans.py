"""A plan for castings: so much by a day, from stock, lots on their way, and the bins by their harvest windows."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from wormbin.advice.rules.harvest import to_take_kg
from wormbin.castings.lot import Lot
from wormbin.castings.plan import CURE_DAYS, KEPT, Delivery, outcome, own_cure_days, own_kept
from wormbin.farm.lot_views import DeliveryView, PlanView
from wormbin.farm.opening import AHEAD_DAYS, OpenFarm
from wormbin.figures import Band
from wormbin.measures import Dimension, counted, mass, parse_amount, parse_date, percent
from wormbin.problems import Problem, RefusedError

FARTHEST_DAYS = 366


def plan(farm: OpenFarm, lots: Sequence[Lot], amount: str, by: str, on: date | None) -> PlanView:
    """Whether ``amount`` of finished castings can be there ``by`` a day, as of ``on``."""
    today = on or farm.clock().date()
    wanted = parse_amount(amount, "kg", expect=Dimension.MASS).kg()
    day = parse_date(by, today, "by")
    if wanted <= 0:
        raise RefusedError(Problem("kg", amount, "an amount of castings", "40 kg"))
    if not today <= day <= today + timedelta(days=FARTHEST_DAYS):
        raise RefusedError(Problem("by", day.isoformat(), f"a day from {today} to a year from then", "2026-05-01"))
    in_stock = sum(lot.kg for lot in lots if lot.in_stock)
    own_days, own_share = own_cure_days(lots), own_kept(lots)
    kept = KEPT if own_share is None else Band(own_share * 0.85, own_share, min(1.0, own_share * 1.15))
    cure_days = CURE_DAYS if own_days is None else own_days
    coming = _coming(lots, day, cure_days, kept.p50)
    missing = wanted - in_stock - coming
    horizon = max(day, today + timedelta(days=AHEAD_DAYS))
    deliveries = tuple(_delivery(farm, one.key, on, (horizon - today).days) for one in farm.bins() if one.ended is None)
    found = outcome(deliveries, max(missing, wanted / 1000), day, horizon, cure_days=cure_days, kept=kept)
    likelihood = 1.0 if missing <= 0 else found.likelihood
    names = {one.key: one.name for one in farm.bins()}
    views = [
        DeliveryView(
            each.bin, names[each.bin], ready, each.kg.times(kept.p50), each.earliest, each.likely, each.latest,
            found.harvest_by,
        )
        for each, ready in zip(deliveries, found.ready, strict=True)
    ]  # fmt: skip
    views.sort(key=lambda each: (-each.ready, each.likely or date.max, each.bin))
    units = farm.units
    sources = (
        f"{mass(in_stock, units)} are in stock, about {mass(coming, units)} will be from lots on their way,"
        f" about {mass(found.brings.p50, units)} from the bins"
        f" (8 times in 10 between {mass(found.brings.p10, units)} and {mass(found.brings.p90, units)})"
    )
    curing = (
        f"to be in the bag by {day.isoformat()} a bin must be harvested by {found.harvest_by.isoformat()}:"
        f" {counted(cure_days, 'day')} of curing and sieving ({_whence(own_days)}), after which"
        f" {percent(kept.p50)} of the mass is left ({_whence(own_share)})"
    )
    doubt = "bins are taken to be ready each for itself; a cold spell that hits all of them makes it less likely"
    words = (sources, curing, doubt)
    return PlanView(wanted, day, in_stock, coming, found.brings, likelihood, cure_days, kept.p50, tuple(views), words)


def _whence(own: float | None) -> str:
    return "common practice, no source, until lots of yours tell" if own is None else "as your own lots had it"


def _coming(lots: Sequence[Lot], by: date, cure_days: int, kept: float) -> float:
    """What lots that are not in stock yet will give by the day, kg; those weighed since sieving lose nothing more."""
    total = 0.0
    for lot in lots:
        if lot.in_stock or lot.empty or lot.intakes[-1].line.when.date() + timedelta(days=cure_days) > by:
            continue
        total += lot.kg if lot.weighed_on and lot.weighed_on >= lot.step_on and lot.step != "curing" else lot.kg * kept
    return total


def _delivery(farm: OpenFarm, key: str, on: date | None, days: int) -> Delivery:
    scene = farm.scene(key, on, days)
    window = scene.ahead.harvest
    due = window.due_since is not None
    now = to_take_kg(scene.case)
    when = window.likely
    if due or when is None:
        kg = now
    else:
        place = min(max(0, (when - scene.on).days - 1), len(scene.ahead.days) - 1)
        then = scene.ahead.days[place]
        kg = then.castings_dry_kg.times(0.9 / (1.0 - min(0.95, then.moisture.p50)))
    return Delivery(key, kg, window.earliest, when, window.latest, due)
