"""The units that keepers write, metric and US customary, with their exact factors to SI.

US customary factors: NIST Handbook 44, Appendix C, and NIST Special Publication 811 (2008), Appendix B. US measures of
capacity are the liquid ones (gallon of 231 cubic inches), which kitchen cups, jugs and buckets are marked in.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Dimension(StrEnum):
    """What kind of thing is measured."""

    MASS = "mass"
    VOLUME = "volume"
    LENGTH = "length"
    AREA = "area"
    TEMPERATURE = "temperature"
    COUNT = "count"
    FRACTION = "fraction"
    TIME = "time"


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit: SI value = (value + ``shift``) * ``factor``, in kg, L, m, m2, degC, worms, fraction or days."""

    name: str
    dimension: Dimension
    factor: float
    shift: float = 0.0


POUND_KG = 0.45359237
INCH_M = 0.0254
FOOT_M = 12 * INCH_M
GALLON_L = 3.785411784
LB_FT2 = FOOT_M**2 / POUND_KG
"""A kg/m2 in lb/ft2."""
LB_FT3 = FOOT_M**3 / POUND_KG
"""A kg/m3 in lb/ft3."""

_M, _V, _L, _A = Dimension.MASS, Dimension.VOLUME, Dimension.LENGTH, Dimension.AREA

_TABLE: tuple[tuple[Unit, str], ...] = (
    (Unit("mg", _M, 1e-6), "mg milligram milligrams"),
    (Unit("g", _M, 1e-3), "g gm gms gram grams gramme grammes"),
    (Unit("kg", _M, 1.0), "kg kgs kilo kilos kilogram kilograms kilogramme kilogrammes"),
    (Unit("tonne", _M, 1000.0), "tonne tonnes metric_ton metric_tons"),
    (Unit("oz", _M, POUND_KG / 16), "oz ozs ounce ounces"),
    (Unit("lb", _M, POUND_KG), "lb lbs pound pounds"),
    (Unit("mL", _V, 1e-3), "ml mls cc cm3 millilitre millilitres milliliter milliliters"),
    (Unit("cL", _V, 1e-2), "cl centilitre centilitres"),
    (Unit("dL", _V, 1e-1), "dl decilitre decilitres deciliter deciliters"),
    (Unit("L", _V, 1.0), "l ltr litre litres liter liters dm3"),
    (Unit("m3", _V, 1000.0), "m3 cubic_metre cubic_metres cubic_meter cubic_meters"),
    (Unit("tsp", _V, GALLON_L / 768), "tsp tsps teaspoon teaspoons"),
    (Unit("tbsp", _V, GALLON_L / 256), "tbsp tbsps tablespoon tablespoons"),
    (Unit("fl oz", _V, GALLON_L / 128), "fl_oz floz fluid_ounce fluid_ounces"),
    (Unit("cup", _V, GALLON_L / 16), "cup cups"),
    (Unit("pt", _V, GALLON_L / 8), "pt pts pint pints"),
    (Unit("qt", _V, GALLON_L / 4), "qt qts quart quarts"),
    (Unit("gal", _V, GALLON_L), "gal gals gallon gallons"),
    (Unit("ft3", _V, FOOT_M**3 * 1000), "ft3 cu_ft cuft cubic_foot cubic_feet"),
    (Unit("yd3", _V, (36 * INCH_M) ** 3 * 1000), "yd3 cu_yd cubic_yard cubic_yards"),
    (Unit("mm", _L, 1e-3), "mm millimetre millimetres millimeter millimeters"),
    (Unit("cm", _L, 1e-2), "cm cms centimetre centimetres centimeter centimeters"),
    (Unit("m", _L, 1.0), "m metre metres meter meters"),
    (Unit("in", _L, INCH_M), 'in ins inch inches "'),
    (Unit("ft", _L, FOOT_M), "ft foot feet '"),
    (Unit("yd", _L, 36 * INCH_M), "yd yds yard yards"),
    (Unit("cm2", _A, 1e-4), "cm2 sq_cm sqcm square_centimetre square_centimetres square_centimeters"),
    (Unit("m2", _A, 1.0), "m2 sq_m sqm square_metre square_metres square_meter square_meters"),
    (Unit("in2", _A, INCH_M**2), "in2 sq_in sqin square_inch square_inches"),
    (Unit("ft2", _A, FOOT_M**2), "ft2 sq_ft sqft square_foot square_feet"),
    (Unit("°C", Dimension.TEMPERATURE, 1.0), "°c celsius deg_c degc degrees_c degrees_celsius centigrade"),
    (Unit("°F", Dimension.TEMPERATURE, 5 / 9, -32.0), "f °f fahrenheit deg_f degf degrees_f degrees_fahrenheit"),
    (Unit("worms", Dimension.COUNT, 1.0), "worm worms"),
    (Unit("%", Dimension.FRACTION, 0.01), "% percent per_cent pct"),
    (Unit("d", Dimension.TIME, 1.0), "d day days"),
    (Unit("h", Dimension.TIME, 1 / 24), "h hr hrs hour hours"),
    (Unit("weeks", Dimension.TIME, 7.0), "wk wks week weeks"),
)

UNITS: dict[str, Unit] = {alias.replace("_", " "): unit for unit, aliases in _TABLE for alias in aliases.split()}

_METRIC = frozenset({"mg", "g", "kg", "tonne", "mL", "cL", "dL", "L", "m3", "mm", "cm", "m", "cm2", "m2", "°C"})
_US = frozenset({"oz", "lb", "fl oz", "pt", "qt", "gal", "ft3", "yd3", "in", "ft", "yd", "in2", "ft2", "°F"})


def system_of(said: str) -> str:
    """ "metric" or "us" for an amount in words ("300 g", "2 lbs"); "" for what belongs to both, or to neither."""
    words = said.lstrip("0123456789.,/ +-~").strip().lower()
    unit = UNITS.get(words)
    if unit is None:
        return ""
    return "metric" if unit.name in _METRIC else "us" if unit.name in _US else ""


# Letters that mean two things; the keeper is asked, unless what is being asked for settles it.
UNCLEAR: dict[str, tuple[str, ...]] = {
    "c": ("°C", "cup"),
    "t": ("tonne", "tbsp", "tsp"),
    "ton": ("tonne", "lb"),
    "tons": ("tonne", "lb"),
    "gr": ("g", "oz"),
    "Mg": ("mg", "tonne"),
    "degrees": ("°C", "°F"),
    "degree": ("°C", "°F"),
    "deg": ("°C", "°F"),
    "°": ("°C", "°F"),
}

# Household words without a size of their own; they need the keeper's own measure ("handful" = "40 g").
HANDY = (
    "handful", "pinch", "scoop", "bucket", "pail", "tub", "box", "bag", "bowl", "trowel", "spoonful", "cupful",
    "jug", "tray", "armful", "sheet", "piece", "slice", "mug", "glass", "container", "tin", "can",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Ask:
    """What a dimension is called to the keeper, an example, the units offered, and the SI range that is believed."""

    words: str
    example: str
    offered: tuple[str, ...]
    low: float
    high: float
    si_unit: str = ""


ASK: dict[Dimension, Ask] = {
    Dimension.MASS: Ask("a weight in g, kg, oz or lb", "350 g", ("g", "kg", "oz", "lb"), 0.0, 100_000.0, "kg"),
    Dimension.VOLUME: Ask(
        "a volume in mL, L, cups, quarts or gallons", "2 L", ("mL", "L", "cup", "qt", "gal"), 0.0, 100_000.0, "L"
    ),
    Dimension.LENGTH: Ask("a length in cm, m, in or ft", "18 cm", ("cm", "in", "m"), 0.0, 1_000.0, "m"),
    Dimension.AREA: Ask("an area in cm2, m2, in2 or ft2", "225 cm2", ("cm2", "m2", "ft2"), 0.0, 10_000.0, "m2"),
    Dimension.TEMPERATURE: Ask("a temperature from -60 to 100 °C, with its C or F", "21C", ("°C", "°F"), -60.0, 100.0),
    Dimension.COUNT: Ask("a whole number of worms", "500 worms", ("worms",), 0.0, 10_000_000.0, "worms"),
    Dimension.FRACTION: Ask("a share from 0% to 100%", "30%", ("%",), 0.0, 1.0),
    Dimension.TIME: Ask("a time in hours, days or weeks", "5 d", ("d", "h"), 0.0, 36_600.0, "days"),
}


WORM_KG = POUND_KG / 1000
"""Live mass of a worm in a mixed bin: about 1,000 to the pound (500 adults ... 2,000 young), as growers count them."""
