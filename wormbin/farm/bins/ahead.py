"""A bin's state and its days ahead by the names of the command line's JSON, for outlooks and trials alike."""

from __future__ import annotations

from collections.abc import Mapping

from wormbin.advice.rules.air import air_share
from wormbin.advice.trays import Tray
from wormbin.farm.bins.gauges import moisture_basis
from wormbin.farm.bins.harvest import told_window
from wormbin.farm.bins.row import harvest_view
from wormbin.farm.bins.scene import Scene
from wormbin.process.views import Day, Part

Document = Mapping[str, object]


def day_document(day: Day) -> dict[str, object]:
    """One day of a series. kg, fractions, degC; an uncertain figure is a ``Band``."""
    return {
        "date": day.on,
        "day": day.day,
        "moisture": day.moisture,
        "feed_waiting_kg": day.feed_waiting_kg,
        "feed_waiting_days": day.feed_waiting_days,
        "slow_waiting_kg": day.slow_waiting_kg,
        "castings_dry_kg": day.castings_dry_kg,
        "castings_share": day.castings_share,
        "dry_kg": day.dry_kg,
        "total_kg": day.total_kg,
        "worms_kg": day.worms_kg,
        "processed_kg_day": day.processed_kg_day,
        "appetite_kg_day": day.appetite_kg_day,
        "free_air_space": day.free_air_space,
        "air_reach_m": day.air_reach_m,
        "cn": day.cn,
        "temp_c": day.temp_c,
        "contents_m": day.contents_m,
        "standing_water_kg": day.standing_water_kg,
        "fullness": day.fullness,
    }


def outlook_document(scene: Scene) -> Document:
    """``state`` today, ``series`` day by day ahead (today first), ``learned``, ``harvest``."""
    basis, age = moisture_basis(scene)
    today, learned = scene.today, scene.past.learned
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
        "learned": {
            "rate": learned.rate,
            "drying": learned.drying,
            "worms_apart": learned.worms_apart,
            "readings_used": learned.readings_used,
        },
        "harvest": harvest_view(scene).document,
    }


def _tray(tray: Tray, scene: Scene) -> dict[str, object]:
    window, layers = told_window(tray.harvest, scene.on), tray.part.layers
    return _part(tray.part) | {
        "name": tray.name,
        "feed_here": tray.number == scene.tray_to_feed,
        "layers_m": {"feed": layers.feed_m, "bedding": layers.bedding_m, "castings": layers.castings_m},
        "harvest": {
            "earliest": window.earliest,
            "likely": window.likely,
            "latest": window.latest,
            "due_since": window.due_since,
        },
    }


def _part(part: Part) -> dict[str, object]:
    return {
        "number": part.number,
        "moisture": part.moisture,
        "feed_waiting_kg": part.feed_waiting_kg,
        "worms_kg": part.worms_kg,
        "castings_share": part.castings_share,
        "castings_dry_kg": part.castings_dry_kg,
        "dry_kg": part.dry_kg,
        "total_kg": part.total_kg,
        "free_air_space": part.free_air_space,
        "air_reach_m": part.air_reach_m,
        "standing_water_kg": part.standing_water_kg,
    }
