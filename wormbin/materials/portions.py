"""From what the keeper said to kilograms of a material: "2 cups coffee grounds" by the material's bulk density."""

from __future__ import annotations

from collections.abc import Mapping

from wormbin.materials.material import Material
from wormbin.materials.table import MaterialTable
from wormbin.measures.amounts import Amount, Dimension, parse_amount_of
from wormbin.measures.words import shown
from wormbin.problems import Problem, UnclearError
from wormbin.records.entries import Portion

_NO_MEASURES: Mapping[str, str] = {}
_MASS_OR_VOLUME = (Dimension.MASS, Dimension.VOLUME)


def kg_of(amount: Amount, material: Material, field: str = "amount") -> float:
    """Fresh mass, kg, of a mass or a volume of ``material`` as it is measured out (volume x bulk density).

    UnclearError, asking for a weight, when the material has no bulk density or the amount is neither.
    """
    if amount.dimension is Dimension.MASS:
        return amount.kg()
    density = material.bulk_density_kg_m3
    if amount.dimension is Dimension.VOLUME and density is not None:
        return amount.litres() / 1000.0 * density
    why = "no bulk density is known for it" if amount.dimension is Dimension.VOLUME else "of a mass or a volume"
    allowed = f"a weight of {material.name} in g, kg, oz or lb, as {why}"
    if amount.dimension is not Dimension.VOLUME:
        allowed = f"a weight or a volume of {material.name}"
    raise UnclearError(Problem(field, shown(amount.said), allowed, f"200 g {material.key}"))


def read_portion(
    text: str,
    table: MaterialTable,
    field: str = "portion",
    *,
    usual: Mapping[str, str] = _NO_MEASURES,
    kept_out: bool = False,
) -> Portion:
    """Read "2 cups coffee grounds" into a portion: the material's key, kg, and the amount as it was said.

    ``usual`` holds the keeper's own measures ("handful": "40 g"). RefusedError or UnclearError, and nothing guessed,
    for an amount or a material that is not clear, or not allowed: what is kept out of worm bins, unless ``kept_out``.
    """
    amount, words = parse_amount_of(text, field, expect=_MASS_OR_VOLUME, usual=usual)
    material = table.find(words, field, kept_out=kept_out)
    return Portion(material.key, kg_of(amount, material, field), amount.said)
