"""The lines a made-up keeper writes, in the words and columns of the log files."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable, Mapping
from datetime import date

from tests.worlds.larder import LARDER

BIN_COLUMNS = (
    "bin", "name", "length_cm", "width_cm", "depth_cm", "area_m2", "compartments", "drainage", "cover", "species",
    "site_temp_c", "method", "tare_kg", "started", "keeper",
)  # fmt: skip
LOG_COLUMNS = (
    "when", "bin", "kind", "material", "amount", "unit", "moisture_pct", "moisture_by", "squeeze", "temp_c", "left_pct",
    "contents_cm", "smell", "seen", "ph", "compartment", "by", "note", "struck", "struck_by",
)  # fmt: skip

SETTING_COLUMNS = ("setting", "value")

LITRES = {"L": 1.0, "mL": 0.001, "cups": 0.2365882, "qt": 0.9463529, "gal": 3.785412}
KILOS = {"kg": 1.0, "g": 0.001, "lb": 0.4535924, "oz": 0.02834952}
FINEST = {"kg": 0.05, "g": 10.0, "lb": 0.25, "oz": 1.0, "L": 0.5, "mL": 50.0, "cups": 0.5, "qt": 0.5, "gal": 0.5}

Row = dict[str, str]


def number(value: float, places: int = 3) -> str:
    """A number as a keeper writes it: no trailing zeros."""
    text = f"{value:.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def said(kg: float, unit: str, material: str = "") -> str:
    """An amount of a material (water when empty) in ``unit``, rounded as a kitchen does, never to nothing."""
    if unit in KILOS:
        value = kg / KILOS[unit]
    else:
        value = kg / (LARDER[material].kg_per_litre if material else 1.0) / LITRES[unit]
    step = FINEST[unit]
    if unit == "kg" and value < 0.1:
        step = 0.01
    elif value > 20 * step:
        step *= 2 if unit == "g" else 1
    return number(max(step, round(value / step) * step))


def line(when: str, bin_key: str, kind: str, **cells: str) -> Row:
    """One row of a log; ``when`` is a date or ``2026-03-02T18:10``."""
    row = {"when": when, "bin": bin_key, "kind": kind, **cells}
    strange = set(row) - set(LOG_COLUMNS)
    if strange:
        raise ValueError(f"no such log columns: {sorted(strange)}")
    return {column: value for column, value in row.items() if value}


def moment(day: date, hour: str) -> str:
    """Date and wall-clock time, as the log writes them."""
    return f"{day.isoformat()}T{hour}"


def minutes_on(hour: str, minutes: int) -> str:
    """``minutes`` after a wall-clock ``hour`` of the same day."""
    hours, past = (int(part) for part in hour.split(":"))
    total = min(hours * 60 + past + minutes, 23 * 60 + 59)
    return f"{total // 60:02d}:{total % 60:02d}"


def setting_rows(settings: Mapping[str, object]) -> list[Row]:
    """One row a setting: words as they are, anything longer as JSON."""
    return [
        {"setting": name, "value": value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)}
        for name, value in settings.items()
    ]


def csv_text(columns: tuple[str, ...], rows: Iterable[Mapping[str, str]]) -> str:
    """RFC 4180 text: header row, CRLF line ends, quotes only where they are needed."""
    out = io.StringIO()
    writer = csv.DictWriter(out, columns, restval="", lineterminator="\r\n")
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue()
