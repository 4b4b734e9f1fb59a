"""A bin's state and its days ahead by the names of the command line's JSON; several bins looked ahead at together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from wormbin.advice.rules.air import air_share
from wormbin.advice.trays import Tray
from wormbin.farm.bins.gauges import moisture_basis
from wormbin.farm.bins.harvest import told_window
from wormbin.farm.bins.row import harvest_view
from wormbin.farm.bins.scene import UNFED_DAYS, Scene
from wormbin.process.abreast import gone
from wormbin.process.outlook import looking_ahead
from wormbin.process.views import Day, Part

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
