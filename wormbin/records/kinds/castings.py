"""The kinds of line in the castings book, for what happens after the harvest: a class and a description each."""

from __future__ import annotations

from dataclasses import dataclass, replace
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


@dataclass(frozen=True, slots=True)
class Use:
    """Wet kg used by the keeper, and what for."""

    kg: float
    purpose: str = ""
    said: str = ""


LotWhat = Intake | Stepped | Measured | Sale | Use


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
        command=Command("step", "the lot has come that far", ("spring-26 screened --mass 7.2kg --moisture 60",)),
        page=Page("s", "next step",
                  mind="Screening raises dust: damp it down, wear a mask, wash hands. Lift under 20 kg."),
    ),
    Description(
        LotKind.MEASURED, Measured, "measured: {mass}{volume}{moisture}", _READINGS, rank=1,
        command=Command("weigh", "what was measured on a lot", ("spring-26 --mass 6.8kg --volume 10L",)),
        page=Page("m", "measured"),
    ),
    Description(
        LotKind.SALE, Sale, "sold{amount}{purpose}{price}",
        (_out("5 kg"), replace(_PURPOSE, example="market"),
         Field("price", Of.NUMBER, "price", label="money taken", example="30", column="price", option="--price",
               metavar="MONEY", help="the money taken, in your own currency", low=0.0, high=MOST_MONEY,
               told=", {} paid")),
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
)  # fmt: skip
LOT_BY_KIND = {each.kind: each for each in LOT_KINDS.values()}
