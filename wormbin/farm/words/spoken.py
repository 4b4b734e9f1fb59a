"""From the keeper's words to what an entry says: portions, readings, weights; each fault named by its field."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from functools import partial
from typing import Any, TypeVar

from wormbin.materials.material import CASTINGS
from wormbin.materials.table import MaterialTable, kg_of, read_portion
from wormbin.measures import Amount, Dimension, parse_amount, parse_date, parse_number, parse_percent, shown, tidy
from wormbin.measures.units import WORM_KG
from wormbin.problems import MissingError, Problem, RefusedError
from wormbin.records.bins import NOTHING_MORE
from wormbin.records.entries import LOG_KINDS, Check, MoistureBy, Portion, Sample, Stocking, Survey, What
from wormbin.records.kinds.fields import Description, Field, Of
from wormbin.science.blend import moisture_from_drying

SAID = {"wet": "dripping", "dripping wet": "dripping", "wrung sponge": "sponge", "wrung out": "sponge"}
"""What people say for a word of a list."""
T = TypeVar("T")
U = TypeVar("U")
E = TypeVar("E", bound=StrEnum)


class Faults:
    """Collects what is wrong with several readings, so that all of it is told at once and put right in one go."""

    def __init__(self) -> None:
        self._errors: list[RefusedError] = []

    def read(self, reading: Callable[[], T], otherwise: U) -> T | U:
        """What ``reading`` gives; ``otherwise`` when it is refused, and then ``settle`` will raise."""
        try:
            return reading()
        except RefusedError as error:
            self._errors.append(error)
            return otherwise

    def settle(self) -> None:
        """Raise all that was refused; a single error as it is, since its choices may be the way out."""
        if len(self._errors) == 1:
            raise self._errors[0]
        if self._errors:
            raise RefusedError([problem for error in self._errors for problem in error.problems])


def choice(kind: type[E], words: str, field: str) -> E | None:
    """One of a list, by its word or an unmistakable beginning of it; None for nothing."""
    text = tidy(words).casefold()
    if not text:
        return None
    text = SAID.get(text, text) if SAID.get(text) in list(kind) else text
    fits = [each for each in kind if each.value == text] or [each for each in kind if each.value.startswith(text)]
    if len(fits) == 1:
        return fits[0]
    raise RefusedError(Problem(field, shown(words), "one of " + ", ".join(kind), next(iter(kind)).value))


def yes_no(words: str, field: str, usual: bool) -> bool:
    """Yes or no; ``usual`` for nothing."""
    text = tidy(words).casefold()
    if not text:
        return usual
    if text in ("yes", "y", "true", "on"):
        return True
    if text in ("no", "n", "false", "off", "none"):
        return False
    raise RefusedError(Problem(field, shown(words), "yes or no", "no"))


@dataclass(frozen=True, slots=True)
class Spoken:
    """Reads words against a material table; ``usual`` are the keeper's own measures ("handful": "40 g").

    What is kept out of worm bins is refused, but with ``kept_out``: what did go in must be able to be written down.
    """

    table: MaterialTable
    usual: Mapping[str, str] = field(default=NOTHING_MORE)
    kept_out: bool = False
    buckets: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """What is in the usual buckets, by name: "the usual" is understood as what is in it."""
    today: date | None = None
    """The day that days are said from; without it only whole dates are read."""
    out_of_lot: Callable[[str], tuple[float, str]] | None = None
    """Castings that leave the lot of the line, wet kg and as said: only its book knows how dense and how much it is."""

    def portions(self, words: Sequence[str], field: str = "portion") -> tuple[Portion, ...]:
        """What is in a bucket; at least one thing. A text may name several, parted by commas or semicolons."""
        texts = [one for each in words for text in self._parted(each) for one in self._unpacked(text, field)]
        if not texts:
            raise RefusedError(Problem(field, "", "at least one amount and what it is of", "300 g melon rind"))
        faults = Faults()
        found = [faults.read(partial(self._some, text, field), None) for text in texts]
        faults.settle()
        return tuple(portion for portion in found if portion is not None)

    def _unpacked(self, text: str, field: str) -> Sequence[str]:
        """The things of a usual bucket that is named; any other text as it is. MissingError for one never said."""
        name = tidy(text).casefold().removeprefix("the ").removesuffix(" bucket")
        for bucket, portions in self.buckets.items():
            if bucket.casefold() == name or (name == "usual" and len(self.buckets) == 1):
                return portions
        if name != "usual":
            return (text,)
        known = " or ".join(self.buckets)
        allowed = f"one of your usual buckets: {known}" if known else "what is in it, as nobody has said that yet"
        raise MissingError("bucket", "usual", Problem(field, shown(text), allowed, "300 g vegetable scraps"))

    def _some(self, text: str, field: str) -> Portion:
        """One portion that weighs something: nothing of a thing is refused with the words that were typed."""
        try:
            portion = self._portion(text, field)
        except RefusedError as refused:
            said_once = isinstance(refused, MissingError) and refused.what != "material"
            if said_once or not self.table.named(text.rpartition(" and ")[2]) or " and " not in text:
                raise
            said = f"“{shown(text)}” is more than one thing. Write one line each, or a comma between them."
            raise RefusedError(Problem(field, shown(text), "one line each", "1 banana peel", said=said)) from None
        if portion.kg == 0.0:
            raise RefusedError(Problem(field, shown(text), "more than nothing of it", "350 g melon rind"))
        return portion

    def _portion(self, text: str, field: str) -> Portion:
        """One portion; a handful of what has a handful of its own is that, of anything else the usual one."""
        general = {name: size for name, size in self.usual.items() if " " not in name}
        own = {name: size for name, size in self.usual.items() if " " in name}
        read = partial(read_portion, text, self.table, field, kept_out=self.kept_out)
        if not own:
            return read(usual=general)
        guess = {name.partition(" ")[0]: size for name, size in own.items()} | general
        material = read(usual=guess).material
        fits = {name.partition(" ")[0]: size for name, size in own.items() if name.partition(" ")[2] == material}
        return read(usual=general | fits)

    def _parted(self, words: str) -> list[str]:
        """Several things in one text: a comma between digits is a decimal comma and parts nothing."""
        parts = [""]
        for place, char in enumerate(words):
            between = char == "," and words[place + 1 : place + 2].isdigit() and words[place - 1 : place].isdigit()
            if char in ";+\n" or (char == "," and not between):
                parts.append("")
            else:
                parts[-1] += char
        return self._named_whole([part.strip() for part in parts if part.strip()])

    def _named_whole(self, parts: Sequence[str]) -> list[str]:
        """Parts put together again where a comma is in the name of a material: "60 kg horse manure, aged"."""
        found: list[str] = []
        for part in parts:
            words = found[-1].split() if found else []
            names = (f"{' '.join(words[at:])}, {part}" for at in range(len(words)))
            if any(map(self.table.named, names)):
                found[-1] += f", {part}"
            else:
                found.append(part)
        return found

    def read(self, kind: Description[Any], said: Mapping[str, str]) -> Any:
        """What the fields of a kind say, each by its name; what is not said stays out. Raises all that is refused."""
        faults = Faults()
        found: dict[str, Any] = {}
        for each in kind.fields:
            words = said.get(each.name, "")
            if each.at and (words.strip() or each.at in kind.required):
                found |= faults.read(partial(self._field, each, words, said, found), {})
        oven = faults.read(partial(oven_weights, said), {})
        faults.settle()
        if oven:
            found |= {"moisture": moisture_from_drying(**oven), "moisture_by": MoistureBy.OVEN}
        if "moisture" not in found:
            found.pop("moisture_by", None)
        return kind.what(**{name: value for name, value in found.items() if name in kind.attributes})

    def _field(self, each: Field, words: str, said: Mapping[str, str], found: Mapping[str, Any]) -> dict[str, Any]:
        """What one field says, by attribute. Raises RefusedError."""
        called, at = each.called, each.at
        low, high = each.typed or (each.low or 0.0, each.high or 0.0)
        match each.of:
            case Of.PORTIONS:
                return {at: self.portions([words], called)}
            case Of.PORTION:
                portion = self._some(words, called)
                return {at: portion.kg, "material": portion.material, "said": portion.said}
            case Of.SAMPLES:
                area = next(field for field in described_fields(Survey) if field.of is Of.AREA)
                return {at: self._samples(words, said.get(area.name, ""), area.called)}
            case Of.SHARE:
                return {at: parse_percent(words, called, low=low, high=high)}
            case Of.NUMBER:
                return {at: parse_number(words, called, low=low, high=high, example=each.example)}
            case Of.CHOICE if each.choice is not None:
                return {at: choice(each.choice, words, called)}
            case Of.SWITCH:
                return {at: yes_no(words, called, False)}
            case Of.OUTWARDS:
                return {at: -found[at]} if yes_no(words, called, False) and at in found else {}
            case Of.DAY:
                return {at: self.day(words, called)}
            case Of.WORD | Of.LOT:
                return {at: " ".join(tidy(words).split())}
            case Of.WORDS | Of.BINS:
                return {at: tuple(part for part in (tidy(one) for one in re.split("[;,]", words)) if part)}
            case Of.BIN:
                return {at: words}
            case Of.OUT_OF_LOT if self.out_of_lot is not None:
                kg, as_said = self.out_of_lot(words)
                return {at: kg, "said": as_said}
        return self.measured(each, words)

    def day(self, words: str, field: str) -> date:
        """A day to come, as people say it."""
        return parse_date(words, self.today or date.min, field, toward="future")

    def measured(self, each: Field, words: str) -> dict[str, Any]:
        """What a measure with its unit says, by attribute: SI, and for an amount the words and the worms counted."""
        amount = parse_amount(words, each.called, expect=EXPECTED[each.of])
        count = None
        if each.of in (Of.CASTINGS, Of.OUT_OF_LOT):
            si = kg_of(amount, self.table.get(CASTINGS), each.called)
        elif each.of is Of.WORMS:
            si, count = worm_mass(amount)
        else:
            si = amount.si  # a litre of water is a kilogram
        said = {"said": amount.said, "worms_count": count} if each.column == "amount" else {}
        return {each.at: si, **said}

    def worms(self, words: str) -> Stocking:
        """Worms put in, by mass or number."""
        read: Stocking = self.read(LOG_KINDS[Stocking], {"worms": words})
        return read

    def _samples(self, words: str, sample_area: str, called: str) -> tuple[Sample, ...]:
        """Equal-area samples: "12 g", "25 worms", "0"; the area as "225 cm2"."""
        area = parse_amount(sample_area, called, expect=Dimension.AREA).m2()
        if area <= 0:
            raise RefusedError(Problem(called, sample_area, "the area of one sample, above zero", "225 cm2"))
        texts = self._parted(words)
        if not texts:
            raise RefusedError(Problem("samples", "", "the worms of at least one sample", "12 g"))
        faults = Faults()
        read = partial(parse_amount, field=called, expect=EXPECTED[Of.WORMS])
        amounts = [faults.read(partial(read, text), None) for text in texts]
        faults.settle()
        found = []
        for amount in amounts:
            if amount is not None:
                kg, count = worm_mass(amount)
                found.append(Sample(area, kg if count is None else None, count, amount.said))
        return tuple(found)


EXPECTED: Mapping[Of, tuple[Dimension, ...]] = {
    Of.MASS: (Dimension.MASS,), Of.WATER: (Dimension.VOLUME, Dimension.MASS), Of.AREA: (Dimension.AREA,),
    Of.CASTINGS: (Dimension.MASS, Dimension.VOLUME), Of.OUT_OF_LOT: (Dimension.MASS, Dimension.VOLUME),
    Of.WORMS: (Dimension.MASS, Dimension.COUNT), Of.VOLUME: (Dimension.VOLUME,), Of.LENGTH: (Dimension.LENGTH,),
    Of.TEMPERATURE: (Dimension.TEMPERATURE,), Of.OVEN: (Dimension.MASS,),
}  # fmt: skip
"""The measures in which an amount may be said."""


def oven_weights(said: Mapping[str, str]) -> dict[str, float]:
    """The wet and dry grams of an oven test among what is said; empty when there was none. Raises RefusedError."""
    fields = {each.name: each for each in described_fields(Check) if each.of is Of.OVEN}
    if not any(said.get(name, "").strip() for name in fields):
        return {}
    wet, dry = (
        parse_amount(said.get(name, ""), each.called, expect=Dimension.MASS).kg() * 1000
        for name, each in fields.items()
    )
    if not 0 < dry < wet:
        allowed = f"less than the wet weight of {wet:g} g, and not nothing"
        raise RefusedError(Problem(fields["oven_dry"].called, shown(said["oven_dry"]), allowed, "2.3 g"))
    return {"wet_g": wet, "dry_g": dry}


def described_fields(what: type[What]) -> tuple[Field, ...]:
    """The fields of a kind of the log."""
    return LOG_KINDS[what].fields


def worm_mass(amount: Amount) -> tuple[float, int | None]:
    """Live kg, and the number when they were counted."""
    if amount.dimension is Dimension.COUNT:
        return amount.worms() * WORM_KG, amount.worms()
    return amount.kg(), None
