"""The figures of a day opened: what went in, the formula over it, the source, and how sure; from the likely course."""

from __future__ import annotations

from collections.abc import Sequence

from wormbin.figures import Band, Basis, Quantity, Working, told_figure
from wormbin.process import flows, pools
from wormbin.process.day import day_of
from wormbin.process.look import (
    CAPACITY,
    CARBON,
    CASTINGS_DRY,
    DEPTH_M,
    DRY,
    FAS,
    MICROBES,
    NITROGEN,
    REACH_M,
    SLOW_SHARE,
    WAIT_DAYS,
    WATER_KG,
    WORMS_KG,
    Figures,
    Look,
)
from wormbin.process.views import Day
from wormbin.process.working_off import LEFT_DAYS
from wormbin.science.air import OXYGEN_DIFFUSIVITY_M2_S, OXYGEN_IN_AIR_KG_M3

MODEL = "the process model, replayed from the log; balances hold to rounding"
AIR_SOURCE = "Papendick & Campbell 1981 for pores; even uptake, textbook diffusion, from memory"
PORES_SOURCE = "Richard et al. 2004; Ahn, Richard & Glanville 2008 for the densities (from memory)"
FAR_M = 50.0
"""A reach beyond this is shown as this: nothing is using the air."""


def workings(look: Look, target: float = 0.80, day: Day | None = None) -> dict[str, Working]:
    """Every figure of a look opened, by name; ``target`` is the castings' share at which a harvest is due.

    ``day`` is the look's day as it is told, where that is known already.
    """
    day = day or day_of(look)
    rows = look.figures[0]
    parts = look.courses[0][1]
    found = [
        _moisture(day, rows),
        _total(day, rows),
        _waiting(day, parts),
        _days(day, rows, look),
        _appetite(day, rows, look),
        _cn(day, rows),
        _share(day, rows),
        _wanting(rows, target),
        *_air(day, rows, parts, look),
    ]
    return dict(found)


def _in(name: str, value: float, unit: str, note: str = "", basis: Basis = Basis.WORKED_OUT) -> Quantity:
    return Quantity(name, value, unit, basis, note)


def _sure(band: Band, unit: str) -> str:
    if unit == "fraction":
        return f"eight times in ten between {100 * band.p10:.3g} and {100 * band.p90:.3g} %"
    return f"eight times in ten between {told_figure(band.p10, unit)} and {told_figure(band.p90, unit)} {unit}".rstrip()


def _sum(rows: Sequence[Figures], at: int) -> float:
    return sum(row[at] for row in rows)


def _moisture(day: Day, rows: Sequence[Figures]) -> tuple[str, Working]:
    dry, water = _sum(rows, DRY), _sum(rows, WATER_KG)
    return "moisture", Working(
        "Moisture of the contents",
        day.moisture.p50,
        "fraction",
        "water / (water + dry)",
        (_in("water", water, "kg"), _in("dry", dry, "kg")),
        f"wet basis, by definition; amounts from {MODEL}",
        _sure(day.moisture, "fraction"),
        "Of every hundred grams in the bin, so many are water.",
    )


def _total(day: Day, rows: Sequence[Figures]) -> tuple[str, Working]:
    inputs = (
        _in("dry", _sum(rows, DRY), "kg"),
        _in("water", _sum(rows, WATER_KG), "kg"),
        _in("worms", _sum(rows, WORMS_KG), "kg"),
    )
    return "total", Working(
        "Mass of the contents",
        day.total_kg.p50,
        "kg",
        "dry + water + worms",
        inputs,
        MODEL,
        _sure(day.total_kg, "kg"),
        "What a scale would show, less the box.",
    )


def _waiting(day: Day, parts: Sequence[Sequence[float]]) -> tuple[str, Working]:
    names = (("quick", pools.QUICK), ("steady", pools.STEADY), ("aged", pools.AGED))
    inputs = tuple(
        _in(name, sum(part[pools.FRESH + pool] for part in parts), "kg fresh", "as it came in, less what is worked")
        for name, pool in names
    )
    return "feed_waiting", Working(
        "Feed waiting",
        day.feed_waiting_kg.p50,
        "kg",
        "quick + steady + aged",
        inputs,
        MODEL,
        _sure(day.feed_waiting_kg, "kg"),
        "Feed that still lies there, weighed as it was when you put it in. Stalks and stones are counted apart.",
    )


def _days(day: Day, rows: Sequence[Figures], look: Look) -> tuple[str, Working]:
    waiting, days = day.feed_waiting_kg.p50, day.feed_waiting_days.p50
    left = LEFT_DAYS * day.appetite_kg_day.p50
    pace = (waiting - left) / days if days > 0.0 else 0.0
    inputs = (
        _in("waiting", waiting, "kg fresh"),
        _in("may_lie", LEFT_DAYS, "days' feed", "that may still lie when it is fed again", Basis.BOOK),
        _in("appetite", day.appetite_kg_day.p50, "kg fresh a day"),
        _in(
            "pace", pace, "kg fresh a day",
            "mean from now until then, eaten and decayed, by the sums of the look-ahead without feeding",
        ),
    )  # fmt: skip
    return "feed_waiting_days", Working(
        "Days of feed waiting",
        days,
        "days",
        "max((waiting - may_lie * appetite) / max(pace, 1e-12), min(may_lie, waiting / max(appetite, 1e-12)))",
        inputs,
        MODEL,
        _sure(day.feed_waiting_days, "days"),
        "How long it takes, fed no more, until so little is left that it may be fed again.",
    )


def _appetite(day: Day, rows: Sequence[Figures], look: Look) -> tuple[str, Working]:
    volatile, liking, decay = look.usual
    whole = sum(row[DRY] + 1e-9 for row in rows)
    microbes = sum(row[MICROBES] * (row[DRY] + 1e-9) for row in rows) / whole
    inputs = (
        _in("capacity", _sum(rows, CAPACITY), "kg dry a day", "the most the herd can eat in this warmth, wet and air"),
        _in("worms", _sum(rows, WORMS_KG), "kg"),
        _in("half", look.p.half_days * look.p.appetite, "kg dry per kg worms", "found, they eat half of that"),
        _in("wait", WAIT_DAYS, "days", "of softened feed that may lie waiting", Basis.BOOK),
        _in("slow", SLOW_SHARE, "share", "of their capacity at least, where a little lies longer", Basis.BOOK),
        _in("liking", liking, "0-1", "of the usual feed"),
        _in("decay", decay, "a day at 20 C", "of the usual feed"),
        _in("microbes", microbes, "times", "their pace against the book now"),
        _in("volatile", volatile, "kg per kg fresh", "of the usual feed"),
    )
    rotted = "min(0.6, wait * decay * microbes)"
    most = f"capacity / (1 - {rotted})"
    eaten = f"{most} - half * worms / (wait * liking), slow * {most}"
    return "appetite", Working(
        "What the bin keeps up with",
        day.appetite_kg_day.p50,
        "kg a day",
        f"max({eaten}, {rotted} * 0.1 * worms / wait) / volatile",
        inputs,
        "worked out from the model's equations: a feeding of just so much leaves that many days of it waiting",
        _sure(day.appetite_kg_day, "kg a day"),
        "Give this much of your usual feed a day and it will not pile up.",
    )


def _cn(day: Day, rows: Sequence[Figures]) -> tuple[str, Working]:
    inputs = (_in("carbon", _sum(rows, CARBON), "kg"), _in("nitrogen", _sum(rows, NITROGEN), "kg"))
    return "cn", Working(
        "C:N of what is unfinished",
        day.cn.p50,
        "to 1",
        "min(1000, carbon / max(nitrogen, 0.000000000001))",
        inputs,
        f"all but castings, by mass; {MODEL}",
        _sure(day.cn, ""),
        "Carbon over nitrogen in all that is not castings yet. Only too low is a trouble in a bin: over about 60 next "
        "to all of it is bedding, which is slow and does no harm.",
    )


def _share(day: Day, rows: Sequence[Figures]) -> tuple[str, Working]:
    inputs = (_in("castings", _sum(rows, CASTINGS_DRY), "kg dry"), _in("dry", _sum(rows, DRY), "kg dry"))
    return "castings_share", Working(
        "Castings' share",
        day.castings_share.p50,
        "fraction",
        "castings / dry",
        inputs,
        MODEL,
        _sure(day.castings_share, "fraction"),
        "How much of the dry matter has been through a worm or has rotted down.",
    )


def _wanting(rows: Sequence[Figures], target: float) -> tuple[str, Working]:
    castings, dry = _sum(rows, CASTINGS_DRY), _sum(rows, DRY)
    inputs = (
        _in("target", target, "fraction", "the share that you chose", Basis.SAID),
        _in("dry", dry, "kg dry"),
        _in("castings", castings, "kg dry"),
    )
    return "harvest", Working(
        "Castings still wanting",
        max(0.0, target * dry - castings),
        "kg dry",
        "max(0, target * dry - castings)",
        inputs,
        MODEL,
        "as sure as the castings' share",
        "When none are wanting, the bin is ready to be harvested.",
    )


def _air(day: Day, rows: Sequence[Figures], parts: Sequence[Sequence[float]], look: Look) -> list[tuple[str, Working]]:
    """Free air space and air reach, of the compartment where air is shortest."""
    worst = min(
        range(len(rows)), key=lambda i: rows[i][REACH_M] / rows[i][DEPTH_M] if rows[i][DEPTH_M] > 1e-6 else float("inf")
    )
    row, part = rows[worst], parts[worst]
    room = row[DEPTH_M] * look.housing.area_m2
    if room <= 0.0:
        return []
    free = row[FAS]
    volatile, ash = pools.volatile(part), pools.ash(part)
    held = 1000.0 * ((1.0 - free) * room - volatile / 1600.0 - ash / 2500.0)
    reach = row[REACH_M]
    burning = (flows.REACH * free) ** 2 * room / reach**2 if reach > 0.0 else 0.0
    pores = Working(
        "Free air space",
        free,
        "fraction",
        "1 - (volatile / 1600 + ash / 2500 + held / 1000) / room",
        (
            _in("volatile", volatile, "kg dry", "what can burn away; 1600 kg/m3 without pores"),
            _in("ash", ash, "kg dry", "2500 kg/m3 without pores"),
            _in("held", held, "kg water", "in and on the solids, what stands at the base left out"),
            _in("room", room, "m3", "depth of the contents times the surface"),
        ),
        PORES_SOURCE,
        _sure(day.free_air_space, "fraction"),
        "The part of the room that neither solids nor water fill.",
    )
    deep = Working(
        "Air reach",
        min(reach, FAR_M),
        "m",
        "min(50, sqrt(2 * spread * pores ** 2 * oxygen * 86400 * room / (1.2 * max(burning, 0.000000000001))))",
        (
            _in("spread", OXYGEN_DIFFUSIVITY_M2_S, "m2/s", "oxygen in free air", Basis.BOOK),
            _in("pores", free, "fraction", "free air space"),
            _in("oxygen", OXYGEN_IN_AIR_KG_M3, "kg/m3 of air", "", Basis.BOOK),
            _in("room", room, "m3"),
            _in("burning", burning, "kg dry a day", "what would burn with air enough"),
        ),
        AIR_SOURCE,
        _sure(day.air_reach_m, "m"),
        "How deep air gets from the top before it is used up.",
    )
    return [("free_air_space", pores), ("air_reach", deep)]
