"""Own materials and the farm's settings to and from ``materials.csv`` and ``settings.csv``."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from wormbin.exchange.cells import NumberError, number, written
from wormbin.exchange.tables import Row
from wormbin.problems import Problem
from wormbin.records.codec import UnreadableError, settings_from_json, settings_to_json
from wormbin.records.door import farm_problems, material_problems, settings_problems
from wormbin.records.farms import Farm, OwnMaterial, Settings
from wormbin.records.ids import KEY_RULE, is_key
from wormbin.records.limits import FAR_OFF

NUMBERS = ("nitrogen_pct", "carbon_pct", "ash_pct", "moisture_pct", "bulk_density_kg_m3", "water_holding")
WORDS = ("role", "pace")
_KEEPERS = "keepers"


def material_row(own: OwnMaterial) -> dict[str, str]:
    """The row of one own material; values that no column holds go along as JSON in ``extra``."""
    cells = {name: _cell(value) for name, value in own.values.items() if name in NUMBERS + WORDS}
    more = {name: value for name, value in own.values.items() if name not in NUMBERS + WORDS}
    rest = {name: dict(held) for name, held in (("values", more), ("loose", own.extra)) if held}
    extra = json.dumps(rest, ensure_ascii=False, allow_nan=False) if rest else ""
    return {"material": own.key, "name": own.name, "by": own.by, "extra": extra} | cells


def _cell(value: float | str) -> str:
    return value if isinstance(value, str) else written(float(value))


def read_materials(rows: Iterable[Row]) -> tuple[list[OwnMaterial], list[Problem]]:
    """Every own material of the file, and what is wrong with the rows that are not one."""
    found: dict[str, OwnMaterial] = {}
    problems: list[Problem] = []
    for row in rows:
        before = len(problems)
        key = row.get("material").strip()
        if not is_key(key):
            problems.append(row.problem("material", KEY_RULE, "my-leaf-mould"))
        elif key in found:
            problems.append(row.problem("material", "every material once"))
        values: dict[str, float | str] = {}
        for column in NUMBERS:
            if row.get(column).strip():
                try:
                    values[column] = number(row.get(column))
                except NumberError as error:
                    problems.append(row.problem(column, str(error), "45.5"))
        values |= {column: row.get(column).strip() for column in WORDS if row.get(column).strip()}
        more = _rest(row, problems)
        if len(problems) == before:
            loose = {"extra": more["loose"]} if more.get("loose") else {}
            own = OwnMaterial(key, row.text("name"), values | more.get("values", {}), row.text("by"), **loose)
            faults = material_problems(own)
            problems += [replace(each, where=_place(row)) for each in faults]
            if not faults:
                found[key] = own
    return list(found.values()), problems


def _rest(row: Row, problems: list[Problem]) -> dict[str, dict[str, Any]]:
    cell = row.get("extra")
    read = _read(cell) if cell.strip() else {}
    if isinstance(read, dict) and all(isinstance(held, dict) for held in read.values()):
        return read
    problems.append(row.problem("extra", "a JSON object, as export writes it", '{"values": {}}'))
    return {}


def settings_rows(settings: Settings, keepers: tuple[str, ...]) -> list[dict[str, str]]:
    """One row a setting: words as they are, anything longer as JSON."""
    document = settings_to_json(settings)
    rows = [{"setting": name, "value": _value(value)} for name, value in document.items()]
    if keepers:
        rows.append({"setting": _KEEPERS, "value": json.dumps(list(keepers), ensure_ascii=False)})
    return rows


def _value(value: object) -> str:
    return value if isinstance(value, str) else json.dumps(value, ensure_ascii=False, allow_nan=False)


def read_settings(rows: Iterable[Row], now: Settings) -> tuple[Settings, tuple[str, ...], list[Problem]]:
    """The settings with those of the file over ``now``, the keepers that the file names, and what is wrong."""
    document = settings_to_json(now)
    keepers: tuple[str, ...] = ()
    problems: list[Problem] = []
    file = ""
    for row in rows:
        file = row.file
        name, cell = row.get("setting").strip(), row.get("value")
        value = _read(cell)
        if not name:
            problems.append(row.problem("setting", "the name of a setting", "units"))
        elif name == _KEEPERS:
            if isinstance(value, list) and all(isinstance(each, str) for each in value):
                keepers = tuple(value)
                faults = farm_problems(Farm(keepers=keepers), FAR_OFF)
                problems += [replace(each, where=_place(row)) for each in faults]
            else:
                problems.append(row.problem("value", "a JSON list of names", '["Ana", "B."]'))
        else:
            problems += _try(document, name, (value, cell), row)
    settings = settings_from_json(document)
    problems += [replace(each, where=file) for each in settings_problems(settings)]
    return settings, keepers, problems


def _read(cell: str) -> object:
    try:
        return json.loads(cell)
    except (ValueError, RecursionError):
        return cell


def _try(document: dict[str, object], name: str, readings: tuple[object, ...], row: Row) -> list[Problem]:
    """Put one setting into the document, as JSON or else as plain words, when that can be read."""
    faults: tuple[Problem, ...] = ()
    for value in readings:
        trial: Mapping[str, object] = document | {name: value}
        try:
            settings_from_json(trial)
        except UnreadableError as error:
            faults = error.problems
        else:
            document[name] = value
            return []
    return [replace(each, where=f"{_place(row)}, column value") for each in faults]


def _place(row: Row) -> str:
    return f"{row.file} line {row.line}"
