"""A portion half typed, completed: "300 g mel" to "300 g melon-rind"."""

from __future__ import annotations

from wormbin.materials.material import Role
from wormbin.materials.table import MaterialTable
from wormbin.measures import parse_amount_of
from wormbin.problems import RefusedError


def completed(words: str, table: MaterialTable, first: Role | None = None) -> str | None:
    """The words with the name of the material finished; None when there is nothing to finish or nothing fits.

    What is typed stays as it is: the answer begins with it, letter by letter. Names of things in the role ``first`` go
    before all others.
    """
    typed = words.rstrip()
    try:
        _amount, name = parse_amount_of(typed)
    except RefusedError:
        return None
    if not typed.endswith(name):
        return None
    name = table.finish(name, first)
    return typed + name if name else None
