"""The kinds of line in the castings book, for what comes in and goes out: a class and a description each.

Each is about one lot of castings, one load of feedstock, one pile of it, or one sort of cost; its ``about`` says which.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum

from wormbin.records.kinds.fields import Command, Description, Field, Of, Page, by_what
from wormbin.records.limits import NAME_LENGTH

MOST_LITRES = 1_000_000.0
MOST_MONEY = 1e9


class LotKind(StrEnum):
    """The kinds of lines in the castings book, for records, commands and files."""

    INTAKE = "intake"
    STEP = "step"
    MEASURED = "measured"
    SALE = "sale"
    USE = "use"
    LOAD = "load"
    OPENED = "opened"
    LEFT = "left"
    BAD = "bad"
    PILED = "piled"
    HEAT = "heat"
    RELEASED = "released"
    COST = "cost"
    ORDER = "order"
    CLOSED = "closed"


class LotStep(StrEnum):
    """How far the castings of a lot are: as they came off, resting, sieved, ready in the bag."""

    HARVESTED = "harvested"
    CURING = "curing"
    SCREENED = "screened"
    STOCK = "stock"


STEPS = tuple(LotStep)
"""The steps in their order."""


@dataclass(frozen=True, slots=True)
class Intake:
    """Castings put into the lot by a harvest of the bin ``source``, wet kg, with their moisture (fraction) if known.

    It is the other half of that harvest: the two share an id but for a trailing ``~`` on this one.
    """

    source: str
    kg: float
    moisture: float | None = None
    said: str = ""


@dataclass(frozen=True, slots=True)
class Stepped:
    """The lot reached a step; with what it weighed then (wet kg), its room in litres and its moisture, if known."""

    step: LotStep
    kg: float | None = None
    litres: float | None = None
    moisture: float | None = None
    said: str = ""


@dataclass(frozen=True, slots=True)
class Measured:
    """The lot was weighed (wet kg), its room measured or its moisture read; at least one of them."""

    kg: float | None = None
    litres: float | None = None
    moisture: float | None = None
    said: str = ""


@dataclass(frozen=True, slots=True)
class Sale:
    """Wet kg sold; what for or on which occasion, and the money taken in the keeper's own currency, if said."""

    kg: float
    purpose: str = ""
    price: float | None = None
    said: str = ""
    buyer: str = ""


@dataclass(frozen=True, slots=True)
class Use:
    """Wet kg used by the keeper, and what for."""

    kg: float
    purpose: str = ""
    said: str = ""


@dataclass(frozen=True, slots=True)
class Load:
    """Feedstock or bedding that came in, fresh kg: from whom, for how much, how wet where that was tested.

    ``treated`` is what the animals or the field were treated with, as far as anybody asked.
    """

    material: str
    kg: float
    supplier: str = ""
    price: float | None = None
    moisture: float | None = None
    treated: str = ""
    said: str = ""


@dataclass(frozen=True, slots=True)
class Opened:
    """From now on this material is taken from this load."""


@dataclass(frozen=True, slots=True)
class Left:
    """What is left of a load by the scale, kg: more or less than the log has, or nothing."""

    kg: float
    said: str = ""


@dataclass(frozen=True, slots=True)
class Bad:
    """The load turned out bad, and how."""

    why: str = ""


class PileWay(StrEnum):
    """How a pile is kept hot: in a closed vessel, or as a windrow that is turned."""

    VESSEL = "vessel"
    WINDROW = "windrow"


@dataclass(frozen=True, slots=True)
class Piled:
    """A material put on a pile that composts hot before it is fed, fresh kg."""

    material: str
    kg: float
    way: PileWay = PileWay.WINDROW
    said: str = ""


@dataclass(frozen=True, slots=True)
class Heat:
    """A pile's temperature was read, or it was turned, or both."""

    temp_c: float | None = None
    turned: bool = False


@dataclass(frozen=True, slots=True)
class Released:
    """What came off a pile, kg, and is feedstock from then on: a load of the pile's name."""

    material: str
    kg: float
    said: str = ""


@dataclass(frozen=True, slots=True)
class Cost:
    """Money spent, own hours, or both; on a bin (key), on a lot (name), or on all of it."""

    price: float | None = None
    hours: float | None = None
    bin: str = ""
    of_lot: str = ""


class Product(StrEnum):
    """What is ordered: sieved castings, unsieved ones, worms by weight, or sieved castings for an extract."""

    SCREENED = "screened"
    COARSE = "coarse"
    WORMS = "worms"
    EXTRACT = "extract base"


@dataclass(frozen=True, slots=True)
class Order:
    """So many kg promised to a buyer by a day; again every so many days, where it is a standing one."""

    kg: float
    due: date
    buyer: str = ""
    product: Product = Product.SCREENED
    every_days: float | None = None
    said: str = ""


@dataclass(frozen=True, slots=True)
class Closed:
    """Nothing more is promised by the order from now on, and why."""

    why: str = ""


LotWhat = (
    Order
    | Closed
    | Intake
    | Stepped
    | Measured
    | Sale
    | Use
    | Load
    | Opened
    | Left
    | Bad
    | Piled
    | Heat
    | Released
    | Cost
)


_MASS = Field(
    "mass", Of.MASS, "kg", label="weight now", example="7.2 kg", column="amount", option="--mass", metavar="AMOUNT",
    help="what the lot weighs now: 7.2 kg", told=", {}",
)  # fmt: skip
_READINGS = (
    _MASS,
    Field(
        "volume", Of.VOLUME, "litres", label="room it takes", example="10 L", column="litres", option="--volume",
        metavar="AMOUNT", help="the room it takes now: 10 L", low=0.0, high=MOST_LITRES, told=", {}",
    ),
    Field(
        "moisture", Of.SHARE, "moisture", label="moisture", example="60%", column="moisture_pct", option="--moisture",
        metavar="PER_CENT", help="its moisture", low=0.0, high=1.0, typed=(0.1, 0.95), told=", moisture {}",
    ),
)  # fmt: skip
_ALL = 'how much: 5 kg, 2 L, or "all"'
_PURPOSE = Field(
    "purpose", Of.WORD, "purpose", "for", "what for", "tomato pots", "for", "--for", "TEXT",
    "what for, on which occasion", high=NAME_LENGTH, told=" for {}",
)  # fmt: skip


_PRICE = Field(
    "price", Of.NUMBER, "price", label="money paid", example="12", column="price", option="--price", metavar="MONEY",
    help="the money paid", low=0.0, high=MOST_MONEY, told=", {} paid",
)  # fmt: skip


def _portion(example: str) -> Field:
    return Field(
        "portion", Of.PORTION, "kg", label="how much of what", example=example, column="amount", metavar="AMOUNT_OF",
        help=f'how much of what: "{example}"', told="{}",
    )  # fmt: skip


def _out(example: str) -> Field:
    return Field(
        "amount", Of.OUT_OF_LOT, "kg", label="how much, or all", example=example, column="amount", metavar="AMOUNT",
        help=_ALL, told=" {}",
    )  # fmt: skip


LOT_KINDS = by_what(
    Description(
        LotKind.INTAKE, Intake, "{amount} came in from {source}{moisture}",
        (Field("amount", Of.CASTINGS, "kg", "castings", column="amount"),
         Field("source", Of.BIN, "source", column="source"),
         Field("moisture", Of.SHARE, "moisture", example="65 %", column="moisture_pct", low=0.0, high=1.0,
               told=", moisture {}")),
    ),
    Description(
        LotKind.STEP, Stepped, "{step}{mass}{volume}{moisture}",
        (Field("step", Of.CHOICE, "step", label="step reached", example="curing, screened or stock", column="step",
               metavar="STEP", help="curing, screened or stock", choice=LotStep), *_READINGS),
        rank=1,
        command=Command("step", "the lot has come that far", ("spring-26 screened --mass 7.2kg --moisture 60",),
                        yes="sieve or stock what has not cured without asking"),
        page=Page("s", "next step",
                  mind="Screening raises dust: damp it down, wear a mask, wash hands. Lift under 20 kg."),
    ),
    Description(
        LotKind.MEASURED, Measured, "measured: {mass}{volume}{moisture}", _READINGS, rank=1,
        command=Command("weigh", "what was measured on a lot", ("spring-26 --mass 6.8kg --volume 10L",)),
        page=Page("m", "measured"),
    ),
    Description(
        LotKind.SALE, Sale, "sold{amount}{buyer}{purpose}{price}",
        (_out("5 kg"), replace(_PURPOSE, example="market"),
         Field("price", Of.NUMBER, "price", label="money taken", example="30", column="price", option="--price",
               metavar="MONEY", help="the money taken (else by your prices: settings price)", low=0.0, high=MOST_MONEY,
               told=", {} paid"),
         Field("buyer", Of.WORD, "buyer", label="buyer", example="Ana", column="buyer", option="--buyer",
               metavar="NAME", help="who took it, so that a bag can be called back", high=NAME_LENGTH,
               told=" to {}")),
        rank=1,
        command=Command("sell", "castings sold", ('spring-26 "5 kg" --for "spring market" --price 30',),
                        yes="sell from a lot that is not in stock yet without asking"),
        page=Page("v", "sold", mind="Labels, claims and registration are matters of local law: ask before you sell."),
    ),
    Description(
        LotKind.USE, Use, "used{amount}{purpose}", (_out("2 kg"), _PURPOSE), rank=1,
        command=Command("use", "castings used", ('spring-26 "2 L" --for "tomato pots"',),
                        yes="use from a lot that has not cured yet without asking"),
        page=Page("o", "used",
                  mind="10-20 % of a potting mix, never over 40 %; about 1 cm strewn on a planted pot. No tea on "
                       "anything eaten. Gloves and a mask with asthma or weak immunity."),
    ),
    Description(
        LotKind.LOAD, Load, "came in: {portion}{supplier}{price}{moisture}{treated}",
        (_portion("60 kg spent grain"),
         Field("supplier", Of.WORD, "supplier", label="from whom", example="Mill Lane brewery", column="supplier",
               option="--from", metavar="NAME", help="who it came from", high=NAME_LENGTH, told=" from {}"),
         _PRICE,
         Field("moisture", Of.SHARE, "moisture", label="moisture, if tested", example="75%", column="moisture_pct",
               option="--moisture", metavar="PER_CENT", help="its moisture, if it was tested", low=0.0, high=1.0,
               typed=(0.0, 0.98), told=", moisture {}"),
         Field("treated", Of.WORD, "treated", label="treated with", example="not wormed since May", column="treated",
               option="--treated", metavar="TEXT", high=NAME_LENGTH, told="; treated: {}",
               help="what the animals or the field were treated with, or nothing")),
        command=Command("add", "feedstock or bedding that came in",
                        ('grain-12 "60 kg spent grain" --from "Mill Lane brewery" --price 12 --treated nothing',)),
        page=Page("b", "came in",
                  mind="Ask what the animals and the field were treated with: some wormers kill the herd, some weed "
                       "killers pass through."),
        about="load",
    ),
    Description(
        LotKind.OPENED, Opened, "", rank=1, bare="opened: taken from it since then", about="load",
        command=Command("open", "from now on this material is taken from this load", ("grain-12",),
                        yes="open a load that turned out bad without asking"),
        page=Page("o", "opened"),
    ),
    Description(
        LotKind.LEFT, Left, "{amount} left by the scale",
        (Field("amount", Of.MASS, "kg", label="what is left", example="12 kg, or 0 kg", column="amount",
               metavar="AMOUNT", help="what is left of it now: 12 kg, or 0 kg", nothing=True),),
        rank=2, about="load",
        command=Command("left", "what is left of a load by the scale; what is gone was spoiled or never written down",
                        ('grain-12 "12 kg"',)),
        page=Page("m", "left"),
    ),
    Description(
        LotKind.BAD, Bad, "turned out bad{why}",
        (replace(_PURPOSE, name="why", at="why", named="why", label="what is wrong with it", example="wormer in it",
                 option="--why", help="what is wrong with it", told=": {}"),),
        rank=3, about="load",
        command=Command("bad", "it turned out bad: names every bed, lot and buyer it reached",
                        ('grain-12 --why "mouldy, beds smell of it"',)),
        page=Page("x", "turned out bad"),
    ),
    Description(
        LotKind.PILED, Piled, "piled: {portion}, {way}",
        (replace(_portion("120 kg rabbit manure"), many="+"),
         Field("way", Of.CHOICE, "way", label="vessel or windrow", example="windrow", column="way", option="--way",
               help="how it is kept hot: vessel (closed) or windrow (turned; this if nothing is said)",
               choice=PileWay)),
        about="pile",
        command=Command("add", "a material put on a pile", ('spring-pile "120 kg rabbit manure" --way windrow',)),
        page=Page("b", "put on", mind="Steam and dust carry mould: mask and gloves, extra care with asthma."),
    ),
    Description(
        LotKind.HEAT, Heat, "pile: {temp}{turned}",
        (Field("temp", Of.TEMPERATURE, "temp_c", "temperature", "temperature inside", "58 C", "temp_c", "--temp",
               help="its temperature inside, 58C or 136F", low=-20.0, high=95.0, told=", {}"),
         Field("turned", Of.SWITCH, "turned", label="turned", example="yes", column="turned", option="--turned",
               help="it was turned", flag="turned", told=", {}")),
        rank=1, about="pile",
        command=Command("check", "a pile's temperature, or that it was turned", ("spring-pile --temp 58C --turned",)),
        page=Page("c", "temperature, turned"),
    ),
    Description(
        LotKind.RELEASED, Released, "released as a load: {portion}", (_portion("70 kg half-made compost"),),
        rank=2, about="pile",
        command=Command("release", "what came off a pile is feedstock from now on",
                        ('spring-pile "70 kg half-made compost"',),
                        yes="release it before the heat has done its work without asking"),
        page=Page("r", "released"),
    ),
    Description(
        LotKind.COST, Cost, "{price}{hours}{bin}{lot}",
        (replace(_PRICE, label="money spent", help="the money spent", told=", {} spent"),
         Field("hours", Of.NUMBER, "hours", label="own hours", example="2", column="hours", option="--hours",
               metavar="HOURS", help="own hours, if they are to count", low=0.0, high=10_000.0, told=", {} h"),
         Field("bin", Of.BIN, "bin", label="for which bin", example="barn-1", column="source", option="--bin",
               metavar="BIN", help="for one bin alone", told=" for {}"),
         Field("lot", Of.LOT, "of_lot", label="for which lot", example="spring-26", column="of_lot", option="--lot",
               metavar="LOT", help="for one lot alone", told=" for lot {}")),
        about="cost",
        command=Command("add", "money spent, or own hours", ('bags --price 24 --lot "May sacks"',
                                                             "market-stall --price 15 --hours 5")),
        page=Page("b", "spent"),
    ),
    Description(
        LotKind.ORDER, Order, "promised:{amount}{product}{buyer}{due}{every}",
        (replace(_out("20 kg"), of=Of.CASTINGS, label="how much", help="how much: 20 kg, 40 L", told=" {}"),
         Field("due", Of.DAY, "due", "due", "by when", "2026-05-01", "due", "--due", "DATE", "by when: 2026-05-01",
               told=" by {}"),
         Field("buyer", Of.WORD, "buyer", label="buyer", example="Ana", column="buyer", option="--buyer",
               metavar="NAME", help="who it is for: sales to the same name are taken off it", high=NAME_LENGTH,
               told=" to {}"),
         Field("product", Of.CHOICE, "product", label="what", example="screened", column="product",
               option="--product", choice=Product, told=" {}",
               help="screened (this if nothing is said), coarse, worms or extract base"),
         Field("every", Of.NUMBER, "every_days", label="again every so many days", example="28",
               column="every_days", option="--every", metavar="DAYS", low=1.0, high=366.0,
               help="a standing order: again every so many days", told=", and every {} days")),
        about="order",
        command=Command("add", "castings or worms promised by a day",
                        ('cafe-may "20 kg" --due 2026-05-01 --buyer "Corner cafe"',
                         'market "12 kg" --due saturday --every 14')),
        page=Page("b", "promised"),
    ),
    Description(
        LotKind.CLOSED, Closed, "nothing more is promised{why}",
        (replace(_PURPOSE, name="why", at="why", named="why", label="why", example="the stall is closed",
                 option="--why", help="why", told=": {}"),),
        rank=1, about="order",
        command=Command("close", "nothing more is promised by an order", ("market --why \"the stall is closed\"",)),
        page=Page("x", "closed"),
    ),
)  # fmt: skip
LOT_BY_KIND = {each.kind: each for each in LOT_KINDS.values()}
