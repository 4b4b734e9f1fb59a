"""Every number that the process model runs on, in one place: value, unit, allowed range, and where it comes from."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any


def _number(value: float, unit: str, low: float, high: float, source: str) -> Any:
    """A parameter as a dataclass field; ``source`` is a publication, "from memory", or "calibrated on ..."."""
    return field(default=value, metadata={"unit": unit, "low": low, "high": high, "source": source})


_CHOICE = "our choice, calibrated on the published cases"


@dataclass(frozen=True, slots=True, eq=False)
class Parameters:
    """The one default set; a field's metadata hold its unit, range and source.

    Compared by identity, so that what is worked out from a set can be kept at no cost.
    """

    # What worms eat. Live kg of worms, dry kg (volatile) of feed.
    appetite: float = _number(0.19, "kg dry / kg worms / day at 25 C", 0.05, 0.4, _CHOICE)
    half_days: float = _number(0.9, "days of appetite at which eating is half", 0.2, 5.0, _CHOICE)
    softens: float = _number(0.5, "share of raw feed a day at 20 C", 0.2, 2.0, "our choice: eaten once it has softened")
    softens_fibre: float = _number(0.028, "share of raw fibre a day at 20 C", 0.01, 0.3, _CHOICE)
    growth: float = _number(0.40, "kg worms / kg dry eaten", 0.1, 1.0, _CHOICE)
    young: float = _number(0.13, "power of how much smaller", 0.0, 0.3, "calibrated on published curves of hatchlings")
    grown_mg: float = _number(450.0, "mg, a worm of a mixed herd", 200.0, 900.0, "about 1,000 a pound (published)")
    heavy_mg: float = _number(
        1100, "mg, a worm that grows no more", 600.0, 2000.0, "peaks of 0.3-1.3 g: Garg 2005, Dominguez 2000"
    )
    upkeep: float = _number(0.006, "share of the herd a day at 25 C", 0.002, 0.03, _CHOICE)
    like_quick: float = _number(1.0, "preference, 0-1", 0.2, 1.0, _CHOICE)
    like_steady: float = _number(0.8, "preference, 0-1", 0.2, 1.0, _CHOICE)
    like_slow: float = _number(0.2, "preference, 0-1", 0.0, 1.0, _CHOICE)
    like_aged: float = _number(0.7, "preference, 0-1", 0.1, 1.0, _CHOICE)
    like_fibre: float = _number(0.014, "preference, 0-1", 0.0, 0.5, _CHOICE)
    like_hard: float = _number(0.0078, "preference, 0-1", 0.0, 0.5, _CHOICE)
    crowds: float = _number(0.2, "share of the appetite lost in a full bed", 0.0, 1.0, _CHOICE)
    crowd_loss: float = _number(0.002, "share of the herd a day in a full bed", 0.0, 0.03, _CHOICE)
    starves: float = _number(
        0.024,
        "share of the herd a day with nothing to eat",
        0.0,
        0.08,
        "a herd whose feed is out falls by half in three weeks: Fernandez-Gomez 2011",
    )
    # What microbes burn and humify, per day at 20 C, where no worms are.
    decay_quick: float = _number(
        0.02, "share a day at 20 C", 0.005, 0.1, "0.01-0.03 without worms: a thesis of Makerere University"
    )
    decay_steady: float = _number(0.012, "share a day at 20 C", 0.005, 0.1, _CHOICE)
    decay_slow: float = _number(0.004, "share a day at 20 C", 0.001, 0.02, _CHOICE)
    decay_aged: float = _number(0.0035, "share a day at 20 C", 0.001, 0.02, _CHOICE)
    decay_fibre: float = _number(0.0046, "share a day at 20 C", 0.001, 0.02, _CHOICE)
    decay_hard: float = _number(
        0.0034, "share a day at 20 C", 0.001, 0.02, "without worms 0.002-0.004: Aira 2006, from memory"
    )
    decay_casts: float = _number(
        0.005, "share a day at 20 C, fresh", 0.002, 0.012, "0.3 % a day after a year of layers: Yadav 2010"
    )
    decay_castings: float = _number(0.0008, "share a day at 20 C, old", 0.0, 0.004, _CHOICE)
    settles: float = _number(
        0.022,
        "share of fresh castings a day that grow old at 20 C",
        0.005,
        0.06,
        "quiet after about half a year: Gomez-Brandon 2013",
    )
    stirs: float = _number(1.0, "how much faster microbes work among worms, at most", 0.0, 3.0, _CHOICE)
    stirs_kg_m2: float = _number(0.3, "kg worms / m2 at which half of that is reached", 0.05, 1.0, "our choice")
    # What becomes castings of volatile matter eaten, and of volatile matter decayed.
    cast_quick: float = _number(0.55, "kg castings / kg eaten", 0.2, 0.9, _CHOICE)
    cast_steady: float = _number(0.62, "kg castings / kg eaten", 0.2, 0.9, _CHOICE)
    cast_slow: float = _number(0.70, "kg castings / kg eaten", 0.2, 0.9, _CHOICE)
    cast_aged: float = _number(0.68, "kg castings / kg eaten", 0.2, 0.9, _CHOICE)
    cast_fibre: float = _number(0.65, "kg castings / kg eaten", 0.2, 0.9, _CHOICE)
    humus_quick: float = _number(0.36, "kg humus / kg decayed", 0.0, 0.8, _CHOICE)
    humus_steady: float = _number(0.35, "kg humus / kg decayed", 0.0, 0.8, _CHOICE)
    humus_slow: float = _number(0.50, "kg humus / kg decayed", 0.0, 0.8, _CHOICE)
    humus_aged: float = _number(0.5, "kg humus / kg decayed", 0.0, 0.8, _CHOICE)
    humus_fibre: float = _number(0.70, "kg humus / kg decayed", 0.0, 0.8, _CHOICE)
    # Nitrogen.
    ammonia_under: float = _number(15.0, "C:N of unfinished matter", 8.0, 25.0, _CHOICE)
    ammonia_rate: float = _number(0.05, "share of surplus nitrogen a day", 0.0, 0.3, _CHOICE)
    # The animals' own make-up.
    worm_dry: float = _number(0.18, "kg dry / kg live", 0.14, 0.24, "from memory")
    worm_carbon: float = _number(0.45, "kg carbon / kg dry", 0.4, 0.5, "from memory")
    worm_nitrogen: float = _number(0.10, "kg nitrogen / kg dry", 0.08, 0.12, "from memory")
    room_m2: float = _number(8.0, "kg worms / m2", 4.0, 15.0, "our choice; 5 kg/m2 is the most to plan for")
    room_kg: float = _number(0.16, "kg worms / kg wet contents", 0.02, 0.2, "pots end at 24-31 g/kg: Dominguez 1997")
    # Water.
    water_made: float = _number(0.55, "kg water / kg dry burned", 0.5, 0.6, "worked out: C6H10O5 + 6 O2")
    evaporation_open: float = _number(1.4, "kg/m2/day at 20 C and 50 % humidity", 1.0, 2.0, "from memory")
    evaporation_loose: float = _number(0.45, "kg/m2/day at 20 C and 50 % humidity", 0.4, 0.8, "from memory")
    evaporation_closed: float = _number(0.18, "kg/m2/day at 20 C and 50 % humidity", 0.1, 0.3, "from memory")
    evaporation_under: float = _number(0.15, "share of that from a tray with others above", 0.0, 1.0, "our choice")
    holds_quick: float = _number(7.5, "kg water / kg dry", 3.0, 9.0, "our choice: its cells hold it")
    holds_steady: float = _number(4.0, "kg water / kg dry", 1.5, 6.0, "our choice")
    holds_slow: float = _number(3.0, "kg water / kg dry", 1.0, 5.0, "our choice")
    holds_aged: float = _number(6.0, "kg water / kg dry", 3.0, 6.0, "kitchen-waste compost 3.3-4.3, manure more")
    holds_fibre: float = _number(4.5, "kg water / kg dry", 2.0, 5.0, "softened board and paper; our choice")
    holds_castings: float = _number(3.5, "kg water / kg dry", 2.5, 4.5, "kitchen-waste compost 3.3-4.3 (published)")
    runs_out: float = _number(1.5, "share of the surplus water a day", 0.3, 6.0, "our choice")
    # Room taken, settled, m3 per kg dry.
    bulk_quick: float = _number(0.012, "m3 / kg dry", 0.006, 0.03, "our choice: scraps near 600 kg/m3 wet")
    bulk_steady: float = _number(0.005, "m3 / kg dry", 0.003, 0.01, "our choice: spent coffee near 500 kg/m3 wet")
    bulk_slow: float = _number(0.008, "m3 / kg dry", 0.004, 0.02, "our choice")
    bulk_aged: float = _number(0.0078, "m3 / kg dry", 0.003, 0.012, "our choice: manure near 800 kg/m3 wet")
    bulk_fibre: float = _number(0.013, "m3 / kg dry", 0.006, 0.03, "a fresh bin weighs 250-450 kg/m3 wet")
    bulk_castings: float = _number(0.005, "m3 / kg dry", 0.0035, 0.008, "finished castings weigh 750-900 kg/m3 wet")
    # Air and heat.
    heap_m: float = _number(0.03, "m of fresh feed in a layer", 0.02, 0.1, "layers of 2.5-4 cm at most (published)")
    heap_open: float = _number(0.3, "share of its work that goes on in a high heap", 0.1, 1.0, _CHOICE)
    airless: float = _number(0.15, "share of the work that goes on without air", 0.0, 0.5, "our choice")
    heat_mj: float = _number(20.0, "MJ / kg dry burned", 17.0, 22.0, "Haug 1993, from memory")
    latent_mj: float = _number(2.45, "MJ / kg water evaporated", 2.4, 2.5, "textbook value")
    heat_loss: float = _number(3.0, "W/m2/K of outer surface", 2.0, 5.0, "our choice")
    # Compartments.
    moving: float = _number(0.12, "share of the herd a day that goes where the feed is", 0.02, 0.5, "our choice")


DEFAULT = Parameters()
