"""The figures of a bin against the bands in which they should be: value, read or worked out, and how bad it is."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date

from wormbin.advice.clock import kg_in
from wormbin.advice.evidence import name_of
from wormbin.advice.finding import Finding
from wormbin.advice.limits import COMFORT_C, LOW_CN, PH_HIGH, PH_LOW, overfed
from wormbin.advice.looks import Look, looks
from wormbin.advice.rations import interval_days
from wormbin.advice.rules.air import judged_share
from wormbin.advice.rules.sightings import TABLE
from wormbin.advice.rules.silence import is_empty
from wormbin.advice.wording import worth
from wormbin.drawing.axes import measure_of
from wormbin.drawing.gauge import Gauge
from wormbin.farm.bins.scene import Scene
from wormbin.figures import Band, Basis, Level, weight_words
from wormbin.measures import counted, length, mass, percent, temperature
from wormbin.process.views import Judged
from wormbin.science.practice import PLAN_AT_MOST_KG_M2, START_KG_M2

Target = tuple[float | None, float | None]


def targets(scene: Scene) -> dict[str, Target]:
    """Both edges by the code of the figure (fractions, kg, degC, m, ratio); None where a side is open."""
    settings, area = scene.settings, scene.bin.footprint_m2
    return {
        "moisture": (settings.moisture_low, settings.moisture_high),
        "feed_waiting": (None, most_waiting_kg(scene)),
        "air": (1.0, None),
        "temp": COMFORT_C[scene.bin.species],
        "worms": (START_KG_M2 * area, PLAN_AT_MOST_KG_M2 * area),
        "castings": (scene.bin.harvest_share, None),
        "depth": (None, scene.bin.depth_m * (1 if scene.bin.sideways else scene.bin.compartments)),
        "cn": (LOW_CN.watch.enter, None),
        "ph": (PH_LOW.watch.enter, PH_HIGH.watch.enter),
    }


def most_waiting_kg(scene: Scene) -> float:
    """Feed that may wait, kg fresh: what is worked off in the days after which overfeeding is taken back."""
    return kg_in(scene.case, overfed(interval_days(scene.case)).watch.leave)


_READ_ON = {"moisture": "moisture", "temp_c": "temp", "left": "feed_waiting", "contents_m": "depth", "ph": "ph"}
"""The gauge of each quantity that is judged as it was read."""
_ABOUT = {
    "moisture": (
        "standing-water", "water-base", "wet-ahead", "wet-side", "dry-side", "readings-apart", "no-bedding", "ants",
    ),
    "feed_waiting": (
        "overfed", "left-waits", "fed-over", "thick-layer", "hungry", "new-bin", "kept-out", "away-ahead", "back",
    ),
    "air": ("air-short", "dense", "smell-rotten"),
    "temp": ("heat-to-come", "hot", "cold"),
    "worms": ("no-worms", "few-worms", "crowded", "falling", "dying", "leaving", "pale-worms", "swollen-worms"),
    "castings": ("harvest-near", "harvest-due", "harvest-late"),
    "cn": ("nitrogen-rich", "smell-ammonia"),
    "ph": ("sour", "smell-sour"),
    "": (
        "silence", "nothing-in", "reading-wanted", "reading-questioned", "readings-old", "flies", "soldier-flies",
        "mites", "red-mites", "pot-worms", "rodents", "hunters", "mould",
    ),
}  # fmt: skip
"""What every other finding is about: a gauge, or no one figure."""
GAUGE_OF = {row.code: _READ_ON[row.quantity] for row in TABLE} | {
    code: gauge for gauge, codes in _ABOUT.items() for code in codes
}
"""The gauge that a finding is about, by its code."""
PH_DAYS = 21
"""So long a pH that was read is shown; nothing works one out."""
PH_SCALE = (3.0, 11.0)
SHARES = ("moisture", "air", "castings", "cn")
"""Figures that an empty bin has none of."""
LEAST_SHOWN_KG = 0.001
"""Less than a gram of feed, worms or castings is none to speak of: no kitchen scale shows it."""
NONE = "none to speak of"
BEDDING_CN = 60.0
"""Where the scale of C:N ends: beyond it next to all that lies unfinished is bedding."""
DOUBT_DAYS = 60
"""So long a reading that does not fit is told of."""
OF_TODAY_DAYS = 0
"""A reading of today stands beside the estimate that it went into; any older one lives on in the estimate."""
AS_READ = ("moisture", "temp", "depth")
"""Figures that are read in the unit they are shown in."""
MOST_BESIDE = 2
"""So many figures outside their bands are named in one line."""
KEEPERS = ("moisture", "temp", "feed_waiting", "air")
"""Figures that a keeper looks to day by day."""


def latest(judged: tuple[Judged, ...], quantity: str, on: date) -> Judged | None:
    """The newest reading of a quantity up to a day."""
    return next((each for each in reversed(judged) if each.quantity == quantity and each.when.date() <= on), None)


def say_reading(quantity: str, value: float, units: str) -> str:
    """A figure of one of the judged quantities in the keeper's units."""
    match quantity:
        case "moisture" | "left":
            return percent(value)
        case "temp_c":
            return temperature(value, units)
        case "contents_m":
            return length(value, units)
        case "ph":
            return f"{value:.1f}"
        case _:
            return mass(value, units)


def counts_words(reading: Judged | None, units: str, on: date, beside: bool) -> str:
    """ "; worm survey of 1.2 kg counts less": of a reading that does not fit what was believed; else nothing.

    ``beside`` when the reading itself stands before it already.
    """
    if reading is None or not reading.doubted or (on - reading.when.date()).days > DOUBT_DAYS:
        return ""
    if beside:
        return f", {weight_words(reading.weight)}"
    name, read = name_of(reading.quantity, reading.by), say_reading(reading.quantity, reading.read, units)
    return f"; {name} of {read} {weight_words(reading.weight)}"


def moisture_basis(scene: Scene) -> tuple[Basis, int | None]:
    """Whether the moisture of today was read, and how many days ago the last reading was."""
    reading = latest(scene.past.judged, "moisture", scene.on)
    if reading is None:
        return Basis.WORKED_OUT, None
    age = (scene.on - reading.when.date()).days
    return (Basis.READ if age <= OF_TODAY_DAYS and not reading.questioned else Basis.WORKED_OUT), age


def range_words(band: Band, say: Callable[[float], str]) -> str:
    """ "1.4 kg (0.9 kg to 2.1 kg)", or one figure when the band has no width to speak of."""
    low, likely, high = say(band.p10), say(band.p50), say(band.p90)
    if likely == NONE:
        return NONE if high == NONE else f"{NONE}, at most {high}"
    return likely if low == high else f"{likely} ({low} to {high})"


def gauges(scene: Scene) -> tuple[Gauge, ...]:
    """Every gauge of a bin, the ones that a keeper acts on first."""
    today, units = scene.today, scene.settings.units
    area, box = scene.bin.footprint_m2, scene.bin.depth_m * (1 if scene.bin.sideways else scene.bin.compartments)
    depth = today.contents_m.p50
    air = judged_share(scene.case)[2] or Band.exactly(1.0)
    shown_air = Band(min(air.p10, 1.0), min(air.p50, 1.0), min(air.p90, 1.0))

    def kg(value: float) -> str:
        return mass(value, units) if value >= LEAST_SHOWN_KG else NONE

    aim = targets(scene)
    made = [
        _gauge(
            scene, "moisture", "moisture", today.moisture, "fraction", aim["moisture"],
            (0.5, 1.0), percent, "moisture",
        ),
        _gauge(
            scene, "feed_waiting", "uneaten food", today.feed_waiting_kg, "kg", aim["feed_waiting"],
            (0.0, max(today.appetite_kg_day.p50 * 14, today.feed_waiting_kg.p90, 0.1)), kg, "left",
            more=f", {worth(scene.waiting_days.p50)}" if today.feed_waiting_kg.p50 >= LEAST_SHOWN_KG else "",
        ),
        _gauge(scene, "air", "air to depth", shown_air, "fraction", aim["air"], (0.0, 1.0), percent, ""),
        _gauge(
            scene, "temp", "temperature", today.temp_c, "degC", aim["temp"], (0.0, 40.0),
            lambda c: temperature(c, units), "temp_c",
        ),
        _gauge(
            scene, "worms", "worms", today.worms_kg, "kg", aim["worms"],
            (0.0, max(6.0 * area, today.worms_kg.p90)), kg, "worms_kg",
        ),
        _gauge(
            scene, "castings", "castings", today.castings_share, "fraction", aim["castings"],
            (0.0, 1.0), percent, "castings_kg", goal=True,
        ),
        _gauge(
            scene, "depth", "contents", today.contents_m, "m", aim["depth"], (0.0, max(box, depth)),
            lambda m: length(m, units), "contents_m",
        ),
        _gauge(
            scene, "cn", "C:N uneaten", _finite(today.cn), "ratio", aim["cn"], (0.0, BEDDING_CN),
            "{:.0f}".format, "", more="; mostly bedding, no harm" if today.cn.p50 > BEDDING_CN else "",
        ),
        *_acidity(scene, aim["ph"]),
    ]  # fmt: skip
    return tuple(_of_nothing(each) for each in made) if is_empty(scene.today) else tuple(made)


def latest_ph(scene: Scene) -> Look | None:
    """The last pH that was read; None without one in three weeks."""
    last = next(reversed(looks(scene.case, "ph", 1)), None)
    return last if last is not None and (scene.on - last.on).days <= PH_DAYS else None


def _acidity(scene: Scene, target: Target) -> Iterator[Gauge]:
    """The last pH as a reading with its age; no gauge without one."""
    last = latest_ph(scene)
    if last is None:
        return

    def say(value: float) -> str:
        return say_reading("ph", value, "")

    yield Gauge(
        code="ph", title="pH", value=last.value, band=Band.exactly(last.value), measure=measure_of("pH", ""),
        target=target, low=PH_SCALE[0], high=PH_SCALE[1],
        basis=Basis.READ, level=level_of("ph", scene.findings), words=say(last.value), likely=say(last.value),
        beside=beside(last.value, target, say), target_words=target_words(target, say), reading=last.value,
        age_days=(scene.on - last.on).days,
    )  # fmt: skip


def _of_nothing(gauge: Gauge) -> Gauge:
    """The gauge of a bin in which nothing is: there is no share of nothing."""
    return replace(gauge, words="nothing is in", likely="-", value=None, beside="") if gauge.code in SHARES else gauge


def beside(value: float, target: tuple[float | None, float | None], say: Callable[[float], str]) -> str:
    """ "below" or "above" when a figure, as it is printed, lies outside the band to be in; else nothing."""
    low, high = target
    if low is not None and value < low and say(value) != say(low):
        return "below"
    if high is not None and value > high and say(value) != say(high):
        return "above"
    return ""


def beside_words(scene: Scene) -> str:
    """ "moisture 71% (below 75% to 85%)": the figures outside their bands, of those that a keeper can put right."""
    outside = [
        f"{each.title} {each.likely} ({each.beside} the band, {each.target_words})"
        for each in gauges(scene)
        if each.beside and each.code in KEEPERS
    ]
    more = f", and {counted(len(outside) - MOST_BESIDE, 'figure')} more" if len(outside) > MOST_BESIDE else ""
    return ", ".join(outside[:MOST_BESIDE]) + more


def _finite(band: Band) -> Band:
    return Band(min(band.p10, 999.0), min(band.p50, 999.0), min(band.p90, 999.0))


def _gauge(
    scene: Scene,
    code: str,
    title: str,
    band: Band,
    unit: str,
    target: tuple[float | None, float | None],
    scale: tuple[float, float],
    say: Callable[[float], str],
    quantity: str,
    *,
    goal: bool = False,
    more: str = "",
) -> Gauge:
    reading = latest(scene.past.judged, quantity, scene.on) if quantity else None
    age = (scene.on - reading.when.date()).days if reading is not None else None
    # What was read in the figure's own unit can stand beside it; a share left cannot stand beside kg.
    value = reading.read if reading is not None and code in AS_READ else None
    stands = say(value) if value is not None else ""
    units = scene.settings.units
    read = f"; read {stands} today" if stands and age is not None and age <= OF_TODAY_DAYS else ""
    return Gauge(
        code=code,
        title=title,
        value=band.p50,
        low=scale[0],
        high=scale[1],
        band=band,
        measure=measure_of(unit, units),
        target=target,
        # One figure for the bin everywhere: the worked-out one, which has every reading in it by its weight.
        basis=Basis.WORKED_OUT,
        level=level_of(code, scene.findings),
        words=range_words(band, say) + more + read + counts_words(reading, units, scene.on, bool(read)),
        likely=say(band.p50),
        read_words=read.removeprefix("; "),
        beside="" if goal else beside(band.p50, target, say),
        target_words="all the way down" if code == "air" else target_words(target, say),
        reading=value,
        age_days=age,
    )


def target_words(target: tuple[float | None, float | None], say: Callable[[float], str]) -> str:
    """ "75% to 85%", "over 80%", "under 1.2 kg"."""
    low, high = target
    if low is not None and high is not None:
        return f"{say(low)} to {say(high)}"
    if low is not None:
        return f"{say(low)} or more"
    most = say(high) if high is not None else ""
    return f"{most} or less" if most not in ("", NONE) else most


def level_of(code: str, findings: tuple[Finding, ...]) -> Level:
    """The worst level among the findings that are about this figure."""
    levels = [finding.level for finding in findings if GAUGE_OF.get(finding.code, "") == code]
    return max(levels, key=lambda level: level.rank, default=Level.STEADY)
