"""Where work with worms, manure, dust or buyers can hurt someone: what to mind, who says so, and when to show it.

None of it replaces local rules; a licensed professional decides.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

PRACTICE = "common practice, no source"


class Moment(StrEnum):
    """When a caution is shown."""

    START = "starting a bin"
    FEED = "feeding"
    MANURE = "feeding manure, hay or grass"
    HARVEST = "harvesting and screening"
    USE = "using castings"
    EXTRACT = "making an extract"
    SELL = "selling or giving away"
    WORMS = "moving or selling worms"
    SCHOOL = "children at the bin"
    TROUBLE = "mending trouble"
    HOT = "hot composting first"
    ALWAYS = "always"


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution: its code, the text, its source, and the moments it belongs to."""

    code: str
    text: str
    source: str
    when: tuple[Moment, ...]


CAUTIONS: tuple[Caution, ...] = (
    Caution(
        "rules",
        "Check your local rules for composting, food waste, schools and sales; a licensed professional decides.",
        PRACTICE,
        (Moment.ALWAYS,),
    ),
    Caution(
        "no-waste",
        "No pet or human waste: a worm bin does not kill germs and worm eggs. Roundworm (Ascaris) eggs lived "
        "through 90 days in one.",
        "Hill et al. 2013",
        (Moment.START, Moment.FEED, Moment.SCHOOL),
    ),
    Caution(
        "hands",
        "Wear gloves over cuts, and wash hands with soap after every look into the bin and before eating.",
        PRACTICE,
        (Moment.START, Moment.FEED, Moment.HARVEST, Moment.USE, Moment.TROUBLE, Moment.SCHOOL),
    ),
    Caution(
        "dust",
        "Damp dusty or mouldy stuff down before moving it, work in moving air, wear a mask and gloves, wash "
        "hands. Castings and potting mixes can carry mould and Legionella longbeachae: extra care with asthma, "
        "over age 50 or with weak immunity; ask a doctor.",
        PRACTICE,
        (Moment.START, Moment.HARVEST, Moment.USE, Moment.SCHOOL),
    ),
    Caution(
        "children",
        "Children wash hands afterwards, do not eat at the bin, and look at worms with damp hands. Grown-ups chop "
        "and lift. The school's own rules come first.",
        PRACTICE,
        (Moment.SCHOOL,),
    ),
    Caution(
        "lift",
        "Lift under 20 kg (44 lb) alone, share more or empty the box in parts. Pupils never lift a bin.",
        PRACTICE,
        (Moment.START, Moment.HARVEST, Moment.SCHOOL),
    ),
    Caution(
        "treated",
        "Ask what the animals and the field were treated with: wormers and fly treatments kill the herd; lasting "
        "weed killers pass through it and kill tomatoes and beans. Try each lot on cress or beans before use or "
        "sale.",
        PRACTICE,
        (Moment.MANURE, Moment.USE, Moment.SELL),
    ),
    Caution(
        "raw-manure",
        "Raw manure, also as bedding: 120 days before a harvest that touches the soil, 90 days before one that "
        "does not. Gloves on.",
        "7 CFR 205.203 (United States, organic growing)",
        (Moment.MANURE, Moment.USE),
    ),
    Caution(
        "hot-first",
        "Where germs matter the stuff is hot-composted first: 55 C (131 F) for 3 days in a vessel, or 15 days "
        "with 5 turns in a windrow, from a C:N of 25-40. A worm bin must never get that hot.",
        "7 CFR 205.203 (United States, organic growing)",
        (Moment.HOT, Moment.MANURE, Moment.SELL),
    ),
    Caution(
        "lime",
        "Against acid only calcium carbonate: ground eggshell, chalk or garden limestone, a dusting. Never "
        "slaked, burnt or caustic lime: it burns worms, skin and eyes.",
        PRACTICE,
        (Moment.TROUBLE,),
    ),
    Caution(
        "no-poison",
        "No insect spray or poison at the bin: what kills ants, flies or mites kills worms, and gets into the "
        "castings.",
        PRACTICE,
        (Moment.TROUBLE,),
    ),
    Caution(
        "salt",
        "Castings can be salty (up to 11.7 mmho/cm): 10-20 % of a potting mix, never over 40 %, none against "
        "young roots.",
        "NMSU H-164; Atiyeh et al. 2000",
        (Moment.USE,),
    ),
    Caution(
        "dressing",
        "On a pot that stands planted: strew about 1 cm on top, 0.3 L on a pot 20 cm across, keep it a finger's width "
        "off the stem, and water it in.",
        PRACTICE,
        (Moment.USE,),
    ),
    Caution(
        "own-trial",
        "Try a new lot on a few pots or on cress first: castings differ with what went in.",
        PRACTICE,
        (Moment.USE,),
    ),
    Caution(
        "extract",
        "An extract is bubbled with air for at most 24 h, without sugar or molasses, used the same day, on the soil "
        "of ornamentals only: keep it off anything that is eaten, above all raw. Steeped 24-48 h without air it may "
        "breed germs. With added sugar it counts as untreated.",
        "Ohio State, BioCycle 2007; 21 CFR 112 (United States)",
        (Moment.EXTRACT, Moment.SELL),
    ),
    Caution(
        "leachate",
        "What runs out at the base is leachate, not an extract: it may hold germs and acids. Pour it on "
        "ornamental soil, thinned, or away; never on food plants.",
        PRACTICE,
        (Moment.EXTRACT, Moment.TROUBLE),
    ),
    Caution(
        "selling",
        "Fertilizer and soil-amendment law is local law. Registration, labels and permits come first; claims "
        "about nutrients, disease or organic growing need them too. Ask the office for agriculture where you sell.",
        "United States state fertilizer laws, in general; check your own",
        (Moment.SELL,),
    ),
    Caution(
        "organic",
        "For certified growers: thin layers every 1-3 days, 70-90 % moisture; 12 months in an outdoor windrow, 4 "
        "months in an indoor container or wedge, 60 days in continuous flow. Keep the record; the certifier "
        "decides.",
        "NOSB Compost Task Force 2002",
        (Moment.SELL,),
    ),
    Caution(
        "release",
        "Composting worms are not let loose in woodland or near it: they change the forest floor. Dry, freeze or "
        "hot-compost castings before use beside one.",
        PRACTICE,
        (Moment.WORMS, Moment.USE, Moment.SELL),
    ),
    Caution(
        "jumping",
        "Never keep, sell or pass on jumping worms (they thrash like snakes; a smooth pale collar). Their cocoons "
        "die at 40 C (104 F) within 3 days.",
        "Johnston & Herrick 2019",
        (Moment.WORMS, Moment.MANURE, Moment.SELL),
    ),
)


def caution(code: str) -> Caution:
    """The caution with this code. Raises KeyError for another."""
    for each in CAUTIONS:
        if each.code == code:
            return each
    raise KeyError(code)


def cautions_for(moment: Moment) -> tuple[Caution, ...]:
    """The cautions to show at a moment, the general one last."""
    here = [each for each in CAUTIONS if moment in each.when and Moment.ALWAYS not in each.when]
    return (*here, *(each for each in CAUTIONS if Moment.ALWAYS in each.when))
