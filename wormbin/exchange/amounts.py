"""The amount of a row: any unit of mass, volume or worms to kilograms, by the material's own density."""

from __future__ import annotations

from wormbin.exchange.cells import NumberError, number
from wormbin.exchange.tables import Row
from wormbin.materials.material import CASTINGS
from wormbin.materials.table import MaterialTable, kg_of
from wormbin.measures import Amount, Dimension, parse_amount
from wormbin.measures.units import WORM_KG
from wormbin.problems import RefusedError


class Amounts:
    """Reads amounts against a material table; units met before are remembered, so a million rows stay quick."""

    def __init__(self, table: MaterialTable) -> None:
        self.table = table
        self._kg: dict[tuple[str, str], float] = {}
        self._keys: dict[str, str] = {}

    def portion(self, row: Row) -> tuple[str, float]:
        """The material's key and the fresh kg of a feeding or bedding row. Raises RefusedError."""
        words = row.get("material").strip()
        if words not in self._keys:
            try:
                self._keys[words] = self.table.find(words, kept_out=True).key
            except RefusedError as error:
                raise RefusedError(
                    [row.problem("material", each.allowed, each.example) for each in error.problems]
                ) from None
        key = self._keys[words]
        return key, self._kg_of(row, key)

    def mass(self, row: Row) -> float:
        """An amount that must be a mass, kg."""
        return self._kg_of(row, "")

    def water(self, row: Row) -> float:
        """An amount of water, kg; a litre is a kilogram."""
        return self._kg_of(row, "water")

    def castings(self, row: Row) -> float:
        """An amount of castings, kg; a volume by the bulk density of castings."""
        return self._kg_of(row, CASTINGS)

    def worms(self, row: Row) -> tuple[float, int | None]:
        """Live kg of worms, and how many when they were counted."""
        if row.get("unit").strip().lower() in ("worms", "worm"):
            count = self.count(row, "amount")
            return count * WORM_KG, count
        kg = self.mass(row)
        return kg, self.count(row, "count") if row.get("count").strip() else None

    def count(self, row: Row, column: str) -> int:
        """A whole number."""
        value = self._value(row, column)
        if value != int(value):
            raise RefusedError(row.problem(column, "a whole number of worms", "250"))
        return int(value)

    def _value(self, row: Row, column: str) -> float:
        try:
            return number(row.get(column))
        except NumberError as error:
            unit = "; its unit goes into the column unit" if column == "amount" else ""
            raise RefusedError(row.problem(column, f"{error}{unit}", "0.35")) from None

    def _kg_of(self, row: Row, material: str) -> float:
        # Fifteen digits are all that a double carries for certain: 9 g is 0.009 kg, not 0.009000000000000001.
        value, unit = self._value(row, "amount"), self._unit(row, material)
        return value if unit == 1.0 else float(f"{value * unit:.15g}")

    def _unit(self, row: Row, material: str) -> float:
        unit = row.get("unit").strip()
        if unit == "kg":
            return 1.0
        known = self._kg.get((unit, material))
        if known is None:
            known = self._kg[unit, material] = self._one(row, unit, material)
        return known

    def _one(self, row: Row, unit: str, material: str) -> float:
        allowed = "a unit of mass (g, kg, oz, lb)" + (" or of volume (mL, L, cup, qt, gal)" if material else "")
        try:
            amount: Amount = parse_amount(f"1 {unit}", field="unit")
            if amount.dimension is Dimension.MASS:
                return amount.kg()
            if amount.dimension is Dimension.VOLUME and material == "water":
                return amount.litres()
            if amount.dimension is Dimension.VOLUME and material:
                return kg_of(amount, self.table.get(material))
        except RefusedError as error:
            allowed = error.problems[0].allowed if unit else allowed
        raise RefusedError(row.problem("unit", allowed, "g"))
