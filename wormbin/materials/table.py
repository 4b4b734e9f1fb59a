"""The material table: gets a material by its key or by everyday words, with the keeper's own values laid over it."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType

from wormbin.materials.material import CAUTIONS, KEPT_OUT, Composition, Material, Pace, Role, from_proximate
from wormbin.materials.names import MISSPELT, Names, normal
from wormbin.materials.own import laid_over, taken_as
from wormbin.measures.amounts import FOR_EXAMPLE_G, Amount, Dimension, parse_amount_of
from wormbin.measures.numbers import are_things, number_of_things, written
from wormbin.measures.words import shown
from wormbin.problems import MissingError, Problem, RefusedError, UnclearError, did_you_mean
from wormbin.records.entries import Portion
from wormbin.records.farms import OwnMaterial


@dataclass(frozen=True, slots=True)
class Piece:
    """One ``piece`` or ``slice`` of a material, g; eight in ten lie from ``low`` to ``high``."""

    material: str
    measure: str
    grams: float
    low: float
    high: float
    source: str

    def is_ours(self, kg: float, number: float) -> bool:
        """Whether so many weigh this by the table, and not by what the keeper said one weighs."""
        return abs(kg - number * self.grams / 1000.0) < 1e-6


@lru_cache(maxsize=1)
def pieces() -> dict[tuple[str, str], Piece]:
    """Every piece of the table, by measure and material."""
    text = Path(__file__).with_name("pieces.csv").read_text(encoding="utf-8")
    rows = (
        Piece(
            row["material"], row["measure"], float(row["grams"]), float(row["low"]), float(row["high"]), row["source"]
        )
        for row in csv.DictReader(text.splitlines())
    )
    return {(row.measure, row.material): row for row in rows}


SOURCED = ("nitrogen", "carbon", "ash", "moisture", "bulk_density_kg_m3", "water_holding")


def _words(cell: str) -> tuple[str, ...]:
    return tuple(cell.split(";")) if cell else ()


def _optional(cell: str) -> float | None:
    return float(cell) if cell else None


def _composition(row: dict[str, str]) -> Composition:
    """From the raw proximate figures of a food table where the row has them, else from its percentages."""
    if row["proximate"]:
        return from_proximate(*map(float, row["proximate"].split(";")))
    nitrogen, carbon, ash, moisture = (
        float(row[name]) / 100.0 for name in ("nitrogen_pct", "carbon_pct", "ash_pct", "moisture_pct")
    )
    return Composition(nitrogen, carbon, ash, moisture)


def _material(row: dict[str, str]) -> Material:
    made_of, marks = _composition(row), _words(row["marks"])
    return Material(
        key=row["key"],
        name=row["name"],
        role=Role(row["role"]),
        pace=Pace(row["pace"]),
        nitrogen=made_of.nitrogen,
        carbon=made_of.carbon,
        ash=made_of.ash,
        moisture=made_of.moisture,
        bulk_density_kg_m3=_optional(row["bulk_density_kg_m3"]),
        water_holding=_optional(row["water_holding"]),
        acid="acid" in marks,
        rich="rich" in marks,
        cautions=tuple(CAUTIONS[code] for code in _words(row["cautions"])),
        aliases=_words(row["aliases"]),
        kept_out_because=row["kept_out_because"],
        kept_out=next((KEPT_OUT[mark] for mark in marks if mark in KEPT_OUT), None),
        sources=MappingProxyType({name: row[f"source_{name}"] for name in SOURCED if row[f"source_{name}"]}),
    )


def read_materials() -> tuple[Material, ...]:
    """All rows of the table that comes with the program, in its own order."""
    text = Path(__file__).with_name("materials.csv").read_text(encoding="utf-8")
    return tuple(_material(row) for row in csv.DictReader(text.splitlines()))


_EXAMPLE = "coffee grounds"


class MaterialTable:
    """Materials by key, in the order of the table; frozen once made."""

    def __init__(self, materials: Iterable[Material]) -> None:
        self._by_key = {material.key: material for material in materials}
        self._index: Names | None = None

    def __iter__(self) -> Iterator[Material]:
        return iter(self._by_key.values())

    def __len__(self) -> int:
        return len(self._by_key)

    def __contains__(self, key: object) -> bool:
        return key in self._by_key

    @property
    def _names(self) -> Names:
        # Made at the first look-up by words; a replay that only asks for keys never needs it.
        if self._index is None:
            self._index = Names(self)
        return self._index

    def get(self, key: str) -> Material:
        """The material with this key, kept-out ones too; RefusedError with near misses when there is none."""
        found = self._by_key.get(key)
        return found if found is not None else self._near(key, "material")

    def find(self, words: str, field: str = "material", *, kept_out: bool = False) -> Material:
        """The material that these words name ("veg peelings" is ``vegetable-scraps``).

        UnclearError, with the keys that may be meant, when several or none fit; RefusedError with the reason for a
        material that is kept out of worm bins, unless ``kept_out`` asks for these as well.
        """
        keys = self._names.exactly(words)
        if len(keys) > 1:
            raise UnclearError(Problem(field, shown(words), f"one of {_listed(keys)}, as you mean it", keys[0]), keys)
        found = self._by_key[keys[0]] if keys else self._near(words, field)
        if found.role is Role.KEEP_OUT and not kept_out:
            raise RefusedError(
                Problem(field, shown(words), "something else", _EXAMPLE, said=f"{found.kept_out_words}.")
            )
        return found

    def named(self, words: str) -> str:
        """The key of the one material that these words name exactly; "" for none or several."""
        keys = self._names.exactly(words)
        return keys[0] if len(keys) == 1 else ""

    def misspelt(self, words: str) -> bool:
        """Whether these words are a name with a slip of the pen, and nothing else."""
        return bool(self._names.misspelt(words, 1, MISSPELT))

    def _near(self, words: str, field: str) -> Material:
        """Never returns: asks "did you mean", or refuses words that are like nothing in the table."""
        listed = "wormbin materials lists them all, and --like adds your own"
        unknown = f"no material “{shown(words)}”: {listed}. Example: {_EXAMPLE}"
        # What is kept out is offered last: it may be what was meant, but is seldom wanted.
        likely = self._names.nearly(words, 12)
        near = tuple(sorted(likely, key=lambda key: self._by_key[key].role is Role.KEEP_OUT))[:5]
        if near:
            mean = did_you_mean(field, shown(words), "material", near)
            if self._names.misspelt(words):
                raise UnclearError(mean, near)
            raise MissingError("material", words, mean, near)
        raise MissingError("material", words, Problem(field, shown(words), "a material", _EXAMPLE, said=unknown))

    def search(self, word: str) -> tuple[Material, ...]:
        """Materials whose key, name, alias, role or pace holds this word; all for no word, near misses for none."""
        form = normal(word)
        if not form:
            return tuple(self)
        found = [each for each in self if any(form in normal(name) for name in _searched(each))]
        return tuple(found) or tuple(self._by_key[key] for key in self._names.nearly(word))

    def finish(self, begun: str, first: Role | None = None) -> str:
        """The letters that are missing from ``begun`` to be a name of the table; empty for none, or when it is one.

        A key goes before another name, and what has the role ``first`` before what has not; nothing that is kept out.
        """
        names = {key: name for key, name in self._names.finished(begun) if self._by_key[key].role is not Role.KEEP_OUT}
        best = next((name for key, name in names.items() if self._by_key[key].role is first), "")
        best = best or next(iter(names.values()), "")
        return best[len(begun) :]

    def with_own(self, own: Iterable[OwnMaterial]) -> MaterialTable:
        """A table with the keeper's own materials and values laid over this one; RefusedError lists what is wrong."""
        laid, problems = dict(self._by_key), list[Problem]()
        for each in own:
            try:
                row = laid.get(each.key) or taken_as(laid.get(str(each.values.get("like", ""))), each)
                laid[each.key] = laid_over(row, each)
            except RefusedError as refusal:
                problems.extend(refusal.problems)
        if problems:
            raise RefusedError(problems)
        return MaterialTable(laid.values())


def _searched(material: Material) -> tuple[str, ...]:
    return (material.key, material.name, material.role, material.pace, *material.aliases)


def _listed(keys: tuple[str, ...]) -> str:
    """Keys as a list in words."""
    return keys[0] if len(keys) == 1 else f"{', '.join(keys[:-1])} or {keys[-1]}"


@lru_cache(maxsize=1)
def default_table() -> MaterialTable:
    """The table that comes with the program, read once."""
    from wormbin.materials.table import read_materials

    return MaterialTable(read_materials())


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
    text, usual = _as_pieces(text, table, field, usual, kept_out)
    amount, words = parse_amount_of(text, field, expect=_MASS_OR_VOLUME, usual=usual)
    material = table.find(words, field, kept_out=kept_out)
    return Portion(material.key, kg_of(amount, material, field), amount.said)


SIZED_BY_MATERIAL = ("piece", "slice")
"""Household measures of which every material has its own."""


def _as_pieces(
    text: str, table: MaterialTable, field: str, usual: Mapping[str, str], kept_out: bool
) -> tuple[str, Mapping[str, str]]:
    """ "2 banana peels" as "2 pieces banana peels", with what one weighs; all else as it is.

    MissingError for so many of a material of which nobody knows what one weighs.
    """
    things = number_of_things(text)
    if things is None:
        return text, usual
    number, measure, words = things
    key = table.named(words)
    if not key and not measure and are_things(number, words) and table.misspelt(words):
        table.find(words, field, kept_out=kept_out)  # asks what was meant
    if not key or not (measure or are_things(number, words)):
        return text, usual
    word = measure or "piece"
    if (one := pieces().get((word, key))) is not None:
        usual = {word: f"{written(one.grams)} g"} | dict(usual)
    elif word in SIZED_BY_MATERIAL and word not in usual:
        table.find(words, field, kept_out=kept_out)
        grams = written(number * FOR_EXAMPLE_G)
        said = (
            f"{shown(text)}: what does one weigh? Weigh one: {written(number)} at {FOR_EXAMPLE_G} g are {grams} g. "
            f"Example: {grams} g {words}"
        )
        ask = Problem(field, shown(text), "a weight or a volume", f"{grams} g {words}", said=said)
        raise MissingError("measure", f"{word} {key}", ask)
    if measure:
        return text, usual
    return f"{written(number)} {word}{'' if number == 1 else 's'} {words}", usual
