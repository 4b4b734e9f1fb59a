"""Rules on harvest: near, due, late, and a box that is full."""

from __future__ import annotations

from wormbin.advice import limits
from wormbin.advice.case import Case
from wormbin.advice.evidence import limit_words, sure
from wormbin.advice.finding import Action, Doing, Finding
from wormbin.advice.limits import level_of
from wormbin.advice.wording import (
    day_words,
    days,
    length,
    loosened,
    mass,
    mass_band,
    percent,
    percent_band,
    scooped,
    weeks,
    window_words,
)
from wormbin.figures import Band, Level
from wormbin.measures.dates import on_day
from wormbin.records.bins import Method
from wormbin.science.constants import LIFT_KG, LOOSE_BEDDING_KG_M3, NEW_BED_M
from wormbin.science.practice import cure_days

HOW = {
    Method.SORT: "sort by light and heap",
    Method.SIDEWAYS: "let the worms move sideways to fresh bedding",
    Method.UPWARD: "let the worms climb into a fresh tray",
    Method.BAIT: "bait the worms out",
    Method.SCREEN: "screen it at 3-6 mm and return what stays on top",
    Method.FLOW: "cut 5 cm from the base",
}
HOW_APART = {
    Method.SIDEWAYS: "let the worms move into the {next} first, and feed only there",
    Method.UPWARD: "let the worms move into the {next} first, and feed only there",
    Method.BAIT: "bait the worms out of it into the {next}",
}
"""The same for one tray or half."""


def to_take_kg(case: Case) -> Band:
    """Wet castings that can be taken off now, kg: all castings at the bin's moisture, a tenth left with the worms."""
    return wet_kg(case.today.castings_dry_kg, case.today.moisture.p50)


def wet_kg(castings_dry_kg: Band, moisture: float) -> Band:
    """Wet castings that can be taken off, kg, out of so much of their dry matter; a tenth stays with the worms."""
    return all_wet_kg(castings_dry_kg, moisture).times(0.9)


def all_wet_kg(castings_dry_kg: Band, moisture: float) -> Band:
    """All wet castings that there are, kg, out of so much of their dry matter."""
    return castings_dry_kg.times(1.0 / (1.0 - min(0.95, moisture)))


def _amount(case: Case) -> str:
    kg, units = to_take_kg(case).p50, case.settings.units
    return f"about {mass(kg, units)} of castings ({loosened(kg, units)})"


def harvest(case: Case, part: str = "", following: str = "") -> Finding | None:
    """Castings are near the share that the keeper chose, have reached it, or have lain too long.

    ``part`` is what the tray or half is called that the case is about, ``following`` the one that is fed after it.
    """
    window, limit = case.ahead.harvest, limits.LATE_HARVEST
    aim, share = case.bin.harvest_share, case.today.castings_share
    reached = f"{percent(share.p50)} is castings. You harvest at {percent(aim)}."
    if window.due_since is not None and percent(share.p50) != percent(aim) and share.p50 < aim:
        reached = (
            f"castings likely first touched your {percent(aim)} {on_day(window.due_since, case.on)}. "
            f"Now {percent(share.p50)} is castings."
        )
    if window.because == "full":
        reached = f"the box is {percent(case.today.fullness.p50)} full, and {percent(share.p50)} is castings."
    method = case.bin.method
    take = f"take {_amount(case)} off the {part}" if part else f"take off {_amount(case)}"
    how = HOW_APART.get(method, HOW[method]).format(next=following) if part else HOW[method]
    if window.due_since is not None:
        since = (case.on - window.due_since).days
        level = level_of((since,), lambda late: Band.exactly(float(late)), limit)
        late = level is Level.ACT
        what = f"harvest is late: due for {days(since)}" if late else f"harvest is due: {_amount(case)}"
        reached += " Left too long, castings harm the worms that made them." if late else ""
        do: tuple[Action, ...] = (Action(Doing.HARVEST, f"{take}: {how}", 1.0), *_bedding(case))
        urgency = 4.0 + since / 30
        code = "harvest-late" if late else "harvest-due"
    elif window.likely is not None and (window.likely - case.on).days <= limits.HARVEST_NEAR_DAYS:
        level, code, urgency = Level.STEADY, "harvest-near", 1.0
        what = f"harvest is near: likely about {day_words(window.likely, case.on)}"
        do = (Action(Doing.HARVEST, f"get ready to {take}: {how}"),)
    elif _may_be_ready(case):
        level, code, urgency = Level.STEADY, "harvest-near", 1.0
        what = "castings may be ready: look for yourself"
        do = (Action(Doing.LOOK, "dig to the base at one side. Ready castings are dark and crumble, with little else"),)
    else:
        return None
    return Finding(
        code=code,
        level=level,
        what=what,
        why=reached,
        actions=do,
        sure=sure(
            case,
            f"{window_words(window, case.on, len(case.ahead.days))}, {percent_band(share)} castings",
            "castings_kg",
            "contents_m",
            "total_kg",
        ),
        source=limit.source,
        urgency=urgency,
    )


def _may_be_ready(case: Case) -> bool:
    """Whether castings have reached the share by the upper end of their band, and likely lack little of it."""
    early, share = case.ahead.harvest.earliest, case.today.castings_share.p50
    return early is not None and early <= case.on and share >= case.bin.harvest_share - limits.MAY_BE_READY


def _bedding(case: Case) -> tuple[Action, ...]:
    """The step that renews the bed: as much fresh, soaked bedding as fills 10 cm loosely."""
    kg = case.bin.footprint_m2 * NEW_BED_M * LOOSE_BEDDING_KG_M3
    cure = cure_days(case.bin.site_temp_c, case.own_cure_days)
    words = (
        f"soak {mass(kg, case.settings.units)} of dry bedding for the new bed. Keep the harvest damp for {weeks(cure)}"
    )
    heavy = to_take_kg(case).p50 > LIFT_KG
    lift = f"over {mass(LIFT_KG, case.settings.units)}: two people lift it"
    return (Action(Doing.NEW_BED, words, kg), *((Action(Doing.CAUTION, lift),) if heavy else ()))


def room_steps(case: Case, level: Level, deep_m: float, age: int = 0) -> tuple[Action, ...]:
    """What is done about a box that is full, its contents so deep."""
    box = case.bin.depth_m * (1 if case.bin.sideways else case.bin.compartments)
    kg = case.today.total_kg.p50 * max(0.0, 1 - 0.75 * box / deep_m) if deep_m > 0 else 0.0
    words = f"take out about {scooped(kg, case.settings.units)} from the oldest side, or add a tray"
    return (Action(Doing.ROOM, words, kg),)


def full(case: Case) -> Finding | None:
    """The box is full to the rim."""
    limit, units = limits.FULL, case.settings.units
    level = level_of(case.history, lambda d: d.fullness, limit)
    if level is Level.STEADY or case.ahead.harvest.due_since is not None:
        return None
    deep, box = case.today.contents_m.p50, case.bin.depth_m
    return Finding(
        code="full",
        level=level,
        what=f"the box is full: {length(deep, units)} of {length(box, units)}",
        why=f"the box is {length(box, units)} deep. {limit_words(limit, level, percent)}",
        actions=room_steps(case, level, deep),
        sure=sure(
            case,
            f"{length(case.today.contents_m.p10, units)} to {length(case.today.contents_m.p90, units)} deep, "
            f"{mass_band(case.today.total_kg, case.settings)} in it",
            "contents_m",
        ),
        source=limit.source,
        urgency=3.5,
    )
