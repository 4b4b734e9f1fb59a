"""The figures of a bin opened: what went in, the formula, the source, how sure, and which readings it rests on.

What goes in is read off the bed (``process.inside``), the log and the ration, never worked back from the figure that is
opened: a wrong sum shows.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from wormbin.advice import limits
from wormbin.advice.clock import crossing
from wormbin.advice.rations import WAITING_COUNTS
from wormbin.advice.rules.air import share_told
from wormbin.advice.rules.silence import is_empty
from wormbin.farm.bins.gauges import PH_DAYS, SHARES, latest, latest_ph
from wormbin.farm.bins.scene import Scene
from wormbin.figures import LEFT_BY_ROUNDING, Band, Basis, Quantity, Working, told_figure
from wormbin.measures import counted, percent, shown
from wormbin.problems import Problem, RefusedError
from wormbin.process.inside import Bed, Inside, bed_of
from wormbin.process.look import SLOW_SHARE, WAIT_DAYS
from wormbin.process.views import LEFT_DAYS
from wormbin.science.air import (
    AIR_SOURCE,
    COMPOST_PARTICLES,
    OXYGEN_DIFFUSIVITY_M2_S,
    OXYGEN_IN_AIR_KG_M3,
    OXYGEN_PER_BURNED,
)
from wormbin.science.constants import SECONDS_A_DAY, WATER_KG_M3

MODEL = "the process model, replayed from the log"
BALANCES = f"{MODEL}; balances hold to rounding"
AIR_DAYS = 180
"""Days that tell whether the bin is under a warning still."""
_VOLATILE, _ASH = f"{COMPOST_PARTICLES.volatile_kg_m3:g}", f"{COMPOST_PARTICLES.ash_kg_m3:g}"
FILLED = f"volatile / {_VOLATILE} + ash / {_ASH} + held / {WATER_KG_M3:g}"
"""Room that solids, and water in and on them, fill without pores, m3."""
HAS_NONE = (*SHARES, "free_air_space", "air_reach")
NOTHING_IN = "Nothing is in this bin by the log: there is no such figure of it."


@dataclass(frozen=True, slots=True)
class Sum:
    """A figure as it is opened: its band as it is shown elsewhere, and the arithmetic that makes its likely value."""

    title: str
    band: Band
    unit: str
    formula: str
    inputs: tuple[Quantity, ...]
    source: str
    plain: str
    sure: str = ""
    """How sure it is, where that is not told by the width of the band."""


def working(scene: Scene, code: str) -> Working:
    """One figure of today opened. Raises RefusedError for a figure that there is none of."""
    if code in HAS_NONE and is_empty(scene.today):
        raise RefusedError(Problem("figure", code, NOTHING_IN, whole=NOTHING_IN))
    if code in OF_ADVICE:
        made, rests = OF_ADVICE[code](scene), None
    elif code in OF_MODEL:
        opened, quantities = OF_MODEL[code]
        made, rests = opened(scene, bed_of(scene.past.replay.looks[-1])), _rests_on(scene, quantities)
    else:
        raise RefusedError(Problem("figure", shown(code), "one of " + ", ".join((*CODES, *OF_ADVICE)), "moisture"))
    band = made.band
    sure = made.sure or f"8 times in 10 between {_figure(band.p10, made.unit)} and {_figure(band.p90, made.unit)}"
    if rests is not None:
        sure += f". Last read: {rests[0]}" if rests else ". No reading of it yet"
    return Working(
        made.title, band.p50, made.unit, made.formula, made.inputs, made.source, sure, made.plain, rests or ()
    )


def _figure(value: float, unit: str) -> str:
    return percent(value) if unit == "fraction" else f"{told_figure(value, unit)} {unit}".strip()


def _rests_on(scene: Scene, quantities: Iterable[str]) -> tuple[str, ...]:
    found = []
    for quantity in quantities:
        judged = latest(scene.past.judged, quantity, scene.on)
        if judged is not None:
            age = (scene.on - judged.when.date()).days
            old = "of today" if age == 0 else f"{counted(age, 'day')} old"
            by = f" by {judged.by}" if judged.by else ""
            when = judged.when.date().isoformat()
            found.append(f"{quantity}{by} on {when} ({old}, counts {percent(judged.weight)})")
    return tuple(found)


def _model(name: str, value: float, unit: str, note: str = "") -> Quantity:
    return Quantity(name, value, unit, Basis.WORKED_OUT, note)


def _book(name: str, value: float, unit: str, note: str = "") -> Quantity:
    return Quantity(name, value, unit, Basis.BOOK, note)


def _over(name: str, kg: float) -> str:
    """What is divided by: the input itself, and only where it is next to none with what keeps it from nought."""
    return name if kg > LEFT_BY_ROUNDING else f"max({name}, 0.000000000001)"


def _said(name: str, value: float, unit: str, note: str = "") -> Quantity:
    return Quantity(name, value, unit, Basis.SAID, note)


def _all(bed: Bed, of: Callable[[Inside], float]) -> float:
    return sum(of(part) for part in bed.parts)


def _by_part(scene: Scene, bed: Bed, unit: str, of: Callable[[Inside], float]) -> tuple[Quantity, ...]:
    """The same of each tray or half."""
    name = "half" if scene.bin.sideways else "tray"
    return tuple(_model(f"{name}_{number}", of(part), unit) for number, part in enumerate(bed.parts, start=1))


def _water(bed: Bed) -> Quantity:
    return _model("water", _all(bed, lambda part: part.water_kg), "kg")


def _dry(bed: Bed, unit: str = "kg dry") -> Quantity:
    return _model("dry", _all(bed, lambda part: part.dry_kg), unit)


def _castings(bed: Bed) -> Quantity:
    return _model("castings", _all(bed, lambda part: part.castings_kg), "kg dry")


def _moisture(scene: Scene, bed: Bed) -> Sum:
    return Sum(
        "Moisture of the contents", scene.today.moisture, "fraction", "water / (water + dry)",
        (_water(bed), _dry(bed, "kg")), f"wet basis, by definition; amounts from {BALANCES}",
        "Of every hundred grams in the bin, so many are water.",
    )  # fmt: skip


def _total(scene: Scene, bed: Bed) -> Sum:
    worms = _model("worms", _all(bed, lambda part: part.worms_kg), "kg")
    return Sum(
        "Mass of the contents", scene.today.total_kg, "kg", "dry + water + worms",
        (_dry(bed, "kg"), _water(bed), worms), BALANCES, "What a scale would show, less the box.",
    )  # fmt: skip


def _feed_waiting(scene: Scene, bed: Bed) -> Sum:
    note = "as it came in, less what is worked"
    inputs = (
        _model("quick", _all(bed, lambda part: part.quick_fresh_kg), "kg fresh", note),
        _model("steady", _all(bed, lambda part: part.steady_fresh_kg), "kg fresh", note),
        _model("aged", _all(bed, lambda part: part.aged_fresh_kg), "kg fresh", note),
    )
    return Sum(
        "Uneaten food", scene.today.feed_waiting_kg, "kg", "quick + steady + aged", inputs, BALANCES,
        "Feed that still lies there, weighed as it was when you put it in. Stalks and stones are counted apart.",
    )  # fmt: skip


def _days(scene: Scene, _bed: Bed) -> Sum:
    """Read off the look-ahead without feedings, as it is charted; by the clock alone where that does not get there."""
    today, unfed = scene.today, scene.unfed.days
    waits, daily = today.feed_waiting_kg.p50, today.appetite_kg_day.p50
    lie = _book("may_lie", LEFT_DAYS, "days' feed", "that may still lie when it is fed again")
    waiting, appetite = _model("waiting", waits, "kg fresh"), _model("appetite", daily, "kg fresh a day")
    a_day = f"min(may_lie, waiting / {_over('appetite', daily)})"
    formula = a_day
    inputs: tuple[Quantity, ...] = (waiting, lie, appetite)
    crossed = crossing(today, unfed)
    if crossed is not None:
        days, before, after = crossed
        formula = f"max(days + (before - may_lie * appetite) / (before - after), {a_day})"
        inputs += (
            _model("days", float(days), "days", "fed no more, until the last evening with more than may lie"),
            _model("before", before, "kg fresh", "still there on that evening, by the look-ahead without feeding"),
            _model("after", after, "kg fresh", "still there an evening later"),
        )
    elif waits > LEFT_DAYS * daily:
        formula = "max(clock, ahead)"
        inputs = (
            _model("clock", scene.past.today.feed_waiting_days.p50, "days", "with warmth, wet and herd held as now"),
            _model("ahead", float(len(unfed)), "days", "looked ahead at, and more than may lie at the end of them"),
        )
    return Sum(
        "Days of uneaten food", today.feed_waiting_days, "days", formula, inputs, BALANCES,
        "How long it takes, fed no more, until so little is left that it may be fed again.",
    )  # fmt: skip


def _appetite(scene: Scene, bed: Bed) -> Sum:
    volatile, liking, decay = bed.usual
    whole = _all(bed, lambda part: part.dry_kg + 1e-9)
    pace = _all(bed, lambda part: part.microbes * (part.dry_kg + 1e-9)) / whole
    capacity = _all(bed, lambda part: part.capacity_kg_day)
    inputs = (
        _model("capacity", capacity, "kg dry a day", "the most the herd can eat in this warmth, wet and air"),
        _model("worms", _all(bed, lambda part: part.worms_kg), "kg"),
        _model("half", bed.half_kg_kg, "kg dry per kg worms", "found, they eat half of that"),
        _book("wait", WAIT_DAYS, "days", "of softened feed that may lie waiting"),
        _book("slow", SLOW_SHARE, "share", "of their capacity at least, where a little lies longer"),
        _model("liking", liking, "0-1", "of the usual feed"),
        _model("decay", decay, "a day at 20 C", "of the usual feed"),
        _model("microbes", pace, "times", "their pace against the book now"),
        _model("volatile", volatile, "kg per kg fresh", "of the usual feed"),
    )
    rotted = "min(0.6, wait * decay * microbes)"
    most = f"capacity / (1 - {rotted})"
    eaten = f"{most} - half * worms / (wait * liking), slow * {most}"
    return Sum(
        "What the bin keeps up with", scene.today.appetite_kg_day, "kg a day",
        f"max({eaten}, {rotted} * 0.1 * worms / wait) / volatile", inputs,
        "worked out from the model's equations: a feeding of just so much leaves that many days of it waiting",
        "Give this much of your usual feed a day and it will not pile up.",
    )  # fmt: skip


def _cn(scene: Scene, bed: Bed) -> Sum:
    inputs = (
        _model("carbon", _all(bed, lambda part: part.carbon_kg), "kg"),
        _model("nitrogen", _all(bed, lambda part: part.nitrogen_kg), "kg"),
    )
    carbon, nitrogen = (each.value for each in inputs)
    formula = f"min(1000, carbon / {_over('nitrogen', nitrogen)})" if carbon >= 999 * nitrogen else "carbon / nitrogen"
    return Sum(
        "C:N of what is unfinished", scene.today.cn, "to 1", formula, inputs,
        f"all but castings, by mass; {BALANCES}",
        "Carbon over nitrogen in all that is not castings yet. Only too low harms a bin. "
        "Over about 60 it is mostly bedding: slow, but no harm.",
    )  # fmt: skip


def _castings_share(scene: Scene, bed: Bed) -> Sum:
    return Sum(
        "Castings' share", scene.today.castings_share, "fraction", "castings / dry", (_castings(bed), _dry(bed)),
        BALANCES, "How much of the dry matter has been through a worm or has rotted down.",
    )  # fmt: skip


def _wanting(scene: Scene, bed: Bed) -> Sum:
    target = scene.bin.harvest_share
    dry, castings = _dry(bed), _castings(bed)
    return Sum(
        "Castings still wanting", Band.exactly(max(0.0, target * dry.value - castings.value)), "kg dry",
        "max(0, target * dry - castings)",
        (_said("target", target, "fraction", "the share that you chose"), dry, castings),
        BALANCES, "When none are wanting, the bin is ready to be harvested.", "as sure as the castings' share",
    )  # fmt: skip


def _free_air(scene: Scene, bed: Bed) -> Sum:
    """Of the compartment in which air is shortest."""
    part = bed.parts[bed.worst]
    return Sum(
        "Free air space", scene.today.free_air_space, "fraction",
        f"1 - ({FILLED}) / room",
        (
            _model("volatile", part.volatile_kg, "kg dry", f"what can burn away; {_VOLATILE} kg/m3 without pores"),
            _model("ash", part.ash_kg, "kg dry", f"{_ASH} kg/m3 without pores"),
            _model("held", part.held_kg, "kg water", "in and on the solids, what stands at the base left out"),
            _model("room", part.depth_m * bed.area_m2, "m3", "depth of the contents times the surface"),
        ),
        COMPOST_PARTICLES.source, "The part of the room that neither solids nor water fill.",
    )  # fmt: skip


def _air_reach(scene: Scene, bed: Bed) -> Sum:
    part = bed.parts[bed.worst]
    used = f"needs * {_over('burning', part.needs_kg_day)}"
    return Sum(
        "Air reach", scene.today.air_reach_m, "m",
        f"min(50, sqrt(2 * spread * pores ** 2 * oxygen * seconds * room / ({used})))",
        (
            _book("spread", OXYGEN_DIFFUSIVITY_M2_S, "m2/s", "oxygen in free air"),
            _model("pores", scene.today.free_air_space.p50, "fraction", "free air space"),
            _book("oxygen", OXYGEN_IN_AIR_KG_M3, "kg/m3 of air"),
            _book("seconds", SECONDS_A_DAY, "a day"),
            _book("needs", OXYGEN_PER_BURNED, "kg oxygen per kg dry burned"),
            _model("room", part.depth_m * bed.area_m2, "m3"),
            _model("burning", part.needs_kg_day, "kg dry a day", "what would burn with air enough"),
        ),
        AIR_SOURCE, "How deep air gets from the top before it is used up.",
    )  # fmt: skip


def _air(scene: Scene, bed: Bed) -> Sum:
    today, area = scene.today, scene.bin.footprint_m2
    # The gauge shows what the bin is judged by, and so does its sum.
    limit, _, share = share_told(scene.past.days[-AIR_DAYS:], area)
    inputs: tuple[Quantity, ...] = (
        _model("reach", today.air_reach_m.p50, "m", "how deep air gets before it is used up; 50 m stands for no end"),
        _model("depth", max(today.contents_m.p50, 1e-6), "m", "of the contents"),
    )
    formula, source = "min(1, reach / depth)", AIR_SOURCE
    if limit is limits.AIR_CAREFUL:
        filled = "total * moisture / (1000 * surface * depth)"
        wet = f"min(1, pores ** (2 / 3) / min(1, max(0.000000001, pores + {filled})))"
        formula, source = f"min(1, reach / depth * {wet})", limit.source
        inputs += (
            _model("pores", today.free_air_space.p50, "fraction", "free air space"),
            _model("total", today.total_kg.p50, "kg", "the contents; with their moisture the water in the pores"),
            _model("moisture", today.moisture.p50, "fraction"),
            _said("surface", area, "m2", "of the bin"),
        )
    share = share or today.air_reach_m.times(1.0 / max(today.contents_m.p50, 1e-6))
    band = Band(min(1.0, share.p10), min(1.0, share.p50), min(1.0, share.p90))
    return Sum(
        "Air to depth", band, "fraction", formula, inputs, source,
        "Air seeps in from the top and is used on the way. 100 % is air to the floor of the bin.",
    )  # fmt: skip


def _temp(scene: Scene, bed: Bed) -> Sum:
    today, usual = scene.today, scene.bin.site_temp_c
    inputs = (
        _said("room_usual", usual, "degC", "the bin's usual room temperature"),
        _model("room_off", bed.site_c - usual, "K", "how far the room is off it now, by the thermometer"),
        _model("own_heat", today.heat_rise_c.p50, "K", "warmth of the bin's own work"),
    )
    return Sum(
        "Temperature of the bedding", today.temp_c, "degC", "room_usual + room_off + own_heat", inputs,
        f"{MODEL}; about 20 MJ a kg burned (after Haug 1993, from memory)",
        "The room, put right by your thermometer, and what the bin adds by itself.",
    )  # fmt: skip


def _worms(scene: Scene, bed: Bed) -> Sum:
    inputs = _by_part(scene, bed, "kg", lambda part: part.worms_kg)
    return Sum(
        "Live worms", scene.today.worms_kg, "kg", " + ".join(each.name for each in inputs), inputs,
        f"{MODEL}: growth, upkeep and losses by temperature, moisture and crowding",
        "Nobody can see this number: the feed that vanished tells of those that ate it. A survey settles it.",
    )  # fmt: skip


def _depth(scene: Scene, bed: Bed) -> Sum:
    if len(bed.parts) > 1:
        inputs = _by_part(scene, bed, "m", lambda part: part.depth_m)
        formula = " + ".join(each.name for each in inputs)
        formula = f"({formula}) / {len(inputs)}" if scene.bin.sideways else formula
    else:
        part = bed.parts[0]
        inputs = (
            _model("feed", part.feed_m3, "m3"),
            _model("bedding", part.bedding_m3, "m3"),
            _model("castings", part.castings_m3, "m3"),
            _model("standing", part.water_kg - part.held_kg, "kg water", "over what they hold; half of it swells them"),
            _model("volatile", part.volatile_kg, "kg dry", f"what can burn away; {_VOLATILE} kg/m3 without pores"),
            _model("ash", part.ash_kg, "kg dry", f"{_ASH} kg/m3 without pores"),
            _model("held", part.held_kg, "kg water", "in and on the solids"),
            _said("surface", bed.area_m2, "m2", "of the bin"),
        )
        formula = f"max(feed + bedding + castings + standing / 2000, 1.02 * ({FILLED})) / surface"
    return Sum(
        "Depth of the contents", scene.today.contents_m, "m", formula, inputs,
        f"{MODEL}; loose bulk densities, put right by your ruler", "The room that feed, bedding and castings take.",
    )  # fmt: skip


def _feed_up_to(scene: Scene) -> Sum:
    ration = scene.ration
    bounds = [f"{name} - waiting" if name in WAITING_COUNTS else name for name, _, _ in ration.bounds]
    inputs = tuple(_model(name, kg, "kg fresh", note) for name, kg, note in ration.bounds)
    if bounds:
        inputs += (_model("waiting", ration.waits_kg, "kg fresh", "feed that still lies there"),)
    inputs += (_model("part", ration.part, "of it", "1 is all; less in a new bed, heat, wet, want of air; 0 on hold"),)
    least = f"min({', '.join(bounds)})" if len(bounds) > 1 else "".join(bounds) or "0"
    formula = f"floor(100 * part * max(0, {least}) + 0.001) / 100"
    return Sum(
        "Feed up to, today", Band.exactly(ration.kg), "kg", formula, inputs,
        f"{MODEL}; {'; '.join(ration.because)}",
        "What may lie there to be worked off by the next feeding, less what lies there still.",
    )  # fmt: skip


def _ph(scene: Scene) -> Sum:
    last = latest_ph(scene)
    if last is None:
        words = f"No pH was read in the last {counted(PH_DAYS, 'day')}, and nothing works one out."
        raise RefusedError(Problem("figure", "ph", words, whole=words))
    read = Quantity("read", last.value, "pH", Basis.READ, f"on {last.on.isoformat()}")
    return Sum(
        "pH", Band.exactly(last.value), "pH", "read", (read,), limits.PH_LOW.source,
        "As it was read: the model has no pH of its own.", "a strip or meter is good to about half a unit",
    )  # fmt: skip


_HEIGHT, _LEFT = ("contents_m", "total_kg"), ("left",)
OF_MODEL: Mapping[str, tuple[Callable[[Scene, Bed], Sum], tuple[str, ...]]] = MappingProxyType({
    "moisture": (_moisture, ("moisture", "total_kg")), "feed_waiting": (_feed_waiting, _LEFT), "air": (_air, _HEIGHT),
    "temp": (_temp, ("temp_c",)), "worms": (_worms, ("worms_kg", "left")), "depth": (_depth, ("contents_m",)),
    "castings": (_castings_share, ("castings_kg", "total_kg")), "cn": (_cn, ()), "total": (_total, ("total_kg",)),
    "appetite": (_appetite, ("left", "worms_kg")), "feed_waiting_days": (_days, _LEFT),
    "free_air_space": (_free_air, _HEIGHT), "air_reach": (_air_reach, _HEIGHT),
    "harvest": (_wanting, ("castings_kg", "total_kg")),
})  # fmt: skip
"""Figures of the bin itself, each with the readings that it rests on."""
OF_ADVICE: Mapping[str, Callable[[Scene], Sum]] = MappingProxyType({"feed_up_to": _feed_up_to, "ph": _ph})
"""Figures of advice and readings alone, opened beside those of the bin itself."""
CODES = tuple(OF_MODEL)
