"""A material of the keeper's own, or own values over a row of the table, from words."""

from __future__ import annotations

from collections.abc import Sequence

from wormbin.farm.materials.sets import read_value
from wormbin.materials.table import MaterialTable
from wormbin.measures import tidy
from wormbin.problems import RefusedError, UnclearError
from wormbin.records.door import admit_material
from wormbin.records.farms import OwnMaterial
from wormbin.records.ids import key_from


def own_material(
    key: str, sets: Sequence[str], name: str, by: str, table: MaterialTable, own: Sequence[OwnMaterial]
) -> OwnMaterial:
    """The own material with ``sets`` laid over what was given before. Raises RefusedError for what cannot be."""
    try:
        known = table.find(key, kept_out=True).key
    except UnclearError:
        if not name:
            raise
        known = key_from(key)
    except RefusedError:
        known = key_from(key)
    held = next((each for each in own if each.key == known), OwnMaterial(known))
    values = dict(held.values) | dict(read_value(text) for text in sets)
    made = admit_material(OwnMaterial(known, tidy(name) or held.name, values, tidy(by) or held.by, held.extra))
    table.with_own([made])
    return made
