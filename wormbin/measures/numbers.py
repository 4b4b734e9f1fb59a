"""Numbers as people write them: decimal comma or point, thousands, fractions and small number words."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from decimal import Decimal

from wormbin.measures.units import HANDY, UNCLEAR, UNITS
from wormbin.measures.words import LONGEST, bounded, shown, tidy
from wormbin.problems import Problem, RefusedError, UnclearError

_WORDS = {
    "a": 1.0, "an": 1.0, "one": 1.0, "two": 2.0, "three": 3.0, "four": 4.0, "five": 5.0, "six": 6.0, "seven": 7.0,
    "eight": 8.0, "nine": 9.0, "ten": 10.0, "eleven": 11.0, "twelve": 12.0,
    "half a": 0.5, "half an": 0.5, "a half": 0.5, "one half": 0.5, "half": 0.5, "a quarter": 0.25, "quarter of a": 0.25,
    "a quarter of a": 0.25, "quarter": 0.25, "three quarters": 0.75, "three quarters of a": 0.75,
}  # fmt: skip
_LONGEST_FIRST = "|".join(sorted(_WORDS, key=len, reverse=True))
_WORD = re.compile(rf"({_LONGEST_FIRST})(?= )", re.IGNORECASE)
_FRACTION = re.compile(r"(?:([0-9]{1,6})(?: |-))?([0-9]{1,6}) ?/ ?([0-9]{1,6})(?![0-9.,/])")
_DIGITS = re.compile(r"([+-]?) ?([0-9]+\.(?![0-9.,])|[0-9]+(?:[.,][0-9]+)*|[.,][0-9]+)")
_SPACED = re.compile(r"[0-9]{1,3}(?: [0-9]{3})+(?![0-9])")
_EXPONENT = re.compile(r"[eE][+-]?[0-9]")
_GROUPS = re.compile(r"[1-9][0-9]{0,2}(?:([.,])[0-9]{3})(?:\1[0-9]{3})*")


@dataclass(frozen=True, slots=True)
class Read:
    """A number at the start of a text: its value, what else it might mean, and the text that follows.

    ``thousands`` is the other value of "1,500" or "1.500"; ``comma`` says which of the two signs was used.
    """

    value: float
    rest: str
    thousands: float | None = None
    comma: bool = False


def unfold_fractions(text: str) -> str:
    """Text with one-letter fractions ("½") spelt " 1/2", and refused if a digit is not one of 0-9.

    Raises ``ValueError`` for the digit; the reason is told by the caller, who knows the field.
    """
    spelt: list[str] = []
    for place, character in enumerate(text):
        if character.isascii() or not character.isnumeric():
            spelt.append(character)
        elif unicodedata.decomposition(character).startswith("<fraction>"):
            spelt.append(" " + unicodedata.normalize("NFKC", character))
        elif character in "²³" and place and text[place - 1].isalpha():
            spelt.append(character)
        else:
            raise ValueError(character)
    return "".join(spelt)


def _plain(token: str) -> float:
    """The value of a token with decimal point or comma and thousands groups; ValueError when it makes no sense."""
    points, commas = token.count("."), token.count(",")
    if points and commas:
        decimal = max(".", ",", key=token.rfind)
        whole, _, part = token.rpartition(decimal)
        if token.count(decimal) > 1 or not _GROUPS.fullmatch(whole):
            raise ValueError(token)
        return float(re.sub("[.,]", "", whole) + "." + part)
    if points + commas > 1:
        if not _GROUPS.fullmatch(token):
            raise ValueError(token)
        return float(re.sub("[.,]", "", token))
    return float(token.replace(",", "."))


def read_number(text: str) -> Read | None:
    """The number that a tidied text begins with, or None when it begins with none. ValueError for a senseless one."""
    if word := _WORD.match(text):
        return Read(_WORDS[word[1].lower()], text[word.end() :].lstrip())
    if fraction := _FRACTION.match(text):
        whole, over, under = fraction.groups()
        if int(under) == 0:
            raise ValueError(fraction[0])
        return Read(int(whole or 0) + int(over) / int(under), text[fraction.end() :].lstrip())
    found = _DIGITS.match(text)
    if found is None:
        return None
    if _SPACED.match(text):
        raise ValueError(text)
    if _EXPONENT.match(text, found.end()):
        raise ValueError(text)
    sign, token = (-1.0 if found[1] == "-" else 1.0), found[2]
    rest = text[found.end() :].lstrip()
    value = sign * _plain(token)
    if token.count(".") + token.count(",") == 1 and _GROUPS.fullmatch(token):
        return Read(value, rest, sign * float(re.sub("[.,]", "", token)), "," in token)
    return Read(value, rest)


def written(value: float) -> str:
    """A number written out so that it can be read back one way only: no exponent, no thousands sign."""
    return _unmistakable(f"{value:.6f}")


def written_exactly(value: float) -> str:
    """The same with every digit that the number has, so that it is read back as itself."""
    return _unmistakable(f"{Decimal(repr(value)):f}")


def _unmistakable(digits: str) -> str:
    text = digits.rstrip("0").rstrip(".") if "." in digits else digits
    if _GROUPS.fullmatch(text.lstrip("-")):
        # "1.001" may mean a thousand and one; "1.0010" may not.
        text += "0"
    return "0" if text in {"", "-0"} else text


def parse_number(
    text: str, field: str = "number", *, low: float = 0.0, high: float = 1e9, example: str = "12.5"
) -> float:
    """A plain number without a unit, between ``low`` and ``high`` inclusive; RefusedError or UnclearError else."""
    allowed = f"a number from {written(low)} to {written(high)}"
    problem = Problem(field, shown(text), allowed, example)
    bounded(text, field, allowed, example)
    try:
        found = read_number(tidy(unfold_fractions(text)))
    except ValueError:
        plain = f"{allowed}, in the digits 0 to 9, such as 1500 or 2.5 or 1 1/2"
        raise RefusedError(Problem(field, shown(text), plain, example)) from None
    if found is None or found.rest:
        raise RefusedError(problem)
    if found.thousands is not None:
        raise UnclearError(
            Problem(field, shown(text), "a number with one meaning", written(found.value)),
            (written(found.value), written(found.thousands)),
        )
    if not low <= found.value <= high:
        raise RefusedError(problem)
    return found.value


ABOUT = re.compile(r"(?:about|around|roughly|approx\.?|ca\.?|~) ?", re.IGNORECASE)
MANY_GRAMS = 20.0
"""A number this large that lost its unit was grams or the like; a small one kilos, pounds or cups."""


def are_things(number: float, words: str) -> bool:
    """Whether a number and words without a unit are so many things: few of them, and in the plural when over one.

    "2 kale" has lost its unit, "2 apples" has not.
    """
    last = words.split(" ")[-1].lower()
    plural = last.endswith("s") and not last.endswith("ss")
    return number < MANY_GRAMS and (number == round(number) or number < 1) and plural == (number > 1)


def number_of_things(text: str) -> tuple[float, str, str] | None:
    """ "2 banana peels" as 2.0, "", "banana peels"; "3 slices of bread" as 3.0, "slice", "bread"; None for all else.

    The word between is a household measure. What has a unit is no number of things.
    """
    try:
        plain = tidy(unfold_fractions(text[:LONGEST]))
        found = read_number(plain[about.end() :] if (about := ABOUT.match(plain)) else plain)
    except ValueError:
        return None
    if found is None or found.value <= 0 or found.thousands is not None or not found.rest[:1].isalpha():
        return None
    first, _, after = found.rest.partition(" ")
    word = first.lower().removesuffix("s")
    if word in HANDY:
        return found.value, word, re.sub("^of ", "", after, flags=re.IGNORECASE)
    unit = {first.rstrip(".,").lower(), " ".join(found.rest.split(" ")[:2]).lower()} & (UNITS.keys() | UNCLEAR.keys())
    return None if unit else (found.value, "", found.rest)
