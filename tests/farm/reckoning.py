"""A printed sum worked out by hand: the signs and words of the page, nothing of the program that wrote it."""

from __future__ import annotations

import math
import re
from collections.abc import Callable

_TOKEN = re.compile(
    r"(?P<number>\d+(?:\.\d+)?%?)|(?P<words>the smaller of|the smallest of|the larger of|the square root of"
    r"|to the power of|and\b|, rounded down to 10 g)|(?P<sign>[-+−×÷(),])|(?P<unit>[^-\s\d+−×÷(),]+)|\s+"
)
_UNITS = {"kg", "g", "L", "m", "cm", "s", "a", "day", "second", "days", "to", "in", "times", "°C", "pH"}


def worked_out(sum_: str) -> float:
    """What a line such as "466 g ÷ 1.31 g" comes to. ValueError for a word that is neither a sign nor a unit."""
    return _Reader(sum_).all()


class _Reader:
    def __init__(self, text: str) -> None:
        self.tokens: list[str] = []
        # "280 g a m3", "0.2 m2": a unit with a digit in it is no number.
        for match in _TOKEN.finditer(re.sub(r"(?<=[a-z])[23]\b", "", text)):
            if unit := match["unit"]:
                if unit not in _UNITS:
                    raise ValueError(f"no sign and no unit: {unit!r} in {text!r}")
            elif match[0].strip():
                self.tokens.append(match[0])
        self.at = 0

    def all(self) -> float:
        value = self.added()
        if self.peek() == ", rounded down to 10 g":
            self.take()
            value = math.floor(100 * value + 0.001) / 100
        assert self.peek() == "", self.tokens[self.at :]
        return value

    def peek(self) -> str:
        return self.tokens[self.at] if self.at < len(self.tokens) else ""

    def take(self) -> str:
        self.at += 1
        return self.tokens[self.at - 1]

    def added(self) -> float:
        value = self.times()
        while self.peek() in ("+", "−"):
            value = value + self.times() if self.take() == "+" else value - self.times()
        return value

    def times(self) -> float:
        value = self.power()
        while self.peek() in ("×", "÷"):
            value = value * self.power() if self.take() == "×" else value / self.power()
        return value

    def power(self) -> float:
        value = self.one()
        if self.peek() == "to the power of":
            self.take()
            value **= self.one()
        return value

    def one(self) -> float:
        token = self.take()
        if token in ("the smaller of", "the smallest of", "the larger of"):
            return self.of_several(max if "larger" in token else min)
        if token == "the square root of":
            return math.sqrt(self.one())
        if token == "-":
            return -self.one()
        if token == "(":
            value = self.added()
            assert self.take() == ")"
            return value
        return float(token[:-1]) / 100 if token.endswith("%") else float(token)

    def of_several(self, choose: Callable[[list[float]], float]) -> float:
        values = [self.one()]
        while self.peek() in (",", "and"):
            last = self.take() == "and"
            values.append(self.one())
            if last:
                break
        return choose(values)
