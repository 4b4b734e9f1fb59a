"""The pictures kept as plain text, for a person to read and for a test to compare.

``python -m tests.drawing.gallery`` draws them anew; look at each change before it is committed.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from math import sin
from pathlib import Path

from tests.drawing.shapes import one_part
from wormbin.drawing.axes import Measure
from wormbin.drawing.chart import chart, chart_key
from wormbin.drawing.cutaway import Cut, cutaway
from wormbin.drawing.gauge import Gauge, gauges
from wormbin.drawing.picture import Picture
from wormbin.drawing.series import Event, Point, Reading, Series
from wormbin.drawing.strata import Section
from wormbin.figures import Band, Basis, Level
from wormbin.records.bins import Cover

FOLDER = Path(__file__).parent / "pictures"
TODAY = date(2026, 4, 29)
PERCENT = Measure(lambda value: f"{value * 100:.0f} %", 100.0)

PLAIN_BIN = one_part(
    0.03, 0.10, 0.08, 0.02, 0.30, Cover.LOOSE, worms=5.0, ruler_m=0.24, notes={"feed": "1.4 kg", "worm": "about 0.9 kg"}
)
TRAYS = Cut(
    box_depth_m=0.15,
    cover=Cover.CLOSED,
    parts=(
        Section(1, 0.0, 0.01, 0.11, 0.01, 1.0),
        Section(2, 0.0, 0.05, 0.06, 0.0, 3.0),
        Section(3, 0.03, 0.06, 0.0, 0.0, 6.0),
    ),
)
HALVES = Cut(
    box_depth_m=0.35,
    cover=Cover.OPEN,
    parts=(Section(1, 0.0, 0.05, 0.18, 0.01, 1.0), Section(2, 0.04, 0.14, 0.05, 0.0, 7.0)),
    sideways=True,
    drainage=False,
)


def moisture() -> Series:
    """Sixty days of an invented bin and thirty ahead, with a reading that does not fit."""

    def level(day: int) -> float:
        return 0.74 + 0.06 * sin(day / 9) + 0.02 * sin(day / 2)

    def on(day: int) -> date:
        return TODAY + timedelta(days=day - 60)

    past = tuple(Point(on(i), Band(level(i) - 0.025, level(i), level(i) + 0.025)) for i in range(61))
    widths = [0.03 + 0.002 * i for i in range(31)]
    ahead = tuple(
        Point(on(60 + i), Band(level(60 + i) - wide, level(60 + i), level(60 + i) + wide))
        for i, wide in enumerate(widths)
    )
    readings = tuple(Reading(on(i), level(i) + (0.02 if i % 4 else -0.015)) for i in range(0, 59, 6) if i != 30)
    return Series(
        past,
        ahead,
        (*readings, Reading(on(30), 0.61, questioned=True)),
        target=(0.60, 0.85),
        today=TODAY,
        events=tuple(Event(on(i)) for i in range(2, 90, 4)),
    )


def block() -> tuple[Gauge, ...]:
    """Six gauges as on a bin's page."""

    def percent(value: float) -> str:
        return f"{value * 100:.0f} %"

    worked, read = Basis.WORKED_OUT, Basis.READ
    return (
        Gauge(
            "moisture",
            0.81,
            0.4,
            0.95,
            (0.6, 0.85),
            Band(0.77, 0.81, 0.85),
            worked,
            Level.STEADY,
            Measure(percent, 100.0),
        ),
        Gauge(
            "feed waiting",
            1.4,
            0,
            3,
            (None, 1),
            Band(0.9, 1.4, 2.2),
            worked,
            Level.WATCH,
            Measure(lambda kg: f"{kg:.1f} kg"),
        ),
        Gauge("warmth", 22, 5, 35, (15, 27), Band(21, 22, 23), read, Level.STEADY, Measure(lambda c: f"{c:.0f} °C")),
        Gauge(
            "room for air",
            0.08,
            0,
            0.6,
            (0.2, None),
            Band(0.05, 0.08, 0.12),
            worked,
            Level.ACT,
            Measure(percent, 100.0),
        ),
        Gauge(
            "feed days",
            23,
            0,
            14,
            (None, 7),
            Band(16, 23, 30),
            worked,
            Level.ACT,
            Measure(lambda days: f"{days:.0f} days"),
        ),
        Gauge("pH", None, 4, 9, (6, 8)),
    )


def pictures() -> Iterator[tuple[str, Picture]]:
    """Every kept picture with its file name."""
    series = moisture()
    for mode, ascii in (("", False), ("-ascii", True)):
        yield f"bin{mode}", cutaway(PLAIN_BIN, 76, 20, ascii=ascii)
        yield f"bin-small{mode}", cutaway(PLAIN_BIN, 24, 10, ascii=ascii)
        yield f"trays{mode}", cutaway(TRAYS, 54, 22, ascii=ascii)
        yield f"halves{mode}", cutaway(HALVES, 72, 14, ascii=ascii)
        yield f"moisture{mode}", chart(series, 80, 16, measure=PERCENT, event_word="fed", ascii=ascii)
        yield f"gauges{mode}", gauges(block(), 80, ascii=ascii)
        yield f"gauges-narrow{mode}", gauges(block(), 34, two_lines=True, ascii=ascii)


def main() -> None:
    """Write all pictures."""
    FOLDER.mkdir(exist_ok=True)
    for name, picture in pictures():
        (FOLDER / f"{name}.txt").write_text(picture.text + "\n", encoding="utf-8")
    key = "\n".join(chart_key(80, ascii=ascii) for ascii in (False, True))
    (FOLDER / "key.txt").write_text(key + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
