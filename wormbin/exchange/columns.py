"""The columns of every log file, in the order they are written; any order is read."""

from __future__ import annotations

BINS = (
    "bin", "name", "length_cm", "width_cm", "depth_cm", "area_m2", "compartments", "drainage", "cover", "species",
    "site_temp_c", "method", "tare_kg", "started", "keeper", "ended", "harvest_share_pct", "extra",
)  # fmt: skip
BINS_NEEDED = ("bin",)
BINS_PLAIN = tuple(column for column in BINS if column not in ("name", "keeper", "extra"))

LOG = (
    "when", "bin", "kind", "material", "amount", "unit", "moisture_pct", "moisture_by", "squeeze", "temp_c", "left_pct",
    "contents_cm", "smell", "seen", "ph", "compartment", "by", "note", "entry", "replaces", "struck", "struck_by",
    "said", "struck_at", "count", "worms_out_kg", "left_behind_pct", "lot",
    "unknown_from", "unknown_until", "offset",
    "order", "extra",
)  # fmt: skip
LOG_NEEDED = ("when", "bin", "kind")
LOG_PLAIN = (
    "when", "kind", "amount", "unit", "moisture_pct", "moisture_by", "squeeze", "temp_c", "left_pct", "contents_cm",
    "ph", "compartment", "struck_at", "count", "worms_out_kg", "left_behind_pct", "unknown_from", "unknown_until",
    "offset", "order",
)  # fmt: skip

CASTINGS = (
    "when", "lot", "kind", "source", "amount", "unit", "moisture_pct", "litres", "step", "for", "price", "by", "note",
    "entry", "replaces", "struck", "struck_by", "said", "struck_at", "offset", "order", "extra",
)  # fmt: skip
CASTINGS_NEEDED = ("when", "lot", "kind")
CASTINGS_PLAIN = (
    "when",
    "kind",
    "amount",
    "unit",
    "moisture_pct",
    "litres",
    "step",
    "price",
    "struck_at",
    "offset",
    "order",
)

MATERIALS = (
    "material", "name", "role", "pace", "nitrogen_pct", "carbon_pct", "ash_pct", "moisture_pct", "bulk_density_kg_m3",
    "water_holding", "by", "extra",
)  # fmt: skip
MATERIALS_NEEDED = ("material",)

SETTINGS = ("setting", "value")
SETTINGS_NEEDED = SETTINGS
