"""A bin's state and its days ahead by the names of the command line's JSON; several bins looked ahead at together."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from wormbin.advice.rules.air import air_share
from wormbin.advice.trays import Tray
from wormbin.drawing.series import Event, Point, Reading, Series
from wormbin.farm.bins.gauges import moisture_basis, targets
from wormbin.farm.bins.harvest import told_window
from wormbin.farm.bins.row import harvest_view
from wormbin.farm.bins.scene import UNFED_DAYS, Scene
from wormbin.figures import Band
from wormbin.process.abreast import gone
from wormbin.process.outlook import looking_ahead
from wormbin.process.views import Day, Part
from wormbin.records.entries import Kind

Document = Mapping[str, object]
DAY = (
    "day moisture feed_waiting_kg feed_waiting_days slow_waiting_kg castings_dry_kg castings_share dry_kg total_kg"
    " worms_kg processed_kg_day appetite_kg_day free_air_space air_reach_m cn temp_c contents_m standing_water_kg"
    " fullness"
)
PART = (
    "number moisture feed_waiting_kg worms_kg castings_share castings_dry_kg dry_kg total_kg free_air_space air_reach_m"
    " standing_water_kg"
)
TRIED = (
    "castings_wet_kg burned_kg carbon_lost_kg nitrogen_lost_kg evaporated_kg drained_kg put_in_dry_kg put_in_wet_kg"
    " worms_dry_kg cn_all nitrogen_all"
)
"""What is told of a day of an outlook, of a compartment on it, and besides of a day of a trial."""


def day_document(day: Day) -> dict[str, object]:
    """One day of a series. kg, fractions, degC; an uncertain figure is a ``Band``."""
    return {"date": day.on, **fields_of(day, DAY)}


def fields_of(of: object, names: str) -> dict[str, object]:
    """What is named of a view, by the same names."""
    return {name: getattr(of, name) for name in names.split()}


def outlook_document(scene: Scene) -> Document:
    """``state`` today, ``series`` day by day ahead (today first), ``learned``, ``harvest``."""
    basis, age = moisture_basis(scene)
    today = scene.today
    state = day_document(today) | {
        "moisture_basis": basis,
        "moisture_reading_age_days": age,
        "air_share": air_share(today),
        "compartments": [_tray(tray, scene) for tray in scene.trays],
    }
    return {
        "bin": scene.bin.key,
        "on": scene.on,
        "state": state,
        "series": [
            day_document(day) | ({"compartments": [_part(part) for part in day.parts]} if scene.trays else {})
            for day in (today, *scene.ahead.days)
        ],
        "planned": [
            {
                "date": each.on,
                "feed_kg": each.feed_kg,
                "bedding_kg": each.bedding_kg,
                "advised_bedding_kg": scene.bedding_with(each.feed_kg)[0],
                "water_kg": each.water_kg,
                "material": each.material,
                "compartment": each.compartment,
            }
            for each in scene.feedings_to_come
        ],
        "learned": fields_of(scene.past.learned, "rate drying worms_apart readings_used"),
        "harvest": harvest_view(scene).document,
    }


def _tray(tray: Tray, scene: Scene) -> dict[str, object]:
    window, layers = told_window(tray.harvest, scene.on), tray.part.layers
    return _part(tray.part) | {
        "name": tray.name,
        "feed_here": tray.number == scene.tray_to_feed,
        "layers_m": {"feed": layers.feed_m, "bedding": layers.bedding_m, "castings": layers.castings_m},
        "harvest": fields_of(window, "earliest likely latest due_since"),
    }


def _part(part: Part) -> dict[str, object]:
    return fields_of(part, PART)


def look_ahead_together(scenes: Sequence[Scene]) -> None:
    """Work out the look-aheads of several bins side by side: each finds its own there when it asks for it."""
    for scene, ahead in zip(
        scenes, gone([looking_ahead(each.past.replay, (), UNFED_DAYS) for each in scenes]), strict=True
    ):
        vars(scene)["unfed"] = ahead
    planned_for = [looking_ahead(each.past.replay, each.plan, each.ahead_days) for each in scenes]
    for scene, ahead in zip(scenes, gone(planned_for), strict=True):
        vars(scene)["ahead"] = ahead


_EVENTS = (Kind.FEEDING, Kind.BEDDING, Kind.WATERING, Kind.DRAINING, Kind.HARVEST, Kind.STOCKING, Kind.MOVE)


def _air(day: Day) -> Band:
    share = air_share(day) or Band.exactly(1.0)
    return Band(min(share.p10, 1.0), min(share.p50, 1.0), min(share.p90, 1.0))


def charts(scene: Scene) -> tuple[Series, ...]:
    """Moisture and feed waiting first; then worms, castings, temperature, air, depth and weight."""
    events, aim = _events(scene), targets(scene)
    return (
        _chart(
            scene, events, "moisture", "moisture", "fraction", lambda day: day.moisture, "moisture",
            aim["moisture"],
        ),
        _chart(
            scene, events, "feed_waiting", "uneaten food", "kg", lambda day: day.feed_waiting_kg, "",
            aim["feed_waiting"],
        ),
        _chart(
            scene, events, "worms", "worms", "kg", lambda day: day.worms_kg, "worms_kg", aim["worms"]
        ),
        _chart(
            scene, events, "castings", "castings share", "fraction", lambda day: day.castings_share, "",
            aim["castings"],
        ),
        _chart(scene, events, "temp", "temperature", "degC", lambda day: day.temp_c, "temp_c", aim["temp"]),
        _chart(scene, events, "air", "air to depth", "fraction", _air, "", aim["air"]),
        _chart(scene, events, "depth", "depth", "m", lambda day: day.contents_m, "contents_m", aim["depth"]),
        _chart(
            scene, events, "weight", "weight", "kg", lambda day: day.total_kg, "total_kg", (None, None)
        ),
    )  # fmt: skip


def _chart(
    scene: Scene,
    events: tuple[Event, ...],
    code: str,
    title: str,
    unit: str,
    band_of: Callable[[Day], Band],
    quantity: str,
    target: tuple[float | None, float | None],
) -> Series:
    window = scene.harvest.window
    return Series(
        code=code,
        title=title,
        unit=unit,
        past=tuple(Point(day.on, band_of(day)) for day in scene.past.days),
        ahead=tuple(Point(day.on, band_of(day)) for day in scene.ahead.days),
        readings=tuple(
            Reading(each.when.date(), each.read, each.questioned, each.by, each.weight)
            for each in scene.past.judged
            if each.quantity == quantity
        ),
        target=target,
        events=events,
        today=scene.on,
        harvest=(window.earliest, window.likely, window.latest),
    )


def _events(scene: Scene) -> tuple[Event, ...]:
    done = [Event(entry.when.date(), entry.kind.value) for entry in scene.entries if entry.kind in _EVENTS]
    return (*done, *(Event(each.on, "planned") for each in scene.feedings_to_come))
