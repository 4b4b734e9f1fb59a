"""The kinds of line in a bin's log: one frozen class each, once validated, and what is asked and told of it.

A new kind is a member of ``Kind``, a class and a description here; then the model and the advice that use it.
What goes beyond single fields stays code: the sums beside a feeding and a survey, the rules of a check, a survey, a
move and a note across their fields (``rules``), the second line of a move, the lot of a harvest.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum

from wormbin.records.kinds.fields import Command, Description, Field, Of, Page, by_what
from wormbin.records.limits import MOST_BEHIND, NAME_LENGTH

UNLIKELY = "keep an unlikely amount without asking"


class Kind(StrEnum):
    """The one list of entry kinds, for records, commands and files."""

    STOCKING = "stocking"
    BEDDING = "bedding"
    FEEDING = "feeding"
    WATERING = "watering"
    DRAINING = "draining"
    CHECK = "check"
    WEIGHING = "weighing"
    SURVEY = "survey"
    MOVE = "move"
    FLUFF = "fluff"
    NOTE = "note"
    GUESS = "guess"
    HARVEST = "harvest"
    COMPARISON = "comparison"


class MoistureBy(StrEnum):
    """What a moisture reading was taken with."""

    METER = "meter"
    OVEN = "oven"
    SQUEEZE = "squeeze"


class Squeeze(StrEnum):
    """What a handful of bedding does when it is squeezed."""

    DRY = "dry"
    DAMP = "damp"
    SPONGE = "sponge"
    DRIPPING = "dripping"


class Measured(StrEnum):
    """What a comparison is about: the one quantity on which its answer rests."""

    WORKED = "worked"
    CASTINGS = "castings"
    MOISTURE = "moisture"
    TEMPERATURE = "temperature"
    WORMS = "worms"
    DEPTH = "depth"
    WEIGHT = "weight"


@dataclass(frozen=True, slots=True)
class Portion:
    """An amount of one material: its key in the material table, fresh mass in kg, and what the keeper said.

    ``moisture`` (fraction, wet basis) stands in for the table's value when the keeper knows better (soaked bedding).
    """

    material: str
    kg: float
    said: str = ""
    moisture: float | None = None


@dataclass(frozen=True, slots=True)
class Stocking:
    """Worms put in (``worms_kg`` > 0, live) or taken out for sale (``worms_kg`` < 0); the money and with whom."""

    worms_kg: float
    worms_count: int | None = None
    said: str = ""
    price: float | None = None
    who: str = ""


@dataclass(frozen=True, slots=True)
class Bedding:
    """Bedding put in."""

    portions: tuple[Portion, ...]


@dataclass(frozen=True, slots=True)
class Feeding:
    """Feed put in."""

    portions: tuple[Portion, ...]


@dataclass(frozen=True, slots=True)
class Watering:
    """Water put in, kg."""

    kg: float
    said: str = ""


@dataclass(frozen=True, slots=True)
class Draining:
    """Water let out at the base, kg."""

    kg: float
    said: str = ""


@dataclass(frozen=True, slots=True)
class Check:
    """What was seen on opening the bin; every field may be missing.

    ``moisture`` and ``left`` (of the last feeding, by eye) are fractions, ``contents_m`` is the ruler, ``temp_c`` the
    bedding's own temperature. A ``moisture`` by oven may carry the wet and dry grams it was worked out from.
    """

    moisture: float | None = None
    moisture_by: MoistureBy | None = None
    squeeze: Squeeze | None = None
    temp_c: float | None = None
    left: float | None = None
    contents_m: float | None = None
    smell: str = ""
    seen: tuple[str, ...] = ()
    ph: float | None = None


@dataclass(frozen=True, slots=True)
class Weighing:
    """Mass of what is in the bin, kg; ``with_box`` when the box was on the scale and its tare must come off."""

    kg: float
    with_box: bool = False
    said: str = ""


@dataclass(frozen=True, slots=True)
class Sample:
    """Worms found in one sample of ``area_m2``: a live mass in kg, a count, or both."""

    area_m2: float
    worms_kg: float | None = None
    worms_count: int | None = None
    said: str = ""


@dataclass(frozen=True, slots=True)
class Survey:
    """A worm survey: one or more equal-area samples taken on one occasion."""

    samples: tuple[Sample, ...]


@dataclass(frozen=True, slots=True)
class Move:
    """Worms moved between bins, live kg; ``into`` is True in the receiving bin's book, ``other`` is the other bin.

    The two halves share an id but for a trailing ``~`` on the receiving one, and are saved together or not at all.
    """

    worms_kg: float
    other: str
    into: bool = False
    said: str = ""


@dataclass(frozen=True, slots=True)
class Fluff:
    """The contents were lifted and loosened."""


@dataclass(frozen=True, slots=True)
class Note:
    """Words only; or, with both days, that nobody knows what was done from ``unknown_from`` to ``unknown_until``.

    Both days are included. The model takes them to have gone on about as usual, with a wide doubt.
    """

    unknown_from: date | None = field(default=None, repr=False)
    unknown_until: date | None = field(default=None, repr=False)


@dataclass(frozen=True, slots=True)
class Harvest:
    """Castings taken off, wet kg, with their moisture (fraction) if known and the live kg of worms lost with them.

    ``lot`` is the lot they went into, if any; the castings book then holds the other half of this line. ``left_behind``
    is the share (0-1) of all the castings there were that stayed in the bin, by eye.
    """

    castings_kg: float
    moisture: float | None = None
    worms_out_kg: float | None = None
    said: str = ""
    lot: str = ""
    left_behind: float | None = None


@dataclass(frozen=True, slots=True)
class Guess:
    """What somebody expected before the number was seen: moisture (fraction), live worms in all, day of the harvest.

    The model and the advice know nothing of it.
    """

    moisture: float | None = None
    worms_kg: float | None = None
    harvest: date | None = None


@dataclass(frozen=True, slots=True)
class Comparison:
    """This bin is held against ``others`` (keys) from the day of the line to ``until``, to answer ``question``.

    ``about`` is the quantity that answers it, ``same`` what is kept equal. Nothing is done to the bin.
    """

    others: tuple[str, ...]
    question: str
    about: Measured
    until: date
    same: tuple[str, ...] = ()


What = (
    Stocking | Bedding | Feeding | Watering | Draining | Check | Weighing | Survey | Move | Fluff | Note | Harvest
    | Comparison | Guess
)  # fmt: skip
NO_LOOK = (Note, Comparison, Guess)
"""Lines for which nobody had the lid open."""

LOG_KINDS = by_what(
    Description(
        Kind.FEEDING, Feeding, "fed {bucket}",
        (Field("bucket", Of.PORTIONS, "portions", "feed", example="300 g melon rind", column="amount"),),
        rank=7, command=Command("feed", "show what a feeding does to the bin, and save it", ()),
    ),
    Description(
        Kind.CHECK, Check,
        "{moisture}{moisture_by}{squeeze}{temp}{left}{depth}{ph}{smell}{seen}", bare="looked in",
        command=Command(
            "check", "write down what was seen on opening the bin",
            ("check kitchen --squeeze sponge --temp 21C --left 30%",
             "check kitchen --moisture 82 --depth 18cm --seen mites"),
            more="Every option may be left out, but not all of them. An unlikely value is asked about.",
            yes="keep unlikely values without asking",
        ),
        fields=(
            Field("moisture", Of.SHARE, "moisture", label="moisture meter %", example="82", column="moisture_pct",
                  option="--moisture", help="moisture in per cent, wet basis", low=0.0, high=1.0,
                  told=", moisture {}"),
            Field("moisture_by", Of.CHOICE, "moisture_by", "moisture-by", example="meter", column="moisture_by",
                  option="--moisture-by", help="what it was read with: meter, oven or squeeze",
                  choice=MoistureBy, told=" ({})"),
            Field("squeeze", Of.CHOICE, "squeeze", label="squeeze a handful", example="sponge", column="squeeze",
                  option="--squeeze", choice=Squeeze, told=", squeeze {}",
                  help="a squeezed handful: dry, damp, sponge (as wrung out: right) or dripping"),
            Field("temp", Of.TEMPERATURE, "temp_c", "temperature", "temperature inside", "21 C or 70 F", "temp_c",
                  "--temp", help="temperature of the bedding, 21C or 70F", low=-20.0, high=70.0, told=", {}"),
            Field("left", Of.SHARE, "left", "left of the last feeding", "left of last feed %", "30%", "left_pct",
                  "--left", help="share of the last feeding still there, by eye", low=0.0, high=1.0,
                  told=", {} of the feed left"),
            Field("depth", Of.LENGTH, "contents_m", "depth of the contents", "ruler: contents", "18 cm", "contents_cm",
                  "--depth", help="depth of the contents by the ruler", low=0.0, high=3.0, told=", {} deep"),
            Field("smell", Of.WORD, "smell", label="smell", example="earthy", column="smell", option="--smell",
                  help="what it smells of: earthy, sour, rotten, ammonia ...", told=", smells {}"),
            Field("seen", Of.WORDS, "seen", label="seen", example="mites", column="seen", option="--seen",
                  help="what was seen, parted by commas: mites, flies, worms climbing ...", told=", seen: {}"),
            Field("ph", Of.NUMBER, "ph", "pH", "pH", "7", "ph", "--ph", help="pH", low=0.0, high=14.0, told=", pH {}"),
            Field("oven_wet", Of.OVEN, named="oven-wet", example="10 g", option="--oven-wet",
                  help="an oven test: weight of the sample wet"),
            Field("oven_dry", Of.OVEN, named="oven-dry", example="2.3 g", option="--oven-dry",
                  help="an oven test: weight of the same sample dry"),
        ),
    ),
    Description(
        Kind.BEDDING, Bedding, "bedding {portions}",
        (Field("portions", Of.PORTIONS, "portions", "bedding", "bedding", "400 g shredded cardboard", "amount",
               metavar="AMOUNT_OF", many="*", help='what goes in: "200 g shredded cardboard"'),),
        rank=3,
        command=Command("bedding", "write down bedding put in", ('bedding kitchen "200 g shredded cardboard"',),
                        yes=UNLIKELY),
        page=Page("b", "bedding", "cardboard, paper or leaves put in",
                  "Several things: a semicolon between them. Dusty bedding: damp it down first, wear a mask.",
                  also=("cardboard", "paper", "leaves", "carbon", "browns", "cover")),
    ),
    Description(
        Kind.WATERING, Watering, "watered {amount}",
        (Field("amount", Of.WATER, "kg", "water", "water in", "0.5 L", "amount", metavar="AMOUNT", help="how much"),),
        rank=4,
        command=Command("water", "write down water put in", ('water kitchen "500 mL"',), yes=UNLIKELY),
        page=Page("w", "water", "sprinkled or poured in",
                  also=("dry", "spray", "sprinkle", "moisten")),
    ),
    Description(
        Kind.DRAINING, Draining, "drained {amount}",
        (Field("amount", Of.WATER, "kg", "water", "water let out", "0.3 L", "amount", metavar="AMOUNT",
               help="how much"),),
        rank=1,
        command=Command("drain", "write down water let out at the base", ('drain kitchen "1 cup"',), yes=UNLIKELY),
        page=Page("d", "drain", "let out at the base",
                  "What drips from a bin is not tea: keep it off food crops.",
                  also=("tea", "leachate", "liquid", "tap", "too wet", "water out")),
    ),
    Description(
        Kind.WEIGHING, Weighing, "weighed {amount}{box}",
        (Field("amount", Of.MASS, "kg", "weight", "weight", "6.4 kg", "amount", metavar="AMOUNT", help="the weight"),
         Field("box", Of.SWITCH, "with_box", label="box on the scale too?", example="yes", column="material",
               option="--with-box", help="the box was on the scale; its tare comes off", flag="tare",
               told=" with the box")),
        command=Command("weigh", "write down what the contents weigh", ('weigh kitchen "14.2 kg" --with-box',)),
        page=Page("g", "weigh", "the bin on a scale",
                  "Lift under 20 kg, or share the load; pupils never lift a bin.",
                  also=("scale", "weight")),
    ),
    Description(
        Kind.HARVEST, Harvest, "harvested {castings}{lot}{moisture}{worms_out}{left_behind}",
        (Field("castings", Of.CASTINGS, "castings_kg", label="castings off", example="4 kg", column="amount",
               metavar="AMOUNT", help="castings taken off, by weight or volume"),
         Field("moisture", Of.SHARE, "moisture", label="moisture, if known", example="70%", column="moisture_pct",
               option="--moisture", metavar="PER_CENT", help="moisture of the castings, if known",
               low=0.0, high=1.0, typed=(0.1, 0.95), told=", moisture {}"),
         Field("left_behind", Of.SHARE, "left_behind", "castings left behind", "share left behind", "30%",
               "left_behind_pct", "--left-behind", "PER_CENT", low=0.0, high=MOST_BEHIND,
               help="how much of all the castings stayed in the bin, by eye; then a small harvest teaches too",
               told=", {} of them left behind"),
         Field("worms_out", Of.WORMS, "worms_out_kg", "worms lost", "worms gone with it", "20 g", "worms_out_kg",
               "--worms-out", "AMOUNT", help="worms lost with them", nothing=True, told=", {} of worms lost"),
         Field("lot", Of.LOT, "lot", label="into a lot, if any", example="spring-26", column="lot", option="--lot",
               metavar="NAME", help="the lot they go into, new or begun (see castings)", told=" into lot {}")),
        rank=2,
        command=Command(
            "harvest", "write down castings taken off",
            ('harvest kitchen "4.5 kg" --moisture 70 --lot spring-26', 'harvest kitchen "6 L" --left-behind 30 --try'),
            yes=UNLIKELY,
        ),
        page=Page("h", "harvest", "castings taken off",
                  "Damp castings raise less dust; a mask and gloves, and wash hands after.",
                  also=("take castings off", "castings")),
    ),
    Description(
        Kind.SURVEY, Survey, "worm survey, {samples}",
        (Field("samples", Of.SAMPLES, "samples", label="worms in each sample", example="12 g; 9 g; 15 g",
               column="amount", metavar="WORMS", many="+", help="worms in each sample: 12 g, 25 worms"),
         Field("area", Of.AREA, named="sample", label="area of a sample", example="225 cm2", option="--sample",
               metavar="AREA", help="the surface of one sample: 225cm2")),
        command=Command("survey", "write down a worm survey: worms in samples of one size",
                        ('survey kitchen "12 g" "9 g" "15 g" --sample 225cm2',), yes=UNLIKELY),
        page=Page("v", "survey", "worms counted in samples",
                  "Equal areas, taken to the floor; worms washed and blotted before they are weighed.",
                  also=("count worms", "how many worms", "samples")),
    ),
    Description(
        Kind.STOCKING, Stocking, "worms {out}: {worms}{price}{who}",
        (Field("worms", Of.WORMS, "worms_kg", label="worms in", example="250 g or 500 worms", column="amount",
               metavar="AMOUNT", help="how many: 500 g, 1 lb, 250 worms"),
         Field("out", Of.OUTWARDS, "worms_kg", label="taken out instead?", example="yes", option="--out",
               help="taken out: sold or given away"),
         Field("price", Of.NUMBER, "price", label="money, if any", example="30", column="price", option="--price",
               metavar="MONEY", help="the money taken, or paid for them", low=0.0, high=1e9, told=", for {}"),
         Field("who", Of.WORD, "who", label="buyer or seller", example="Ana", column="who", option="--who",
               metavar="NAME", help="who took or brought them", told=", {}")),
        rank=6,
        command=Command("stock", "write down worms put in, or taken out",
                        ('stock kitchen "500 g"', 'stock kitchen "200 worms" --out'), yes=UNLIKELY),
        page=Page("k", "stock worms", "put in, or taken out",
                  also=("add worms", "buy worms", "take worms out")),
    ),
    Description(
        Kind.MOVE, Move, "worms moved {to}: {worms}",
        (Field("to", Of.BIN, "other", "other bin", label="to which bin", example="North crate",
               column="material", metavar="TO", help="to which bin"),
         Field("worms", Of.WORMS, "worms_kg", label="worms", example="150 g", column="amount", metavar="WORMS",
               help="how many: 200 g, 100 worms")),
        rank=5,
        command=Command("move", "write down worms moved to another bin, in both logs",
                        ('move kitchen balcony "200 g"',), bin="from which bin", yes=UNLIKELY),
        page=Page("m", "move worms", "to another bin of yours", "Both bins' books are written, or neither.",
                  also=("split", "divide", "another bin")),
    ),
    Description(
        Kind.FLUFF, Fluff, "fluffed", rank=8,
        command=Command("fluff", "write down that the contents were lifted and loosened", ("fluff kitchen",)),
        page=Page("f", "fluff", "lifted and loosened",
                  also=("air", "loosen", "turn", "lift")),
    ),
    Description(
        Kind.NOTE, Note, "",
        (Field("words", Of.NOTE, label="note", example="moved it under the stairs", metavar="TEXT", help="the words"),
         Field("from", Of.DAY, "unknown_from", "unknown from", example="2026-03-02", column="unknown_from"),
         Field("until", Of.DAY, "unknown_until", "unknown until", example="2026-03-20", column="unknown_until")),
        rank=9,
        command=Command("note", "write words into the log", ('note kitchen "moved it out of the sun"',)),
        page=Page("n", "note", "anything worth keeping",
                  also=("remark", "comment", "write")),
    ),
    Description(
        Kind.GUESS, Guess, "guessed: {moisture}{worms}{harvest}",
        (Field("moisture", Of.SHARE, "moisture", label="how damp, in %", example="75", column="moisture_pct",
               option="--moisture", metavar="PER_CENT", help="the moisture that is expected", low=0.0, high=1.0,
               told=", moisture {}"),
         Field("worms", Of.WORMS, "worms_kg", label="how many worms", example="400 g or 800 worms",
               column="expected_worms_kg", option="--worms", metavar="AMOUNT", help="all the worms that are expected",
               told=", worms {}"),
         Field("harvest", Of.DAY, "harvest", "harvest", "when castings come", "2026-12-10", "expected_harvest",
               "--harvest", "DATE", help="the day on which castings are expected", told=", castings on {}")),
        rank=10,
        command=Command(
            "guess", "write down what you expect, before you look at the number",
            ("guess kitchen --moisture 75 --by Ana", "guess kitchen --worms 800worms --harvest 2026-12-10"),
            more="The number that came stands beside it: wormbin guesses BIN.",
        ),
        page=Page("x", "guess", "what you expect, before you look", "Guess first, then look. No guess is wrong.",
                  also=("expect", "predict", "before you look")),
    ),
    Description(
        Kind.COMPARISON, Comparison, "compared with {with}{about}{until}{same}: {question}",
        (Field("with", Of.BINS, "others", "other bins", label="with which bins", example="leaves", column="with",
               metavar="WITH", many="+", help="the other bins: leaves"),
         Field("question", Of.WORD, "question", label="the question", example="does paper beat leaves?",
               column="question", option="--question", metavar="TEXT", high=NAME_LENGTH,
               help='what it is to answer: "does paper beat leaves?"'),
         Field("about", Of.CHOICE, "about", label="what answers it", example="worked", column="about",
               option="--about", choice=Measured, told=" by {}",
               help="what answers it: worked (feed worked off), castings, moisture, temperature, worms, depth, weight"),
         Field("until", Of.DAY, "until", label="last day", example="2026-12-18", column="until", option="--until",
               metavar="DATE", help="its last day", told=" until {}"),
         Field("same", Of.WORDS, "same", label="kept the same", example="feed, water, room", column="same",
               option="--same", metavar="TEXT", help='what is kept equal: "feed, water, room"',
               told=", the same: {}")),
        rank=9,
        command=Command(
            "comparison", "begin to hold bins against each other, to answer one question",
            ('comparison paper leaves --question "does paper beat leaves?" --about worked --until 2027-02-26',),
            more="It begins on the day of the line (--when). Change one thing only; keep all else the same. `compare`\n"
            "shows how it stands; `change BIN --beddings ...` has a bin keep to its own bedding, and advice with it.",
            yes="write it down even if it is too short to tell",
        ),
        page=Page("c", "compare bins", "two bins, one question",
                  "Change one thing only. Read all of them on the same day, by the same hand.",
                  also=("experiment", "paper or leaves", "side by side", "which is better")),
    ),
)  # fmt: skip
"""In the order in which they are offered."""
BY_KIND = {each.kind: each for each in LOG_KINDS.values()}
WRITTEN = tuple(each for each in LOG_KINDS.values() if each.page.key)
"""The kinds that the one form for all asks for; a check and a feeding have forms of their own."""
BY_NAME: Mapping[str, Kind] = {
    name: each.kind
    for each in LOG_KINDS.values()
    for name in (each.kind, *([each.command.name] if each.command else ()))
}
"""A kind may be called by its command, too."""
