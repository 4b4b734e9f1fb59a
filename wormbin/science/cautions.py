"""Where work with worms, manure, dust or buyers can hurt someone: what to mind, and who says so.

None of it replaces local rules; a licensed professional decides.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

PRACTICE = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution and its source; where it is long, the same in a few words for beside the steps of a sign."""

    text: str
    source: str = PRACTICE
    brief: str = ""


CAUTIONS: Mapping[str, Caution] = MappingProxyType({
    "rules": Caution(
        "Check your local rules for composting, food waste, schools and sales. A licensed professional "
        "decides.",
    ),
    "no-waste": Caution(
        "No pet or human waste: a worm bin does not kill germs or worm eggs. In one, roundworm (Ascaris) eggs "
        "lived through 90 days.",
        "Hill et al. 2013",
    ),
    "hands": Caution(
        "Wear gloves over cuts. Wash your hands with soap after every look into the bin, and before you eat.",
        brief="wear gloves, and wash your hands after",
    ),
    "dust": Caution(
        "Damp dusty or mouldy stuff down before you move it. Work in moving air. Wear a mask and gloves, and wash your "
        "hands. Castings and potting mixes can carry mould and Legionella longbeachae. Take extra care with "
        "asthma, over age 50 or with weak immunity, and ask a doctor.",
        brief="damp it first: dust and mould hurt lungs. With asthma, let somebody else do it",
    ),
    "children": Caution(
        "Children wash their hands after, do not eat at the bin, and touch worms with damp hands. Grown-ups "
        "chop and lift. The school's own rules come first.",
    ),
    "lift": Caution(
        "Lift under 20 kg (44 lb) alone. Share more, or empty the box in parts. Pupils never lift a bin.",
    ),
    "treated": Caution(
        "Ask what the animals and the field were treated with. Wormers and fly treatments kill the worms. "
        "Some weed killers pass through the bin and kill tomatoes and beans. Try each lot on cress or beans "
        "before use or sale.",
    ),
    "hot-first": Caution(
        "Where germs matter, compost it hot first: 55 C (131 F) for 3 days in a vessel, from a C:N of 25-40. In a "
        "windrow it takes 15 days and 5 turns. A worm bin must never get that hot.",
        "7 CFR 205.203 (United States, organic growing)",
    ),
    "lime": Caution("never slaked or caustic lime: it burns hands and worms"),
    "no-poison": Caution("no spray or poison: it kills worms and stays in the castings"),
    "salt": Caution(
        "Castings can be salty (up to 11.7 mmho/cm). Use 10-20 % in a potting mix, never over 40 %, and none against "
        "young roots.",
        "NMSU H-164; Atiyeh et al. 2000",
    ),
    "dressing": Caution(
        "On a planted pot strew about 1 cm on top: 0.3 L on a pot 20 cm across. Keep it a finger's width off the "
        "stem, and water it in.",
    ),
    "own-trial": Caution(
        "Try a new lot on a few pots or on cress first: castings differ with what went in.",
    ),
    "extract": Caution(
        "Bubble an extract with air for at most 24 h, without sugar or molasses. Use it the same day, and only on "
        "the soil of ornamentals. Keep it off anything that is eaten, above all raw. Steeped 24-48 h "
        "without air it may breed germs. With added sugar it counts as untreated.",
        "Ohio State, BioCycle 2007; 21 CFR 112 (United States)",
    ),
    "leachate": Caution(
        "What runs out at the base is leachate, not an extract. It may hold germs and acids. Thin it and pour it on "
        "ornamental soil, or away, but never on food plants.",
        brief="what runs out is not tea: pour it on soil away from food crops",
    ),
    "selling": Caution(
        "The law on fertilizer and soil is local law. Registration, labels and permits come first. You need them for "
        "claims about nutrients, disease or organic growing, too. Ask the office for agriculture where you "
        "sell.",
        "United States state fertilizer laws, in general; check your own",
    ),
    "organic": Caution(
        "For certified growers: thin layers every 1-3 days, 70-90 % moisture. That takes 12 months in an outdoor "
        "windrow, 4 months in an indoor box or wedge, 60 days in continuous flow. Keep the record. The "
        "certifier decides.",
        "NOSB Compost Task Force 2002",
    ),
    "release": Caution(
        "Never let composting worms loose in or near woodland: they change the forest floor. Dry, freeze "
        "or hot-compost castings before you use them there.",
    ),
    "jumping": Caution(
        "Never keep, sell or pass on jumping worms (they thrash like snakes; a smooth pale collar). Their "
        "cocoons die at 40 C (104 F) within 3 days.",
        "Johnston & Herrick 2019",
    ),
})  # fmt: skip
"""By code."""
SELLING = ("treated", "hot-first", "extract", "selling", "organic", "release", "jumping", "rules")
"""What is told beside a lot that may be sold or given away, local rules last."""
