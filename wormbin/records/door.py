"""The one door: what a keeper wrote, already in SI, is checked here once, and all that is wrong is told at once."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import replace
from datetime import datetime
from operator import is_not
from typing import Any

from wormbin.problems import Problem, RefusedError
from wormbin.records.bins import Bin
from wormbin.records.entries import Entry
from wormbin.records.farm_rules import bin_problems, farm_problems, material_problems, settings_problems
from wormbin.records.farms import OwnMaterial, Settings
from wormbin.records.limits import cleaned
from wormbin.records.line_rules import line_problems
from wormbin.records.lots import LotLine

__all__ = [
    "admit_bin",
    "admit_entry",
    "admit_lot_line",
    "admit_material",
    "admit_settings",
    "bin_problems",
    "farm_problems",
    "line_problems",
    "material_problems",
    "settings_problems",
]


def _tidy(value: Any, lines: bool = False) -> Any:
    """A record with every text in it cleaned."""
    if type(value) is str:
        return cleaned(value, lines=lines)
    if isinstance(value, tuple):
        items = tuple(_tidy(each) for each in value)
        return items if any(map(is_not, items, value)) else value
    names = getattr(value, "__dataclass_fields__", None)
    if names is None:
        return value
    tidied = {name: _tidy(getattr(value, name), name == "note") for name in names if name != "extra"}
    changed = {name: new for name, new in tidied.items() if new is not getattr(value, name)}
    return replace(value, **changed) if changed else value


def _let_in(value: Any, problems: Callable[[Any], Iterable[Problem]]) -> Any:
    tidied = _tidy(value)
    found = tuple(problems(tidied))
    if found:
        raise RefusedError(found)
    return tidied


def admit_entry(
    entry: Entry, bins: Sequence[Bin] | None, now: datetime, materials: Collection[str] | None = None
) -> Entry:
    """The line with its text cleaned. Raises RefusedError with all that is wrong; see ``line_problems``."""
    admitted: Entry = _let_in(entry, lambda each: line_problems(each, bins, now, materials))
    return admitted


def admit_lot_line(line: LotLine, bins: Sequence[Bin] | None, now: datetime) -> LotLine:
    """The line of the castings book with its text cleaned. Raises RefusedError; see ``line_problems``."""
    admitted: LotLine = _let_in(line, lambda each: line_problems(each, bins, now))
    return admitted


def admit_bin(one: Bin, others: Iterable[Bin], now: datetime) -> Bin:
    """The bin with its text cleaned. Raises RefusedError with all that is wrong."""
    admitted: Bin = _let_in(one, lambda each: bin_problems(each, others, now))
    return admitted


def admit_settings(settings: Settings) -> Settings:
    """The settings with their text cleaned. Raises RefusedError with all that is wrong."""
    admitted: Settings = _let_in(settings, settings_problems)
    return admitted


def admit_material(material: OwnMaterial) -> OwnMaterial:
    """The material with its text cleaned. Raises RefusedError with all that is wrong."""
    admitted: OwnMaterial = _let_in(material, material_problems)
    return admitted
