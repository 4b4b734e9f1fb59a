"""The figures of a bin opened: what went in, the formula, the source, how sure, and which readings it rests on."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from wormbin.advice import limits
from wormbin.advice.rules.air import share_told
from wormbin.advice.rules.silence import is_empty
from wormbin.farm.bins.gauges import PH_DAYS, SHARES, latest, latest_ph
from wormbin.farm.bins.scene import Scene
from wormbin.figures import Band, Basis, Quantity, Working, told_figure
from wormbin.measures import counted, percent, shown
from wormbin.problems import Problem, RefusedError
from wormbin.process.views import Day

MODEL = "the process model, replayed from the log"
_QUANTITIES = {
    "moisture": ("moisture", "total_kg"), "feed_waiting": ("left",), "air": ("contents_m", "total_kg"),
    "temp": ("temp_c",), "worms": ("worms_kg", "left"), "castings": ("castings_kg", "total_kg"),
    "depth": ("contents_m",), "cn": (), "total": ("total_kg",), "appetite": ("left", "worms_kg"),
    "feed_waiting_days": ("left",), "free_air_space": ("contents_m", "total_kg"),
    "air_reach": ("contents_m", "total_kg"), "harvest": ("castings_kg", "total_kg"),
}  # fmt: skip


AIR_DAYS = 180
"""Days that tell whether the bin is under a warning still."""
HAS_NONE = (*SHARES, "free_air_space", "air_reach")
NOTHING_IN = "Nothing is in this bin by the log: there is no such figure of it."


def working(scene: Scene, code: str) -> Working:
    """One figure of today opened. Raises RefusedError for a figure that there is none of."""
    if code in HAS_NONE and is_empty(scene.today):
        raise RefusedError(Problem("figure", code, NOTHING_IN, whole=NOTHING_IN))
    opened = _OPEN.get(code) or OF_ADVICE.get(code)
    if opened is not None:
        return opened(scene)
    made = _by_the_model(scene).get(_OF_MODEL.get(code, ""))
    if made is None:
        raise RefusedError(Problem("figure", shown(code), "one of " + ", ".join((*CODES, *OF_ADVICE)), "moisture"))
    rests = _rests_on(scene, code)
    return replace(made, sure=made.sure + _newest(rests), rests_on=rests)


def _by_the_model(scene: Scene) -> dict[str, Working]:
    from wormbin.process.workings import workings

    return workings(scene.past.replay.looks[-1], scene.bin.harvest_share, scene.today)


def _made(
    scene: Scene,
    code: str,
    title: str,
    unit: str,
    formula: str,
    inputs: tuple[Quantity, ...],
    value: float,
    band: Band,
    source: str,
    plain: str,
) -> Working:
    rests = _rests_on(scene, code)
    width = f"eight times in ten between {_figure(band.p10, unit)} and {_figure(band.p90, unit)}"
    return Working(title, value, unit, formula, inputs, source, width + _newest(rests), plain, rests)


def _newest(rests: tuple[str, ...]) -> str:
    return f"; it rests on {rests[0]}" if rests else "; no reading of it has been written down yet"


def _figure(value: float, unit: str) -> str:
    return percent(value) if unit == "fraction" else f"{told_figure(value, unit)} {unit}".strip()


def _rests_on(scene: Scene, code: str) -> tuple[str, ...]:
    found = []
    for quantity in _QUANTITIES[code]:
        judged = latest(scene.past.judged, quantity, scene.on)
        if judged is not None:
            age = (scene.on - judged.when.date()).days
            old = "of today" if age == 0 else f"{counted(age, 'day')} old"
            by = f" by {judged.by}" if judged.by else ""
            when = judged.when.date().isoformat()
            found.append(f"the reading {quantity}{by} of {when} ({old}, counts {percent(judged.weight)})")
    return tuple(found)


def _model(name: str, value: float, unit: str, note: str = "") -> Quantity:
    return Quantity(name, value, unit, Basis.WORKED_OUT, note)


def _yesterday(scene: Scene) -> Day:
    return scene.past.days[-2] if len(scene.past.days) > 1 else scene.today


def _feed_waiting(scene: Scene) -> Working:
    from wormbin.records.habits import fed_kg

    today, before = scene.today, _yesterday(scene)
    given = fed_kg(scene.entries, scene.on, scene.on)
    worked = before.feed_waiting_kg.p50 + given - today.feed_waiting_kg.p50
    inputs = (
        _model("waiting_yesterday", before.feed_waiting_kg.p50, "kg fresh", "likely value last evening"),
        Quantity("given_today", given, "kg fresh", Basis.SAID, "from the log"),
        _model("worked_today", worked, "kg fresh", "eaten by worms or decayed since then, readings taken in"),
    )
    return _made(
        scene, "feed_waiting", "Feed waiting", "kg", "waiting_yesterday + given_today - worked_today", inputs,
        today.feed_waiting_kg.p50, today.feed_waiting_kg, MODEL,
        "What lay there last evening, and what you gave, less what was worked since.",
    )  # fmt: skip


def _air(scene: Scene) -> Working:
    today = scene.today
    reach, depth = min(today.air_reach_m.p50, 100.0), max(today.contents_m.p50, 1e-6)
    # The gauge shows what the bin is judged by, and so does its sum.
    limit, _, judged = share_told(scene.past.days[-AIR_DAYS:], scene.bin.footprint_m2)
    usual = today.air_reach_m.times(1.0 / depth)
    share = judged or usual
    inputs: tuple[Quantity, ...] = (
        _model("reach", reach, "m", "how deep air gets before it is used up; 100 m stands for no end"),
        _model("depth", depth, "m", "of the contents"),
    )
    formula = "min(1, reach / depth)"
    source = "Papendick & Campbell 1981 for diffusion through pores; even uptake, textbook diffusion, from memory"
    if limit is limits.AIR_CAREFUL:
        wet = share.p50 / usual.p50 if usual.p50 > 0.0 else 1.0
        formula, source = "min(1, reach * wet / depth)", limit.source
        inputs = (*inputs, _model("wet", wet, "", "how much less far by the more careful relation for wet pores"))
    band = Band(min(1.0, share.p10), min(1.0, share.p50), min(1.0, share.p90))
    return _made(
        scene, "air", "Air to depth", "fraction", formula, inputs, band.p50, band, source,
        "Air seeps in from the top and is used on the way; 100 % is air to the floor of the bin.",
    )  # fmt: skip


def _temp(scene: Scene) -> Working:
    today = scene.today
    site = scene.bin.site_temp_c
    rise = today.heat_rise_c.p50
    inputs = (
        Quantity("room_usual", site, "degC", Basis.SAID, "the bin's usual room temperature"),
        _model("room_off", today.temp_c.p50 - site - rise, "K", "how far the room is off it now, by the thermometer"),
        _model("own_heat", rise, "K", "warmth of the bin's own work"),
    )
    return _made(
        scene, "temp", "Temperature of the bedding", "degC", "room_usual + room_off + own_heat", inputs,
        today.temp_c.p50, today.temp_c, f"{MODEL}; about 20 MJ a kg burned (after Haug 1993, from memory)",
        "The room, put right by your thermometer, and what the bin adds by itself.",
    )  # fmt: skip


def _worms(scene: Scene) -> Working:
    today, area = scene.today, max(scene.bin.footprint_m2, 1e-9)
    inputs = (
        _model("worms_per_m2", today.worms_kg.p50 / area, "kg/m2"),
        Quantity("surface", area, "m2", Basis.SAID, "of the bin"),
    )
    return _made(
        scene, "worms", "Live worms", "kg", "worms_per_m2 * surface", inputs, today.worms_kg.p50, today.worms_kg,
        f"{MODEL}: growth, upkeep and losses by temperature, moisture and crowding",
        "Nobody can see this number: the feed that vanished tells of those that ate it. A survey settles it.",
    )  # fmt: skip


def _depth(scene: Scene) -> Working:
    today = scene.today
    layers, depth = today.layers, today.contents_m.p50
    inputs = (
        _model("castings", layers.castings_m, "m"),
        _model("bedding", layers.bedding_m, "m"),
        _model("feed", layers.feed_m, "m"),
        _model("settling", depth - layers.contents_m, "m", "likely depth less the layers as drawn"),
    )
    return _made(
        scene, "depth", "Depth of the contents", "m", "castings + bedding + feed + settling", inputs, depth,
        today.contents_m, f"{MODEL}; loose bulk densities, put right by your ruler", "The layers one on another.",
    )  # fmt: skip


def _feed_up_to(scene: Scene) -> Working:
    ration, waiting = scene.ration, scene.today.feed_waiting_kg
    room = ration.capacity_kg - waiting.p50
    allowed = ration.kg / room if room > 0 else 0.0
    inputs = (
        _model(
            "can_take",
            ration.capacity_kg,
            "kg fresh",
            f"may wait in all, to be worked off by {ration.until.isoformat()}",
        ),
        _model("waiting", waiting.p50, "kg fresh", "feed that still lies there"),
        _model(
            "allowed",
            allowed,
            "of it",
            "1 is all; less in heat, wet, want of air, a layer too thick or a leap from the usual; 0 on hold",
        ),
    )
    return _made(
        scene, "feed_waiting", "Feed up to, today", "kg", "max(0, can_take - waiting) * allowed", inputs, ration.kg,
        Band.exactly(ration.kg), f"{MODEL}; {'; '.join(ration.because)}",
        "What may lie there to be worked off by the next feeding, less what lies there still.",
    )  # fmt: skip


def _ph(scene: Scene) -> Working:
    last = latest_ph(scene)
    if last is None:
        words = f"No pH was read in the last {counted(PH_DAYS, 'day')}, and nothing works one out."
        raise RefusedError(Problem("figure", "ph", words, whole=words))
    read = Quantity("read", last.value, "pH", Basis.READ, f"on {last.on.isoformat()}")
    return Working(
        "pH", last.value, "pH", "read", (read,), limits.PH_LOW.source, "a strip or meter is good to about half a unit",
        "As it was read: the model has no pH of its own.",
    )  # fmt: skip


_OPEN: dict[str, Callable[[Scene], Working]] = {
    "feed_waiting": _feed_waiting, "air": _air, "temp": _temp, "worms": _worms, "depth": _depth,
}  # fmt: skip
OF_ADVICE: dict[str, Callable[[Scene], Working]] = {"feed_up_to": _feed_up_to, "ph": _ph}
"""Figures of advice and readings alone, opened beside those of the bin itself."""
_OF_MODEL = {
    "moisture": "moisture", "castings": "castings_share", "cn": "cn", "total": "total", "appetite": "appetite",
    "feed_waiting_days": "feed_waiting_days", "free_air_space": "free_air_space", "air_reach": "air_reach",
    "harvest": "harvest",
}  # fmt: skip
"""Figures that the model itself opens, by what it calls them."""
CODES = ("moisture", *(code for code in (*_OPEN, *_OF_MODEL) if code != "moisture"))
