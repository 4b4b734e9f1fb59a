"""What is seen or smelt at a bin, what it likely means and what to do; and the five steps when worms are dying."""

from __future__ import annotations

from dataclasses import dataclass

from wormbin.figures import Level

MITES = "NC State Extension, Controlling Mite Pests in Earthworm Beds"
SAN_MATEO = "San Mateo County RecycleWorks"
METRO = "Oregon Metro"
EULESS = "City of Euless"
HANDBOOK = "Handbook of Vermicomposting, ch. 8"
ECOLOGY = "Edwards ed., Earthworm Ecology 2004, Table 18.3"
PRACTICE = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Sign:
    """One thing that is noticed. ``likely`` and ``do`` are short phrases, most telling first; ``level`` how grave.

    ``cautions`` are codes of ``science.cautions`` that go with what is done. ``emergency``: the five steps come first.
    """

    code: str
    seen: str
    likely: tuple[str, ...]
    do: tuple[str, ...]
    source: str
    level: Level
    cautions: tuple[str, ...] = ()
    emergency: bool = False


LET_OUT, TIP_OUT = "let standing water out", "tip or draw off standing water"
"""What is done about water at the base: with holes in it, and without."""
EMERGENCY: tuple[str, ...] = (
    "Stop feeding. Take out food that is hot, slimy, mouldy or sharp to the nose.",
    (
        "Open it. Take the lid off. Move it into shade and moving air, 15-25 C, with a light above. Lift everything "
        "loosely down to the base with your hands. Let standing water out."
    ),
    (
        "Make a refuge. Push everything to one half. Fill the other half with fresh shredded bedding, damp as a "
        "wrung-out sponge, without food."
    ),
    (
        "Measure, and write it down as a check. Squeeze a handful from the base. Read the temperature in the middle. "
        "Note the smell, and the pH if you can."
    ),
    (
        "Rescue the living. Are they still dying after an hour? Is it over 32 C, or does it smell rotten or of "
        "ammonia? Then pick the lively worms into another box, cool and dark. Give them a few cm of fresh damp "
        "bedding. Take the dead out."
    ),
)
"""What to do now, before any sum. Order and wording are common practice; limits after Earthworm Ecology 2004 and Kaplan
et al. 1980."""
EMERGENCY_SOURCE = f"{HANDBOOK}; {ECOLOGY}; Kaplan et al. 1980; the order of the steps is common practice"

_S, _W, _A = Level.STEADY, Level.WATCH, Level.ACT

SIGNS: tuple[Sign, ...] = (
    Sign(
        "dying",
        "worms dying, limp or dead",
        ("a sour bed", "too hot or too cold", "no air", "salt", "too dry"),
        (
            "take the five steps",
            "measure squeeze, temperature, smell and pH",
            "rescue the lively ones to fresh bedding",
        ),
        f"{HANDBOOK}; {ECOLOGY}",
        _A,
        ("hands", "lime"),
        emergency=True,
    ),
    Sign(
        "leaving",
        "worms climbing the walls or leaving",
        ("a new bin", "too wet or too dry", "a sour bed", "a storm coming"),
        ("set the moisture right", "leave a light on for the first nights", "fluff, and feed less"),
        f"{SAN_MATEO}; {HANDBOOK}",
        _A,
        emergency=True,
    ),
    Sign(
        "smell-rotten",
        "a rotten or sulphur smell",
        ("too much food", "no air", "too wet", "meat or dairy in it"),
        (
            "stop feeding for at least a week",
            "take out meat, dairy and slimy lumps",
            "fluff daily, open the vents",
            "mix in dry shredded bedding",
        ),
        f"{METRO}; {SAN_MATEO}",
        _A,
        ("hands", "dust"),
    ),
    Sign(
        "smell-ammonia",
        "an ammonia smell",
        ("food rich in nitrogen: poultry manure, grass, protein",),
        ("take the rich food out", "mix in shredded cardboard or leaves", "take the lid off and fluff"),
        f"{HANDBOOK}; {ECOLOGY}",
        _A,
        ("hands",),
    ),
    Sign(
        "smell-sour",
        "a sour or vinegar smell",
        ("fruit, citrus or starch gone sour",),
        ("stop feeding", "fluff", "dust it with ground eggshell or ground limestone, never slaked or caustic lime"),
        MITES,
        _W,
        ("lime",),
    ),
    Sign(
        "flies",
        "fruit flies",
        ("food lies open",),
        ("bury the food", "cover it with 3-5 cm of bedding", "set a trap beside the bin: vinegar with a drop of soap"),
        f"{METRO}; {SAN_MATEO}",
        _W,
        ("no-poison",),
    ),
    Sign(
        "mites",
        "white or brown mites",
        ("too wet", "too much food", "a sour bed"),
        ("give less water and less food", "let air and light in", "lay out bread or melon as bait, lift it out daily"),
        MITES,
        _W,
        ("no-poison",),
    ),
    Sign(
        "red-mites",
        "red mites",
        ("a wet, sour or overfed bed brings them",),
        ("at once give less water and food, more air and light", "lay out bread or melon as bait, lift it out daily"),
        MITES,
        _A,
        ("no-poison",),
    ),
    Sign(
        "pot-worms",
        "pot worms or springtails",
        ("sour, starchy or damp food",),
        ("they do no harm: mend the cause", "feed less bread, pasta and fruit"),
        f"{MITES}; {SAN_MATEO}",
        _S,
    ),
    Sign(
        "ants",
        "ants",
        ("too dry",),
        ("wet the bedding", "stand the legs in water", "use no poison"),
        METRO,
        _W,
        ("no-poison",),
    ),
    Sign(
        "soldier-flies",
        "soldier-fly larvae, gnats or cockroaches",
        ("food lies open", "it is rich or warm"),
        ("bury and cover the food", "put mesh over the vents", "feed less"),
        EULESS,
        _W,
        ("no-poison",),
    ),
    Sign(
        "rodents",
        "rodents or slugs",
        ("food within reach", "gaps in the box"),
        ("leave out cooked food", "close gaps with mesh", "raise the bin off the ground"),
        METRO,
        _W,
        ("hands", "dust"),
    ),
    Sign(
        "hunters",
        "centipedes or flatworms",
        ("they came in with soil",),
        ("pick them out with gloves on", "raise the bin off the ground"),
        EULESS,
        _W,
        ("hands",),
    ),
    Sign(
        "mould",
        "mould on the food",
        ("more fresh food than they eat",),
        ("bury it", "feed less", "with asthma, let somebody else do it"),
        PRACTICE,
        _W,
        ("dust",),
    ),
    Sign(
        "pale-worms",
        "worms pale or small, few cocoons",
        ("too little food", "too many worms", "old castings"),
        ("harvest and lay fresh bedding", "feed", "split the bin"),
        f"{HANDBOOK}; {ECOLOGY}",
        _W,
    ),
    Sign(
        "swollen-worms",
        "worms lumpy or swollen",
        ("rich or fermenting food: growers think so, no study says it",),
        ("take the newest food out", "dust it with ground limestone (calcium carbonate)", "let air in"),
        PRACTICE,
        _A,
        ("lime",),
    ),
    Sign(
        "water-base",
        "water in the base",
        ("food is 80-90 % water and nothing soaks it up",),
        ("let it out", "mix in dry shredded bedding, most at the base", "feed drier things for a while"),
        SAN_MATEO,
        _W,
        ("leachate",),
    ),
    Sign(
        "hot",
        "over 30 C (86 F) in the bedding",
        ("a heap of food heats up", "sun"),
        ("spread the food thin or take it out", "shade it and open the lid", "lay a frozen bottle on top"),
        f"{ECOLOGY}; {METRO}",
        _A,
    ),
    Sign(
        "cold",
        "under 10 C (50 F) in the bedding",
        ("winter",),
        ("wrap it, or move it in", "feed less: in the cold they eat little"),
        f"{ECOLOGY}; {METRO}",
        _W,
    ),
)


def sign(code: str) -> Sign:
    """The sign with this code. Raises KeyError for another."""
    for each in SIGNS:
        if each.code == code:
            return each
    raise KeyError(code)
