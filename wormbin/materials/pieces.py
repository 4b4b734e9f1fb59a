"""What one of a thing weighs: "2 banana peels", "a slice of bread", with its range and its source."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path


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
