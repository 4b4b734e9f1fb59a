"""Values laid over materials for one question: ``grass-clippings.moisture_pct=77``."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from wormbin.materials.table import MaterialTable
from wormbin.measures import parse_number, shown, tidy
from wormbin.problems import Problem, RefusedError
from wormbin.records.door import admit_material
from wormbin.records.farms import OwnMaterial

FIELDS = ("nitrogen_pct", "carbon_pct", "ash_pct", "moisture_pct", "bulk_density_kg_m3", "water_holding")
WORDS = ("pace", "role")
ENOUGH = frozenset({"nitrogen_pct", "moisture_pct"})
"""With these two a name that nobody knows is meant as a new material; what else it needs is asked for."""


def read_value(text: str) -> tuple[str, float | str]:
    """ "moisture_pct=77" as a field and its value. Raises RefusedError."""
    name, equals, value = text.partition("=")
    name = tidy(name).casefold().replace("-", "_")
    if not equals or name not in FIELDS + WORDS:
        allowed = "FIELD=VALUE with one of the fields " + ", ".join(FIELDS + WORDS)
        raise RefusedError(Problem("set", shown(text), allowed, "moisture_pct=77"))
    if name in WORDS:
        return name, tidy(value).casefold()
    return name, parse_number(value.removesuffix("%"), name, low=0.0, high=10_000.0, example="77")


def laid_over(table: MaterialTable, own: Iterable[OwnMaterial], sets: Sequence[str]) -> MaterialTable:
    """The table with ``MATERIAL.FIELD=VALUE`` laid over it (over the keeper's ``own`` values). Raises RefusedError.

    A material that the table has not is made of its values alone, once those say enough (``ENOUGH``); with fewer its
    name is taken for a slip of the pen.
    """
    held = {each.key: each for each in own}
    values: dict[str, dict[str, float | str]] = {}
    unknown: dict[str, RefusedError] = {}
    for text in sets:
        words, dot, _field = text.partition("=")[0].rpartition(".")
        if not dot:
            raise RefusedError(Problem("set", shown(text), "MATERIAL.FIELD=VALUE", "grass-clippings.moisture_pct=77"))
        try:
            key = table.find(words, "set", kept_out=True).key
        except RefusedError as refusal:
            key = "-".join(tidy(words).casefold().split())
            unknown[key] = refusal
        name, value = read_value(text[len(words) + 1 :])
        values.setdefault(key, dict(held[key].values) if key in held else {})[name] = value
    for key, not_known in unknown.items():
        if not values[key].keys() >= ENOUGH:
            raise not_known
    return table.with_own([admit_material(OwnMaterial(key, values=each)) for key, each in values.items()])
