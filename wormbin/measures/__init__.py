"""Floor 1: measures and dates as keepers write them, read into SI and printed back."""

from wormbin.measures.amounts import Amount, Dimension, Unit, parse_amount, parse_amount_of, parse_percent
from wormbin.measures.dates import parse_date, parse_last, parse_when, says_time
from wormbin.measures.numbers import parse_number, written_exactly
from wormbin.measures.printing import (
    area,
    density,
    exact,
    length,
    mass,
    percent,
    poured,
    scooped,
    temperature,
    told,
    volume,
)
from wormbin.measures.units import system_of
from wormbin.measures.words import counted, shown, tidy

__all__ = [
    "Amount",
    "Dimension",
    "Unit",
    "area",
    "counted",
    "density",
    "exact",
    "length",
    "mass",
    "parse_amount",
    "parse_amount_of",
    "parse_date",
    "parse_last",
    "parse_number",
    "parse_percent",
    "parse_when",
    "percent",
    "poured",
    "says_time",
    "scooped",
    "shown",
    "system_of",
    "temperature",
    "tidy",
    "told",
    "volume",
    "written_exactly",
]
