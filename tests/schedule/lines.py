"""Lines of a log, days and a bin for the schedule's tests."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta

from wormbin.figures import Band
from wormbin.process.views import Day, Layers
from wormbin.records.bins import Bin
from wormbin.records.entries import Check, Entry, Feeding, Portion, Stocking, What

MONDAY = date(2026, 3, 2)
BIN = Bin(key="kitchen", name="Kitchen", length_m=0.5, width_m=0.4, depth_m=0.3, started=MONDAY - timedelta(days=90))


def line(what: What, on: date) -> Entry:
    return Entry(f"{what.__class__.__name__}-{on}", BIN.key, datetime.combine(on, time(12), UTC), what)


def fed(kg: float, on: date) -> Entry:
    return line(Feeding((Portion("scraps", kg),)), on)


def looked(on: date) -> Entry:
    return line(Check(left=0.2), on)


def stocked(on: date) -> Entry:
    return line(Stocking(0.45), on)


def a_day(
    on: date = MONDAY, *, appetite: float = 0.25, waiting: float = 0.5, moisture: float = 0.8, temp: float = 21.0
) -> Day:
    def sure(value: float) -> Band:
        return Band.exactly(value)

    return Day(
        on=on, day=(on - BIN.started).days, moisture=sure(moisture), feed_waiting_kg=sure(waiting),
        feed_waiting_days=sure(waiting / appetite if appetite else 0.0), slow_waiting_kg=sure(0.0), worms_kg=sure(0.5),
        appetite_kg_day=sure(appetite), processed_kg_day=sure(0.03),
        castings_dry_kg=sure(0.8), castings_share=sure(0.5),
        dry_kg=sure(1.6), total_kg=sure(8.0), free_air_space=sure(0.5), air_reach_m=sure(0.5), contents_m=sure(0.18),
        temp_c=sure(temp), heat_rise_c=sure(0.5), cn=sure(30.0), standing_water_kg=sure(0.0), fullness=sure(0.6),
        layers=Layers(0.01, 0.09, 0.08, 0.0),
    )  # fmt: skip
