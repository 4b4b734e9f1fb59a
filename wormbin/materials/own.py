"""The keeper's own materials and measured values, held to what a material can be, laid over the table."""

from __future__ import annotations

import re
from dataclasses import replace
from enum import StrEnum
from math import isfinite
from types import MappingProxyType
from typing import Any, TypeVar

from wormbin.materials.material import (
    SOAKS_UP,
    SOLIDS_PER_CARBON,
    UNSAID,
    Material,
    Pace,
    Role,
    carbon_bound,
    measured_carbon_bound,
)
from wormbin.measures.numbers import parse_number, written
from wormbin.measures.words import shown, tidy
from wormbin.problems import Problem, RefusedError
from wormbin.records.farm_rules import VALUES
from wormbin.records.farms import OwnMaterial

_Word = TypeVar("_Word", bound=StrEnum)
# Field of the command line: field of a material, what divides it, lowest, highest, example.
_NUMBERS: dict[str, tuple[str, float, float, float, str]] = {
    name: (name.removesuffix("_pct"), 100.0 if name.endswith("_pct") else 1.0, *limits)
    for name, limits in VALUES.items()
}
FIELDS = (*_NUMBERS, "pace", "role")
_NEEDED = ("nitrogen_pct", "moisture_pct", "pace")
_KEY = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
# Rounded percentages may pass the bound by half of their last digit.
_ROUNDING = 5e-4


def _number(field: str, value: float | str, where: str) -> float:
    _, divisor, low, high, example = _NUMBERS[field]
    if isinstance(value, str):
        return (
            parse_number(tidy(value).removesuffix("%").rstrip(), where, low=low, high=high, example=example) / divisor
        )
    if not isfinite(value) or not low <= value <= high:
        allowed = f"a number from {written(low)} to {written(high)}"
        raise RefusedError(Problem(where, shown(str(value)), allowed, example))
    return value / divisor


def _word(words: type[_Word], value: float | str, where: str) -> _Word:
    try:
        return words(tidy(str(value)[:80]).casefold())
    except ValueError:
        allowed = "one of " + ", ".join(words)
        raise RefusedError(Problem(where, shown(str(value)), allowed, next(iter(words)))) from None


def _given(own: OwnMaterial) -> dict[str, Any]:
    """The fields that the keeper gave, by a material's field name, all problems told at once."""
    given: dict[str, Any] = {}
    problems: list[Problem] = []
    for field, value in own.values.items():
        where = f"{shown(own.key)}.{shown(field)}"
        try:
            if field in _NUMBERS:
                given[_NUMBERS[field][0]] = _number(field, value, where)
            elif field == "like":
                continue  # the row that it is laid over
            elif field in {"pace", "role"}:
                given[field] = _word(Pace, value, where) if field == "pace" else _word(Role, value, where)
            else:
                raise RefusedError(Problem(where, shown(field), "one of " + ", ".join(FIELDS), "nitrogen_pct"))
        except RefusedError as refusal:
            problems.extend(refusal.problems)
    if problems:
        raise RefusedError(problems)
    return given


def taken_as(like: Material | None, own: OwnMaterial) -> Material | None:
    """The row of a material that the keeper says is ``like`` one of the table: nobody measured it, and it says so."""
    if like is None:
        return None
    sources = {name: f"taken to be like {like.key}; {source}" for name, source in like.sources.items()}
    name = own.key.replace("-", " ").capitalize()
    return replace(like, key=own.key, name=name, aliases=(), sources=MappingProxyType(sources))


def _balanced(own: OwnMaterial, given: dict[str, Any], made: Material, sources: dict[str, str]) -> Material:
    """Carbon brought under (1 - ash)/1.8 where the keeper did not measure both; measured ones are believed further."""
    bound = carbon_bound(made.ash)
    if made.carbon <= bound + _ROUNDING:
        return made
    if "carbon" in given and "ash" in given:
        most = measured_carbon_bound(made.ash)
        if made.carbon <= most + _ROUNDING:
            return made
        allowed = (
            f"at most {written(round(most * 100, 1))} with ash {written(round(made.ash * 100, 1))}: 0.65 (1 - ash)"
        )
        raise RefusedError(Problem(f"{own.key}.carbon_pct", written(made.carbon * 100), allowed, "45"))
    if "carbon" in given:
        ash = max(0.0, 1.0 - made.carbon * SOLIDS_PER_CARBON)
        sources["ash"] = f"worked out from own carbon by (1 - ash)/1.8, {sources['carbon']}"
        return replace(made, ash=ash)
    sources["carbon"] = f"held to (1 - ash)/1.8 with ash by {sources['ash']}; was {sources.get('carbon', 'not said')}"
    return replace(made, carbon=bound)


def laid_over(row: Material | None, own: OwnMaterial) -> Material:
    """The material with the keeper's values over ``row``, or a new one where the table has none.

    A new material needs nitrogen, moisture and pace, and carbon or ash, of which the other follows by (1 - ash)/1.8;
    it is feed unless it says otherwise. RefusedError names every field that cannot be.
    """
    if not _KEY.fullmatch(own.key) or len(own.key) > 60:
        allowed = "lower-case letters, digits and hyphens, at most 60"
        raise RefusedError(Problem("material", shown(own.key), allowed, "my-kitchen-mix"))
    given = _given(own)
    told = f"own measurement, by {shown(tidy(own.by[:80]))}" if own.by.strip() else "own measurement"
    if row is None:
        row = _blank(own, given)
        told_all = {"nitrogen", "carbon", "ash", "moisture"} & given.keys()
        sources = dict.fromkeys({"carbon", "ash"} - told_all, "worked out by (1 - ash)/1.8, " + told)
    else:
        sources = dict(row.sources)
    sources.update({name: told for name in given if name not in {"pace", "role"}})
    changed = replace(row, **given, own=True)
    if own.name.strip():
        changed = replace(changed, name=shown(tidy(own.name[:120])))
    changed = _balanced(own, given, changed, sources)
    if changed.role is Role.BEDDING and changed.water_holding is None:
        sources["water_holding"] = "3 kg water per kg dry matter, a middle value for fibre, from memory"
        changed = replace(changed, water_holding=SOAKS_UP)
    if changed.role is Role.KEEP_OUT and not changed.kept_out_because:
        changed = replace(changed, kept_out_because="the keeper keeps it out", kept_out=UNSAID)
    return replace(changed, sources=MappingProxyType(sources))


def _blank(own: OwnMaterial, given: dict[str, Any]) -> Material:
    """A new material with only what follows from what was given; RefusedError for what is missing."""
    missing = [field for field in _NEEDED if field not in own.values]
    if "carbon" not in given and "ash" not in given:
        missing.append("carbon_pct")
    if missing:
        said = ", ".join(own.values) or "nothing"
        needs = "nitrogen_pct, moisture_pct, pace, and carbon_pct or ash_pct"
        allowed = f"a new material with {needs}; missing {', '.join(missing)}"
        raise RefusedError(Problem(own.key, shown(said), allowed, f"{missing[0]}={_example(missing[0])}"))
    ash = given.get("ash", max(0.0, 1.0 - given.get("carbon", 0.0) * SOLIDS_PER_CARBON))
    name = own.key.replace("-", " ").capitalize()
    return Material(
        own.key, name, Role.FEED, given["pace"], given["nitrogen"], carbon_bound(ash), ash, given["moisture"], own=True
    )


def _example(field: str) -> str:
    return _NUMBERS[field][4] if field in _NUMBERS else "quick"
