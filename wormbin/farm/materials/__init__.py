"""The materials of a farm: the table, the keeper's own values, and a portion half typed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from wormbin.farm.views.bin import MaterialRow, Recorded
from wormbin.records.farms import Farm, OwnMaterial

if TYPE_CHECKING:
    from wormbin.farm.session import Session


def material_rows(session: Session, word: str = "") -> tuple[MaterialRow, ...]:
    """The material table, or what ``word`` finds in it."""
    from wormbin.farm.materials.table_rows import material_row

    return tuple(material_row(each) for each in session.table.search(word))


def complete_portion(session: Session, words: str, role: str = "") -> str | None:
    """ "300 g mel" completed to "300 g melon-rind"; None when there is nothing to complete.

    ``role`` is what is wanted most here: "feed" or "bedding".
    """
    from wormbin.farm.materials.completion import completed
    from wormbin.materials.material import Role

    return completed(words, session.table, Role(role) if role else None)


def set_material(session: Session, key: str, sets: Sequence[str], name: str = "", by: str = "") -> Recorded:
    """Own values for a material ("moisture_pct=77"), or a new material of the keeper's own."""
    from wormbin.farm.materials.own import own_material

    own = own_material(key, sets, name, by, session.table, session.farm().materials)

    def laid(farm: Farm) -> Farm:
        others: list[OwnMaterial] = [each for each in farm.materials if each.key != own.key]
        return replace(farm, materials=(*others, own))

    session.store.change_farm(laid)
    return Recorded((), f"{own.key}: " + ", ".join(f"{field} {value}" for field, value in own.values.items()))
