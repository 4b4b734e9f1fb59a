"""What a description of a kind of line is made of: its fields, its command, its page among the forms.

It is data, and knows nothing of who reads it. ``Of`` says what a field holds, and each floor has one reader for each
member of it: ``records/line_rules`` holds it to its limits, ``exchange/row_reading`` and ``exchange/line_rows``
read and write its cells, ``farm/words/spoken`` reads its words, ``farm/words/typed`` types them again,
``farm/words/log`` tells it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import MISSING, dataclass, fields
from enum import StrEnum, auto
from functools import cached_property
from typing import Any, Generic, TypeVar

K = TypeVar("K", bound=StrEnum)


class Of(StrEnum):
    """What a field holds; in SI in the record, in the keeper's words or a file's cells elsewhere."""

    MASS = auto()
    """A weight, kg."""
    WATER = auto()
    """Water by volume or weight, kg."""
    CASTINGS = auto()
    """Castings by weight or volume, wet kg."""
    OUT_OF_LOT = auto()
    """Castings that leave a lot, wet kg: by weight, by volume at that lot's density, or all of it."""
    WORMS = auto()
    """Live worms by weight or number, kg; the number stands beside it where the record has room for it."""
    OUTWARDS = auto()
    """Whether they went out: the sign of the field's attribute."""
    PORTIONS = auto()
    """Materials with their amounts."""
    PORTION = auto()
    """One material by weight, kg; its key stands in the record's ``material``."""
    SAMPLES = auto()
    """The worms in samples of one area; the area is a field of its own."""
    AREA = auto()
    """The area of each sample, m2; it has no attribute of its own."""
    VOLUME = auto()
    """A volume, L."""
    LENGTH = auto()
    """A length, m."""
    TEMPERATURE = auto()
    """A temperature, degC."""
    SHARE = auto()
    """A fraction, said in per cent."""
    NUMBER = auto()
    """A number without a unit."""
    CHOICE = auto()
    """One of a list of words."""
    SWITCH = auto()
    """Yes or no."""
    WORD = auto()
    """A few words."""
    WORDS = auto()
    """Several of them."""
    BIN = auto()
    """Another bin, by its key."""
    BINS = auto()
    """Other bins, by their keys."""
    LOT = auto()
    """A lot, by its name; none is an empty one."""
    DAY = auto()
    """A day."""
    NOTE = auto()
    """The note of the line itself; it has no attribute of its own."""
    OVEN = auto()
    """A weight of an oven test, which stands beside the line and not in it."""


SEVERAL = (Of.PORTIONS, Of.SAMPLES)
"""What may be several things, each in a row of its own."""


@dataclass(frozen=True, slots=True)
class Field:
    """One field of a kind. ``at`` is the attribute of the record that holds it."""

    name: str
    of: Of
    at: str = ""
    named: str = ""
    """What it is called in a refusal; else by its name."""
    label: str = ""
    """Its line in a form; a field without one has no line there."""
    example: str = ""
    column: str = ""
    """Its column in a file. ``amount`` brings ``unit`` and ``said`` with it, and what a portion or sample is of."""
    option: str = ""
    """Its option of the command; without one it stands in the command by itself, and is called ``metavar``."""
    metavar: str = ""
    help: str = ""
    many: str = ""
    """As argparse has it: how many words the command takes for it."""
    low: float | None = None
    high: float | None = None
    """What the door lets through, in SI. Amounts have limits of their own (``records/limits``)."""
    typed: tuple[float, float] | None = None
    """The narrower limits for what a keeper types, where a file may say more."""
    nothing: bool = False
    """An amount that may be nothing at all."""
    choice: type[StrEnum] | None = None
    flag: str = ""
    """The word that stands in the column for yes."""
    told: str = "{}"
    """How it stands in the words of the line, when it is said."""

    @property
    def called(self) -> str:
        """What it is called in a refusal."""
        return self.named or self.name


@dataclass(frozen=True, slots=True)
class Command:
    """The command that writes the kind. ``yes`` is what its ``--yes`` does; without it there is none."""

    name: str
    does: str
    examples: tuple[str, ...]
    bin: str = "which bin"
    more: str = ""
    yes: str = ""


@dataclass(frozen=True, slots=True)
class Page:
    """The kind among the forms: the key that picks it, its title, a few words beside it, what to mind.

    One without a key has a form of its own.
    """

    key: str = ""
    title: str = ""
    about: str = ""
    mind: str = ""
    also: tuple[str, ...] = ()
    """What people call it as well, by which it may be looked for."""


@dataclass(frozen=True)
class Description(Generic[K]):
    """One kind of line. ``told`` are its words, with the fields by name; ``bare`` those of a line without any.

    Of lines of one moment that nobody put in order the one of the lower ``rank`` comes first: what is seen is true of
    the bin before anything is done to it, and worms go in after their bed.
    """

    kind: K
    what: type[Any]
    told: str
    fields: tuple[Field, ...] = ()
    rank: int = 0
    command: Command | None = None
    page: Page = Page()
    bare: str = ""
    about: str = "lot"
    """What the name is of that a line of the castings book begins with: a lot, a load ..."""

    @cached_property
    def required(self) -> frozenset[str]:
        """The attributes that a record of it cannot be without."""
        return frozenset(each.name for each in fields(self.what) if each.default is MISSING)

    @cached_property
    def attributes(self) -> frozenset[str]:
        """All attributes of a record of it."""
        return frozenset(each.name for each in fields(self.what))

    @cached_property
    def columns(self) -> tuple[str, ...]:
        """The columns that a row of it may fill, beside those that every row has."""
        found: list[str] = []
        for field in self.fields:
            if field.of is Of.PORTIONS:
                found += ["material", "amount", "unit", "moisture_pct", "said"]
            elif field.of is Of.SAMPLES:
                found += ["material", "amount", "unit", "count", "said"]
            elif field.column == "amount":
                found += ["material"] if field.of is Of.PORTION else []
                found += ["amount", "unit", "said", *(["count"] if "worms_count" in self.attributes else [])]
            elif field.column:
                found.append(field.column)
        return tuple(dict.fromkeys(found))

    @cached_property
    def outwards(self) -> bool:
        """Whether a sign says which way they went."""
        return any(field.of is Of.OUTWARDS for field in self.fields)

    @property
    def asked(self) -> tuple[Field, ...]:
        """The fields that have a line in its form."""
        return tuple(field for field in self.fields if field.label)

    @property
    def grouped(self) -> bool:
        """Whether several rows of a file may be one line: one a portion, one a sample."""
        return any(field.of in SEVERAL for field in self.fields)


def by_what(*described: Description[K]) -> Mapping[type[Any], Description[K]]:
    """Descriptions by the class of their records."""
    return {each.what: each for each in described}
