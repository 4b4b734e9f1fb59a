"""A reading taken in: all nine courses moved towards it as far as it deserves, heavy-tailed, and the spread drawn in.

A deterministic square-root ensemble update: the likely course moves by the gain times what the reading says beyond what
was expected; the companions move with it and close up by as much as the reading teaches. A reading far out of line
is given less weight (Student's t), never dropped.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import exp, log, sqrt

from wormbin.process.companions import COMPANIONS
from wormbin.process.course import Course
from wormbin.process.pools import CASTINGS, LEFT, LEFT_RAW, STEADY, WATER, WORMS, dry, scale_pool

TAIL = 4.0
"""Degrees of freedom of the heavy tail: 4 forgives a wild reading in ten without ignoring honest surprise."""
QUESTION_AT = 3.0
"""Standard deviations off what was expected at which the keeper is asked."""
FLOOR = 0.05
"""Share of a feeding below which the eye cannot tell how much is left."""
MOST = 1.4
"""No single reading changes a mass more than fourfold (natural log)."""
_NOTHING = 1e-12
_RATE_BOUND, _DRYING_BOUND = 1.8, 1.8


@dataclass(frozen=True, slots=True)
class Verdict:
    """What became of one reading: its weight 0-1, how many standard deviations it lay off."""

    weight: float
    off: float

    @property
    def questioned(self) -> bool:
        """Whether it lies so far out that the keeper should be asked."""
        return abs(self.off) > QUESTION_AT


def judge(read: float, expected: float, expected_var: float, reading_var: float) -> Verdict:
    """How a reading sits with what was expected: Student-t weight against the spread of both together."""
    off = (read - expected) / sqrt(expected_var + reading_var)
    return Verdict(min(1.0, (TAIL + 1.0) / (TAIL + off * off)), off)


def take_in(
    nine: list[Course],
    expected: Sequence[float],
    read: float,
    reading_var: float,
    weight: float,
    herd_bound: float = 0.25,
) -> None:
    """Move the nine courses by a reading. ``expected`` is what each of them says the reading should be, same unit.

    ``herd_bound`` is the most that the log of the herd may move: little when it was not the herd that was read.
    """
    others = expected[1:]
    mean = sum(others) / COMPANIONS
    a, b, c, d, e, f, g, h = (value - mean for value in others)
    spread = (a * a + b * b + c * c + d * d + e * e + f * f + g * g + h * h) / COMPANIONS
    if spread <= 1e-18:
        return
    noise = reading_var / max(weight, 1e-6)
    whole = spread + noise
    per = 1.0 / (COMPANIONS * whole)
    surprise = read - expected[0]
    closing = 1.0 / (1.0 + sqrt(noise / whole))

    def moves(now: Sequence[float]) -> list[float]:
        _, i, j, k, m, n, o, p, q = now
        gain = per * (a * i + b * j + c * k + d * m + e * n + f * o + g * p + h * q)
        shift = gain * surprise
        closer = gain * closing
        return [
            shift, shift - closer * a, shift - closer * b, shift - closer * c, shift - closer * d, shift - closer * e,
            shift - closer * f, shift - closer * g, shift - closer * h,
        ]  # fmt: skip

    for course, move in zip(nine, moves([c.log_rate for c in nine]), strict=True):
        course.log_rate = min(max(course.log_rate + move, -_RATE_BOUND), _RATE_BOUND)
    for course, move in zip(nine, moves([c.log_drying for c in nine]), strict=True):
        course.log_drying = min(max(course.log_drying + move, -_DRYING_BOUND), _DRYING_BOUND)
    for course, move in zip(nine, moves([c.log_input for c in nine]), strict=True):
        course.log_input = min(max(course.log_input + move, -0.7), 0.7)
    for course, move in zip(nine, moves([c.log_fibre for c in nine]), strict=True):
        course.log_fibre = min(max(course.log_fibre + move, -1.5), 1.5)
    for course, move in zip(nine, moves([c.log_yield for c in nine]), strict=True):
        course.log_yield = min(max(course.log_yield + move, -0.5), 0.5)
    for part in range(len(nine[0].parts)):
        _move_part([course.parts[part] for course in nine], moves, herd_bound)


DOUBTABLE = ("left", "moisture")
"""Quantities whose repeated surprises make the belief be doubted, not the keeper."""


def widen(nine: list[Course], quantity: str, factor: float) -> None:
    """Spread the companions ``factor`` times as far from the likely course in what ``quantity`` rests on."""

    def stretch(likely: float, each: float) -> float:
        if likely <= _NOTHING or each <= _NOTHING:
            return 1.0
        return exp(min(max((factor - 1.0) * log(each / likely), -MOST), MOST))

    likely = nine[0]
    half = 0.5 * (factor - 1.0)
    for course in nine[1:]:
        course.log_rate += min(0.3, max(-0.3, half * (course.log_rate - likely.log_rate)))
        for middle, part in zip(likely.parts, course.parts, strict=True):
            if quantity == "moisture":
                wetter = stretch(middle[WATER] / (dry(middle) + _NOTHING), part[WATER] / (dry(part) + _NOTHING))
                part[WATER] *= wetter
                continue
            for pool in (0, 1):
                scale_pool(part, pool, stretch(middle[pool], part[pool]))
            for i in range(LEFT, LEFT + 4):
                off = factor * (part[i] - middle[i])
                _set_left(part, i, middle[i] + off)


def _set_left(part: list[float], i: int, share: float) -> None:
    """Put what is left of the last feeding in one pace at ``share``, with its raw part."""
    share = min(1.0, max(0.0, share))
    if i - LEFT <= STEADY and part[i] > 0.0:
        part[LEFT_RAW + i - LEFT] *= share / part[i]
    part[i] = share


def _move_part(parts: list[list[float]], moves: Callable[[Sequence[float]], list[float]], herd_bound: float) -> None:
    """Move worms, wetness, pools and what is left of the last feeding in one compartment, all in logs."""
    wetness = [c[WATER] / (dry(c) + _NOTHING) for c in parts]
    for pool in range(CASTINGS + 1):
        there = [c[pool] for c in parts]
        if min(there) > _NOTHING:
            for c, times in zip(parts, _times(moves([log(each) for each in there]), MOST), strict=True):
                scale_pool(c, pool, times)
    for i in range(LEFT, LEFT + 4):
        there = [c[i] + FLOOR for c in parts]
        if max(there) > FLOOR + 1e-4:
            for c, each, times in zip(parts, there, _times(moves([log(x) for x in there]), MOST), strict=True):
                _set_left(c, i, each * times - FLOOR)
    herds = [c[WORMS] for c in parts]
    if min(herds) > _NOTHING:
        for c, times in zip(parts, _times(moves([log(each) for each in herds]), herd_bound), strict=True):
            c[WORMS] *= times
    if min(wetness) > 1e-9:
        for c, wet, times in zip(parts, wetness, _times(moves([log(each) for each in wetness]), MOST), strict=True):
            c[WATER] = dry(c) * wet * times


def _times(moved: Sequence[float], most: float) -> list[float]:
    """Factors of moves in logs, none of them further than ``most`` either way."""
    if max(moved) > most or min(moved) < -most:
        return [exp(min(max(move, -most), most)) for move in moved]
    return [exp(move) for move in moved]
