"""Format versions of the store's files: which one is written, and the steps that bring older ones up to it."""

from __future__ import annotations

import copy
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from wormbin.store.errors import DamagedError, NewerError
from wormbin.store.text import HEADER, REPAIR, Tables

FORMAT = 3


def _percent_to_fraction(document: dict[str, Any], old: str, new: str) -> None:
    if isinstance(document.get(old), int | float) and not isinstance(document.get(old), bool):
        document[new] = document.pop(old) / 100.0


def _from_1(tables: Tables) -> Tables:
    """Format 1 had its header in ``meta``, percent in checks, and only the reason of a strike."""
    tables = copy.deepcopy(tables)
    header = {**tables.pop("meta", {}).get("1", {}), "format": 2}
    header.setdefault("seq", 1)
    for document in tables.get("entries", {}).values():
        _percent_to_fraction(document, "moisture_pct", "moisture")
        _percent_to_fraction(document, "left_pct", "left")
        if isinstance(document.get("struck"), str):
            document["struck"] = {"why": document["struck"], "by": document.get("by", ""), "at": document.get("when")}
    return {HEADER: {"1": header}, **tables}


def _from_2(tables: Tables) -> Tables:
    """Format 2 listed the changes in the header, and a slip named the number of its book, not the state."""
    header = dict(tables.get(HEADER, {}).get("1", {}))
    header["format"] = 3
    changes = header.pop("changes", None)
    if "onto" in header:
        header["onto"] = str(header["onto"])
    elif "year" in header:
        header["mark"] = str(header.get("seq"))
    listed = [each for each in changes if isinstance(each, dict)] if isinstance(changes, list) else []
    numbered = {str(each["number"]): each for each in listed if type(each.get("number")) is int and each["number"] >= 0}
    return {**tables, HEADER: {"1": header}, **({"changes": numbered} if numbered else {})}


# From each older format to the next one. A step gets the tables of one file, book or farm, and returns new ones.
STEPS: Mapping[int, Callable[[Tables], Tables]] = {1: _from_1, 2: _from_2}


def format_of(tables: Tables) -> object:
    """The format number that a file states, or None when it states none."""
    for table in (HEADER, "meta"):
        header = tables.get(table, {}).get("1")
        if header is not None:
            return header.get("format")
    return None


def to_current(tables: Tables, path: Path) -> tuple[Tables, int]:
    """The tables in the format of this program, and the format they were in. Raises NewerError, DamagedError."""
    stated = format_of(tables)
    if not isinstance(stated, int) or isinstance(stated, bool) or stated < 1:
        raise DamagedError("the file does not say its format, so it may not be a store file", REPAIR, path=path, line=1)
    if stated > FORMAT:
        raise NewerError(
            f"a newer wormbin wrote this (format {stated}; this one knows formats up to {FORMAT})",
            "Use the newer wormbin. Nothing was changed.",
            path=path,
        )
    now = stated
    while now < FORMAT:
        tables = STEPS[now](tables)
        now += 1
    return tables, stated
