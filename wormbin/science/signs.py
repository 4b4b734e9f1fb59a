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


EMERGENCY: tuple[str, ...] = (
    "Stop feeding. Lift out feed that is hot, slimy, mouldy or sharp to the nose, and set it aside.",
    (
        "Open it. Lid off, into shade and moving air at 15-25 C, a light above. Lift the contents loosely down to the "
        "base with your hands, and let standing water out."
    ),
    (
        "Make a refuge: push the contents to one half and fill the other with fresh shredded bedding, damp as a "
        "wrung-out sponge, no feed in it."
    ),
    (
        "Measure, and write it down as a check: squeeze a handful from the base, temperature in the middle, smell, pH "
        "if you can."
    ),
    (
        "Rescue the living. Still dying after an hour, or over 32 C, a rotten or ammonia smell: pick the lively worms "
        "into a separate box of fresh damp bedding, a few cm deep, cool and dark. Take the dead out."
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
        ("sour bed", "too hot or too cold", "no air", "salt", "dry"),
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
        ("a new bin", "too wet or too dry", "sour bed", "a storm coming"),
        ("set the moisture right", "leave a light on for the first nights", "fluff, and hold back feed"),
        f"{SAN_MATEO}; {HANDBOOK}",
        _A,
        emergency=True,
    ),
    Sign(
        "smell-rotten",
        "a rotten or sulphur smell",
        ("too much feed", "no air", "too wet", "meat or dairy in it"),
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
        ("feed rich in nitrogen: poultry manure, grass, protein",),
        ("take the rich feed out", "mix in shredded cardboard or leaves", "lid off, fluff"),
        f"{HANDBOOK}; {ECOLOGY}",
        _A,
        ("hands",),
    ),
    Sign(
        "smell-sour",
        "a sour or vinegar smell",
        ("acid fermentation of fruit, citrus or starch",),
        ("stop feeding", "fluff", "dust with calcium carbonate or ground eggshell, never slaked or caustic lime"),
        MITES,
        _W,
        ("lime",),
    ),
    Sign(
        "flies",
        "fruit flies",
        ("feed uncovered",),
        (
            "bury the feed",
            "cover it with 3-5 cm of bedding",
            "set a trap of vinegar with a drop of soap beside the bin",
        ),
        f"{METRO}; {SAN_MATEO}",
        _W,
        ("no-poison",),
    ),
    Sign(
        "mites",
        "white or brown mites",
        ("too wet", "overfed", "sour bed"),
        ("less water and less feed", "air and light on it", "bread or melon slices as bait, lifted out daily"),
        MITES,
        _W,
        ("no-poison",),
    ),
    Sign(
        "red-mites",
        "red mites",
        ("a parasite that wet, overfed or sour beds bring on",),
        ("at once: less water and feed, air and light", "bait slices lifted out daily"),
        MITES,
        _A,
        ("no-poison",),
    ),
    Sign(
        "pot-worms",
        "pot worms or springtails",
        ("sour, starchy or damp feed",),
        ("harmless in themselves: correct the cause", "less bread, pasta and fruit"),
        f"{MITES}; {SAN_MATEO}",
        _S,
    ),
    Sign(
        "ants",
        "ants",
        ("too dry",),
        ("moisten the bedding", "stand the legs in water", "no poison"),
        METRO,
        _W,
        ("no-poison",),
    ),
    Sign(
        "soldier-flies",
        "soldier-fly larvae, gnats or cockroaches",
        ("exposed or rich feed", "warmth"),
        ("bury and cover the feed", "screen the vents", "feed less"),
        EULESS,
        _W,
        ("no-poison",),
    ),
    Sign(
        "rodents",
        "rodents or slugs",
        ("food within reach", "gaps in the box"),
        ("no cooked food", "close gaps with mesh", "raise the bin"),
        METRO,
        _W,
        ("hands", "dust"),
    ),
    Sign(
        "hunters",
        "centipedes or flatworms",
        ("they came in with soil",),
        ("pick them out by hand, gloves on", "raise the bin off the ground"),
        EULESS,
        _W,
        ("hands",),
    ),
    Sign(
        "mould",
        "mould on the feed",
        ("more fresh feed than is being eaten",),
        ("bury it", "feed less", "with asthma let somebody else do it"),
        PRACTICE,
        _W,
        ("dust",),
    ),
    Sign(
        "pale-worms",
        "worms pale or small, few cocoons",
        ("starved", "crowded", "old castings"),
        ("harvest and lay fresh bedding", "feed", "split the herd"),
        f"{HANDBOOK}; {ECOLOGY}",
        _W,
    ),
    Sign(
        "swollen-worms",
        "worms lumpy or swollen",
        ("rich or fermenting feed: growers' belief, no study found",),
        ("take the newest feed out", "dust with calcium carbonate", "air"),
        PRACTICE,
        _A,
        ("lime",),
    ),
    Sign(
        "water-base",
        "water in the base",
        ("feed is 80-90 % water and nothing takes it up",),
        ("let it out", "mix in dry shredded bedding, most at the base", "feed drier things for a while"),
        SAN_MATEO,
        _W,
        ("leachate",),
    ),
    Sign(
        "hot",
        "over 30 C (86 F) in the bedding",
        ("feed heating in bulk", "sun"),
        ("spread the feed out thin or take it out", "shade, lid open", "a frozen bottle on top"),
        f"{ECOLOGY}; {METRO}",
        _A,
    ),
    Sign(
        "cold",
        "under 10 C (50 F) in the bedding",
        ("winter",),
        ("insulate, or move it in", "feed less: in the cold little is eaten"),
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
