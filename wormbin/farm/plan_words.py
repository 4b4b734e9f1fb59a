"""A plan for castings in sentences: how likely it is enough, and what each bin brings to it."""

from __future__ import annotations

from datetime import date

from wormbin.farm.lot_views import DeliveryView, PlanView
from wormbin.measures import mass, percent


def odds_words(view: PlanView, units: str) -> str:
    """What is wanted, by when, and how likely it will be there."""
    chance = round(view.likelihood * 10)
    odds = "all but certain" if chance == 10 else "hardly" if chance == 0 else f"about {chance} times in 10"
    return f"{mass(view.kg, units)} of finished castings by {_day(view.by)}: {odds}"


def delivery_words(each: DeliveryView, units: str) -> str:
    """What one bin can bring: how likely in time, from when, and how much."""
    window = f"likely {_day(each.likely)}" if each.likely else "no harvest in sight"
    if each.earliest and not each.likely:
        window = f"perhaps from {_day(each.earliest)}, likely beyond the look-ahead"
    if each.due_since:
        window = f"due since {_day(each.due_since)}"
    words = f"ready in time {percent(each.ready)}, {window}"
    if each.ready > 0:
        much = f"{mass(each.kg.p50, units)} finished ({mass(each.kg.p10, units)} to {mass(each.kg.p90, units)})"
        words += f"; about {much}"
    return words


def _day(on: date) -> str:
    return f"{on:%a} {on.day} {on:%b %Y}"
