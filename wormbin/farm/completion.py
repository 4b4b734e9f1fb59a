"""A portion half typed, completed: "300 g mel" to "300 g melon-rind"."""

from __future__ import annotations

from wormbin.materials.table import MaterialTable
from wormbin.measures import parse_amount_of
from wormbin.problems import RefusedError


def completed(words: str, table: MaterialTable) -> str | None:
    """The words with the name of the material finished; None when there is nothing to finish or nothing fits."""
    try:
        _amount, name = parse_amount_of(words)
    except RefusedError:
        return None
    keys = table.complete(name)
    if not keys or keys[0] == name or not words.rstrip().endswith(name):
        return None
    return words.rstrip()[: -len(name)] + keys[0]
