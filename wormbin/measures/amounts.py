"""An amount as it was said, with its unit, and the one door by which such text becomes a number in SI."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from wormbin.measures.numbers import ABOUT, MANY_GRAMS, Read, are_things, read_number, unfold_fractions, written
from wormbin.measures.units import ASK, HANDY, UNCLEAR, UNITS, Ask, Dimension, Unit
from wormbin.measures.words import bounded, shown, tidy
from wormbin.problems import MissingError, Problem, RefusedError, UnclearError, either

__all__ = ["Amount", "Dimension", "Unit", "parse_amount", "parse_amount_of", "parse_percent"]

_NO_MEASURES: Mapping[str, str] = {}
_GLUED = re.compile(r"([^\W\d]+\.?)(?=[0-9])")
_MARK = re.compile(r"[%\"']|° ?[CcFf]?(?![^\W\d])")
_RANGE = re.compile(r"(?:-|to) ?(?=[0-9])")
_NUMBER_AT = re.compile(r"(?:(?<=\s)|(?<=^))(?=[0-9.,~-])")


@dataclass(frozen=True, slots=True)
class Amount:
    """A number with its unit, and the keeper's own words for it."""

    value: float
    unit: Unit
    said: str

    @property
    def dimension(self) -> Dimension:
        """What kind of thing is measured."""
        return self.unit.dimension

    @property
    def si(self) -> float:
        """The value in kg, L, m, m2, degC, worms, fraction or days, by dimension."""
        # Fifteen digits are all that a double carries for certain: 350 g is 0.35 kg, not 0.35000000000000003.
        return float(f"{(self.value + self.unit.shift) * self.unit.factor:.15g}")

    def _as(self, dimension: Dimension) -> float:
        if self.dimension is not dimension:
            raise RefusedError(Problem("amount", shown(self.said), ASK[dimension].words, ASK[dimension].example))
        return self.si

    def kg(self) -> float:
        """Mass, kg; RefusedError when it is no mass."""
        return self._as(Dimension.MASS)

    def litres(self) -> float:
        """Volume, L; RefusedError when it is no volume."""
        return self._as(Dimension.VOLUME)

    def metres(self) -> float:
        """Length, m; RefusedError when it is no length."""
        return self._as(Dimension.LENGTH)

    def m2(self) -> float:
        """Area, m2; RefusedError when it is no area."""
        return self._as(Dimension.AREA)

    def celsius(self) -> float:
        """Temperature, degC; RefusedError when it is no temperature."""
        return self._as(Dimension.TEMPERATURE)

    def worms(self) -> int:
        """A number of worms; RefusedError when it is no count."""
        return round(self._as(Dimension.COUNT))

    def days(self) -> float:
        """A time, days; RefusedError when it is no time."""
        return self._as(Dimension.TIME)


def _words_for(expect: tuple[Dimension, ...]) -> tuple[str, str]:
    """What is allowed, in words, and an example."""
    if not expect:
        return "a number with its unit", "350 g"
    return " or ".join(ASK[each].words for each in expect), ASK[expect[0]].example


def _said(value: float, unit: str) -> str:
    """A number and its unit as a person would write them."""
    plural = "s" if unit == "cup" and abs(value) > 1 else ""
    return f"{written(value)} {unit}{plural}".rstrip()


LARGE = frozenset({"bucket", "pail", "tub", "box", "bag", "tray", "armful", "container"})
"""Household measures that hold kilograms."""
FOR_EXAMPLE_G = 40
"""Nothing is read by it: what one thing may weigh in an example."""
IN_WORDS = {"none": 0.0, "quarter": 0.25, "a quarter": 0.25, "half": 0.5, "all": 1.0}
"""Shares that nobody says as a number."""
MOST_METRES = 3.0
"""A larger bare number is hardly a length in metres: no box is deeper, few are longer."""


class _Reader:
    """One text being read for one field; every way out that is not an amount is a sentence."""

    def __init__(self, text: str, field: str, expect: tuple[Dimension, ...], usual: Mapping[str, str]) -> None:
        self.text, self.field, self.expect, self.usual = text, field, expect, usual
        self.allowed, self.example = _words_for(expect)
        bounded(text, field, self.allowed, self.example)
        try:
            self.plain = tidy(unfold_fractions(text))
        except ValueError:
            raise self.refused(f"{self.allowed}, in the digits 0 to 9") from None

    def refused(self, allowed: str = "", example: str = "") -> RefusedError:
        """The refusal of the text, naming what is allowed."""
        return RefusedError(Problem(self.field, shown(self.text), allowed or self.allowed, example or self.example))

    def asked(self, said: str, example: str) -> Problem:
        """What is wrong with the text, as a question in words of its own."""
        return Problem(self.field, shown(self.text), self.allowed, example, said=said)

    def unclear(self, allowed: str, choices: tuple[str, ...], example: str = "") -> UnclearError:
        """The question which of several is meant."""
        shown_example = example or (choices[0] if choices else self.example)
        return UnclearError(Problem(self.field, shown(self.text), allowed, shown_example), choices)

    def number(self, text: str) -> Read:
        """The number at the start of ``text``; refused when there is none."""
        about = ABOUT.match(text)
        text = text[about.end() :] if about else text
        try:
            found = read_number(text)
        except ValueError:
            raise self.refused(f"{self.allowed}, the number in plain digits such as 1500 or 2.5 or 1 1/2") from None
        if found is None:
            raise self.refused()
        if between := _RANGE.match(found.rest):
            other = self.number(found.rest[between.end() :])
            unit, _ = self.unit_at(other.rest, found.value)
            name = unit.name if unit else ""
            middle = (found.value + other.value) / 2
            numbers = (found.value, middle, other.value)
            raise self.unclear("one number and no range", tuple(_said(each, name) for each in numbers))
        return found

    def unit_at(self, rest: str, value: float) -> tuple[Unit | None, str]:
        """The unit that ``rest`` begins with, if any, and what follows it."""
        if mark := _MARK.match(rest):
            name = mark[0].replace(" ", "").lower()
            return self.known(name, mark[0], value), rest[mark.end() :].lstrip()
        words = rest.split(" ")
        for length in (3, 2, 1):
            if length > len(words):
                continue
            name = " ".join(words[:length]).rstrip(".,;:").replace(".", "")
            unit = self.known(name.lower(), name, value)
            if unit is not None:
                return unit, " ".join(words[length:]).lstrip()
        if glued := _GLUED.match(rest):
            unit = self.known(glued[1].rstrip(".").lower(), glued[1], value)
            return unit, rest[glued.end() :] if unit else rest
        return None, rest

    def known(self, name: str, written_as: str, value: float) -> Unit | None:
        """The unit of this name; asks when the name has two meanings that both fit what is expected."""
        if written_as in UNCLEAR or name in UNCLEAR:
            meanings = UNCLEAR.get(written_as) or UNCLEAR[name]
            if written_as == "C" and Dimension.VOLUME not in self.expect:
                return UNITS["°c"]
            fitting = [each for each in meanings if UNITS[each.lower()].dimension in self.expect]
            if len(fitting) == 1 and len(meanings) == 2 and written_as != "Mg" and name in {"c"}:
                return UNITS[fitting[0].lower()]
            raise self.unclear("a unit with one meaning", tuple(_said(value, each) for each in fitting or meanings))
        if name in UNITS:
            return UNITS[name]
        return None

    def handy(self, words: str) -> tuple[str, str] | None:
        """A household measure at the start of ``words`` and what follows it, longest name first."""
        lower = words.lower()
        for name in sorted({*HANDY, *(key.lower() for key in self.usual)}, key=len, reverse=True):
            for form in (name + "es", name + "s", name):
                if lower == form or lower.startswith(form + " "):
                    return name, words[len(form) :].lstrip()
        return None

    def one(self, text: str) -> tuple[Amount, str]:
        """The amount at the start of ``text``, compound ones ("2 lb 3 oz") included, and the words after it."""
        found = self.number(text)
        if (household := self.handy(found.rest)) and (household[0] in self.measures or self.bare(found)):
            return self.by_own_measure(found.value, *household)
        unit, rest = self.unit_at(found.rest, found.value)
        if unit is None:
            raise self.without_unit(found)
        value = self.settled(found, unit)
        while (more := self.further(rest, unit)) is not None:
            value, rest = value + more[0] / unit.factor, more[1]
        return Amount(value, unit, ""), rest

    @property
    def measures(self) -> dict[str, str]:
        """The keeper's own measures by lower-case name."""
        return {key.lower(): size for key, size in self.usual.items()}

    def bare(self, found: Read) -> bool:
        """Whether no unit stands after the number."""
        return found.rest.split(" ")[0].rstrip(".,").lower() not in UNITS

    def by_own_measure(self, value: float, name: str, rest: str) -> tuple[Amount, str]:
        """So many handfuls, by the keeper's own handful; asked about when there is none."""
        size = self.measures.get(name)
        if size is None:
            example = "3 kg" if name in LARGE else "40 g"
            teach = f'wormbin settings measure "{name} {example}"'
            said = f"{shown(self.text)}: how big is your {name}? Write {self.allowed}. Or tell it once: {teach}"
            raise MissingError("measure", name, self.asked(said, self.example))
        unit = parse_amount(size, f"size of your {name}")
        return Amount(value * unit.value, unit.unit, ""), rest

    def without_unit(self, found: Read) -> RefusedError:
        """What to say to a bare number, or to a word that is no unit."""
        word = found.rest.split(" ")[0]
        if (word and not word[0].isalpha()) or (found.value < 0 and Dimension.TEMPERATURE not in self.expect):
            return self.refused()
        expect = self.expect or (Dimension.MASS, Dimension.VOLUME)
        names = [name for each in expect for name in ASK[each].offered if name != "m" or found.value <= MOST_METRES]
        offered = tuple(_said(found.value, name) for name in names)
        if word and self.expect == (Dimension.MASS, Dimension.VOLUME):
            if self.is_number_of_things(found):
                number, grams = written(found.value), written(found.value * FOR_EXAMPLE_G)
                weighed = f"weigh one once: {number} at {FOR_EXAMPLE_G} g are {grams} g"
                allowed = f"a weight or a volume, as what one of them weighs is not known here ({weighed})"
                return self.unclear(allowed, (), f"{grams} g {shown(found.rest)}")
            # "300 melon rind" is an amount of something that has only lost its unit: the ways to say it, whole.
            likely = ("g", "oz", "mL") if found.value >= MANY_GRAMS else ("kg", "lb", "cup")
            choices = tuple(f"{_said(found.value, name)} {shown(found.rest)}" for name in likely)
            said = f"{shown(self.text)}: how much is that? Write {either(choices)}."
            return UnclearError(self.asked(said, choices[0]), choices)
        if word:
            return self.unclear(f"{self.allowed}, as “{shown(word)}” is no unit here", offered[:5])
        said = f"{shown(self.text)} what? Write {either(offered[:5])}."
        return UnclearError(self.asked(said, offered[0]), offered[:5])

    @staticmethod
    def is_number_of_things(found: Read) -> bool:
        """Whether so many things are meant: a small whole number of something in the plural ("2 banana peels")."""
        return found.value > 1 and are_things(found.value, found.rest)

    def settled(self, found: Read, unit: Unit) -> float:
        """The number, once "1,500" can only mean one thing."""
        if found.thousands is None:
            return found.value
        if unit.dimension is Dimension.COUNT and found.comma:
            return found.thousands
        both = (found.value, found.thousands)
        first, second = both[::-1] if found.comma else both
        choices = (_said(first, unit.name), _said(second, unit.name))
        raise self.unclear(f"{choices[0]} or {choices[1]}, as you mean it", choices)

    def further(self, rest: str, unit: Unit) -> tuple[float, str] | None:
        """A smaller part of the same amount ("3 oz" after "2 lb"), in SI, and what follows."""
        if (
            unit.shift
            or not rest[:1].isdigit()
            or unit.dimension not in {Dimension.MASS, Dimension.VOLUME, Dimension.LENGTH}
        ):
            return None
        found = self.number(rest)
        part, after = self.unit_at(found.rest, found.value)
        if part is None:
            return None
        if part.dimension is not unit.dimension or part.factor >= unit.factor:
            raise self.refused(f"{self.allowed}, written once")
        return self.settled(found, part) * part.factor, after

    def held(self, amount: Amount) -> Amount:
        """The amount itself, once it is of the kind that is asked for and within what is believed."""
        if self.expect and amount.dimension not in self.expect:
            raise self.refused()
        limits, value = ASK[amount.dimension], amount.si
        if not limits.low <= value <= limits.high:
            bound = "" if not limits.si_unit else f", {self.bound(value, limits)}"
            raise self.refused(f"{limits.words}{bound}", limits.example)
        if amount.dimension is Dimension.COUNT and value != round(value):
            raise self.refused(limits.words, limits.example)
        return amount

    @staticmethod
    def bound(value: float, limits: Ask) -> str:
        """The limit that was passed, in words."""
        return "not below zero" if value < limits.low else f"at most {written(limits.high)} {limits.si_unit}"


def _expected(expect: Dimension | tuple[Dimension, ...]) -> tuple[Dimension, ...]:
    return (expect,) if isinstance(expect, Dimension) else expect


def _holds_amount(words: str) -> bool:
    """Whether a second amount stands among words ("melon rind 200 g")."""
    for place in _NUMBER_AT.finditer(words):
        try:
            found = read_number(words[place.start() :])
        except ValueError:
            return True
        if found is not None and found.rest.split(" ")[0].rstrip(".,;").lower() in UNITS:
            return True
    return False


def parse_amount(
    text: str,
    field: str = "amount",
    *,
    expect: Dimension | tuple[Dimension, ...] = (),
    usual: Mapping[str, str] = _NO_MEASURES,
) -> Amount:
    """Read "350 g", "1 1/2 lb", "½ cup", "72F", "2 lb 3 oz", "30%", "1,000 worms".

    ``expect`` names the dimensions that are allowed (none: any); ``usual`` holds the keeper's own measures by name,
    such as ``{"handful": "40 g"}``. RefusedError for what is not an amount of that kind, UnclearError for what may mean
    more than one thing (a bare number, "1,500 kg", "2-3 cups", a handful of unknown size). A bare 0 is taken where one
    kind is expected and nought is the same in all its units.
    """
    reader = _Reader(text, field, _expected(expect), usual)
    nought = {Dimension.MASS, Dimension.VOLUME, Dimension.LENGTH, Dimension.AREA, Dimension.COUNT, Dimension.FRACTION}
    if reader.plain == "0" and reader.expect and reader.expect[0] in nought:
        name = ASK[reader.expect[0]].offered[0].lower()
        return Amount(0.0, UNITS[name], reader.plain)
    amount, rest = reader.one(reader.plain)
    if rest:
        raise reader.refused(f"{reader.allowed} and nothing after it")
    return reader.held(Amount(amount.value, amount.unit, " ".join(shown(text).split())))


def parse_amount_of(
    text: str,
    field: str = "amount",
    *,
    expect: Dimension | tuple[Dimension, ...] = (),
    usual: Mapping[str, str] = _NO_MEASURES,
) -> tuple[Amount, str]:
    """Read "2 cups coffee grounds", "2 cups of coffee grounds" or "coffee grounds 2 cups": the amount, and of what.

    Errors as in ``parse_amount``; RefusedError too when no thing is named.
    """
    reader = _Reader(text, field, _expected(expect), usual)
    plain = reader.plain
    try:
        starts = read_number(ABOUT.sub("", plain, count=1)) is not None
    except ValueError:
        starts = True
    words = ""
    if not starts:
        # The amount stands last: the first number that is not part of a name begins it.
        place = next((found.start() for found in _NUMBER_AT.finditer(plain) if found.start()), None)
        if place is None:
            raise reader.refused("how much and of what", "300 g melon rind")
        words, plain = plain[:place].rstrip(" ,:"), plain[place:]
    amount, rest = reader.one(plain)
    if (words and rest) or _holds_amount(rest):
        raise reader.refused("one amount and the name of one thing", "300 g melon rind")
    said = plain[: len(plain) - len(rest)].rstrip() if rest else plain
    name = words or re.sub(r"^of ", "", rest, flags=re.IGNORECASE)
    if not name:
        raise reader.refused("how much and of what", "300 g melon rind")
    return reader.held(Amount(amount.value, amount.unit, said)), name


def parse_percent(text: str, field: str = "share", *, low: float = 0.0, high: float = 1.0) -> float:
    """A share as a fraction from "82" or "82%": a bare number is percent here; "0.82" is asked about."""
    allowed = f"a percentage from {written(low * 100)} to {written(high * 100)}"
    example = f"{written(round((low + high) * 50))}%"
    if text.strip().casefold() in IN_WORDS and low <= (share := IN_WORDS[text.strip().casefold()]) <= high:
        return share
    reader = _Reader(text, field, (Dimension.FRACTION,), _NO_MEASURES)
    reader.allowed, reader.example = allowed, example
    plain = reader.plain if reader.plain.endswith(("%", "t")) else f"{reader.plain}%"
    found, rest = reader.one(plain)
    if rest:
        raise reader.refused()
    value = found.si
    if plain != reader.plain and 0 < found.value <= 1:
        share = found.value * 100
        raise reader.unclear(f"{allowed}, with its % sign", (f"{written(share)}%", f"{written(found.value)}%"))
    if not low <= value <= high:
        raise reader.refused()
    return value
