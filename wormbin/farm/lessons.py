"""The log for a spreadsheet lesson: one plain sheet a quantity, a row a reading or a day, in the units that are set."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from wormbin.drawing.measure import Measure, measure_of
from wormbin.drawing.series import Series
from wormbin.farm.bins.charts import charts
from wormbin.farm.views.bin import Recorded
from wormbin.measures import counted
from wormbin.problems import Problem, RefusedError

if TYPE_CHECKING:
    from wormbin.farm.bins.scene import Scene
    from wormbin.farm.session import Session

SHEETS = {
    "moisture": "moisture", "temp": "temperature", "feed_waiting": "feed-waiting", "left": "feed-left",
    "castings": "castings-share", "worms": "worms", "depth": "depth", "weight": "weight",
}  # fmt: skip
"""The file of each chart."""
READ_AS = {
    "moisture": "moisture", "temp": "temp_c", "left": "left", "worms": "worms_kg", "depth": "contents_m",
    "weight": "total_kg",
}  # fmt: skip
"""What the readings of each are called where they are judged."""
READ, MADE = "read", "worked out"
DIGITS = 4


def write_sheets(session: Session, folder: Path, *, over: bool = False) -> Recorded:
    """Write the sheets of all bins that can be read; RefusedError for a file in the way, unless written ``over``."""
    from wormbin.exchange.tables import write_rows
    from wormbin.store.whole import in_the_way

    rows: dict[str, list[dict[str, str]]] = {code: [] for code in SHEETS}
    heads: dict[str, Measure] = {}
    scenes = [session.scene(one.key).back_to(one.started) for one, _ in session.logs]
    for scene in scenes:
        for series in (*charts(scene), Series(code="left", unit="fraction")):  # what is left is only read
            if series.code in SHEETS:
                heads[series.code] = measure = measure_of(series.unit, scene.settings.units)
                rows[series.code] += _rows(series.code, series, measure, scene)
    paths = {code: folder / f"{name}.csv" for code, name in SHEETS.items() if rows[code]}
    for path in paths.values() if not over else ():
        if blocked := in_the_way(path, b"day,bin,", "sheet of a lesson"):
            raise RefusedError(
                Problem("export", path.name, "a folder without it", whole=f"{blocked}; --yes writes over it.")
            )
    folder.mkdir(parents=True, exist_ok=True)
    for code, path in paths.items():
        unit = heads[code].unit
        columns = ("day", "bin", f"value ({unit})", "who", "read or worked out", f"low ({unit})", f"high ({unit})")
        plain = [each for each in columns if each not in ("bin", "who")]
        write_rows(
            path, columns, (dict(zip(columns, row.values(), strict=True)) for row in rows[code]), plain, bom=True
        )
    said = f"{counted(len(paths), 'sheet')} and {counted(sum(map(len, rows.values())), 'row')} written to {folder}"
    return Recorded((), said)


def _rows(code: str, series: Series, measure: Measure, scene: Scene) -> Iterator[dict[str, str]]:
    """A day's readings first, each with who wrote it, then what is worked out for the day with its band."""
    who = {each.id: each.by for each in scene.entries}

    def cell(value: float) -> str:
        return f"{float(f'{measure.shown(value):.{DIGITS}g}'):g}"

    def read_by(by: str) -> str:
        """A squeeze is no meter: the column says with what the moisture was read."""
        return f"{READ}, {by}" if by and code == "moisture" else READ

    def row(on: date, basis: str, value: float, by: str = "", low: str = "", high: str = "") -> dict[str, str]:
        named = {"day": on.isoformat(), "bin": scene.bin.name, "value": cell(value), "who": by}
        return {**named, "basis": basis, "low": low, "high": high}

    found = [
        (each.when.date(), 0, row(each.when.date(), read_by(each.by), each.read, who.get(each.entry, "")))
        for each in scene.past.judged
        if each.quantity == READ_AS.get(code)
    ]
    found += [
        (each.on, 1, row(each.on, MADE, each.band.p50, "", cell(each.band.p10), cell(each.band.p90)))
        for each in series.past
    ]
    yield from (cells for _, _, cells in sorted(found, key=lambda each: each[:2]))
