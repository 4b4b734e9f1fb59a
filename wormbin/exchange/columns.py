"""The columns of every log file, in the order they are written; any order is read.

Those of a line's own are what the table of kinds says, after and between those that every row has.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from wormbin.records.kinds.castings import LOT_KINDS
from wormbin.records.kinds.fields import Description, Of
from wormbin.records.kinds.log import LOG_KINDS, Check

BINS = (
    "bin", "name", "length_cm", "width_cm", "depth_cm", "area_m2", "compartments", "drainage", "cover", "species",
    "site_temp_c", "method", "tare_kg", "started", "keeper", "ended", "harvest_share_pct", "beddings", "feeds",
    "feed_days", "extra",
)  # fmt: skip
BINS_NEEDED = ("bin",)
BINS_PLAIN = tuple(column for column in BINS if column not in ("name", "keeper", "extra"))


def _own(kinds: Iterable[Description[Any]]) -> tuple[str, ...]:
    """The columns that the fields of these kinds have."""
    return tuple(column for kind in kinds for column in kind.columns)


def _once(*columns: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(columns))


def _plain(columns: Iterable[str], kinds: Mapping[type, Description[Any]], *text: str) -> tuple[str, ...]:
    """The columns that hold numbers, dates and words of the program; ``text`` are those of every row that do not."""
    free = {field.column for kind in kinds.values() for field in kind.fields if field.of in _FREE}
    return tuple(column for column in columns if column not in free | {*_TEXT, *text})


_FREE = (Of.WORD, Of.WORDS, Of.BIN, Of.BINS, Of.LOT)
_TEXT = ("by", "note", "entry", "replaces", "struck", "struck_by", "said", "extra")
_STORY = ("by", "note", "entry", "replaces", "struck", "struck_by", "said", "struck_at")
"""Who wrote a row, and what became of it."""
_LAST = ("offset", "order", "extra")

LOG_NEEDED = ("when", "bin", "kind")
LOG_HEAD = frozenset((*LOG_NEEDED, "compartment", *(each for each in _STORY if each != "said"), *_LAST))
"""What every row of the log may say, whatever its kind."""
LOG = _once(
    *LOG_NEEDED, "material", "amount", "unit", *LOG_KINDS[Check].columns, "compartment", *_STORY, "count",
    "worms_out_kg", *_own(LOG_KINDS.values()), *_LAST,
)  # fmt: skip
LOG_PLAIN = _plain(LOG, LOG_KINDS, "bin", "material")

CASTINGS_NEEDED = ("when", "lot", "kind")
CASTINGS_HEAD = frozenset((*CASTINGS_NEEDED, *_STORY, *_LAST))
CASTINGS = _once(
    *CASTINGS_NEEDED, "source", "amount", "unit", "moisture_pct", "litres", "step", "for", "price",
    *(column for column in _own(LOT_KINDS.values()) if column != "said"), *_STORY, *_LAST,
)  # fmt: skip
CASTINGS_PLAIN = _plain(CASTINGS, LOT_KINDS, "lot")

MATERIALS = (
    "material", "name", "role", "pace", "nitrogen_pct", "carbon_pct", "ash_pct", "moisture_pct", "bulk_density_kg_m3",
    "water_holding", "by", "extra",
)  # fmt: skip
MATERIALS_NEEDED = ("material",)

SETTINGS = ("setting", "value")
SETTINGS_NEEDED = SETTINGS
