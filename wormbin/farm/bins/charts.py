"""A bin's figures through time: the estimate so far with its band, readings as marks, and the look-ahead."""

from __future__ import annotations

from collections.abc import Callable

from wormbin.advice.rules.air import air_share
from wormbin.drawing.series import Event, Point, Reading, Series
from wormbin.farm.bins.gauges import targets
from wormbin.farm.bins.scene import Scene
from wormbin.figures import Band
from wormbin.process.views import Day
from wormbin.records.entries import Kind

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
