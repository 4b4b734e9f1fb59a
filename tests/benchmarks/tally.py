"""Coverage and errors of many forecasts, put together and printed as tables."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from statistics import median

from tests.benchmarks.forecasts import Said

FROM_DAY = 45
"""Errors are judged from this day of log on."""
QUANTITIES = ("harvest date", "feed waiting", "moisture", "castings", "castings share", "worms", "whole mass")
UNITS = {
    "harvest date": ("days", 1.0), "feed waiting": ("kg", 1.0), "moisture": ("points", 100.0), "castings": ("kg", 1.0),
    "castings share": ("points", 100.0), "worms": ("kg", 1.0), "whole mass": ("kg", 1.0),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Score:
    """One quantity over many bins and days. Errors are medians in ``unit`` from ``FROM_DAY`` on."""

    quantity: str
    asked: int
    unseen: int
    coverage: float
    under: float
    over: float
    width: float
    error: float
    untaught: float
    thumb: float | None
    bias: float

    @property
    def against_untaught(self) -> float:
        """The error over that of the untaught model."""
        return self.error / self.untaught if self.untaught > 0 else 1.0

    @property
    def against_thumb(self) -> float | None:
        """The error over that of the rule of thumb."""
        return self.error / self.thumb if self.thumb else None


def score(quantity: str, said: Iterable[Said], from_day: int = FROM_DAY) -> Score:
    """The score of one quantity. ``under`` and ``over`` are the shares of truths below and above the band."""
    every = [each for each in said if each.quantity == quantity]
    seen = [each for each in every if not each.unseen]
    late = [each for each in seen if each.day >= from_day]
    factor = UNITS[quantity][1]

    def middle(values: Sequence[float]) -> float:
        return factor * median(values) if values else float("nan")

    thumbs = [abs(each.thumb - each.truth) for each in late if each.thumb is not None]
    return Score(
        quantity=quantity,
        asked=len(seen),
        unseen=len(every) - len(seen),
        coverage=sum(each.inside for each in seen) / max(1, len(seen)),
        under=sum(each.truth < each.low for each in seen if not each.inside) / max(1, len(seen)),
        over=sum(each.truth > each.high for each in seen if not each.inside) / max(1, len(seen)),
        width=middle([each.high - each.low for each in late]),
        error=middle([abs(each.likely - each.truth) for each in late]),
        untaught=middle([abs(each.untaught - each.truth) for each in late]),
        thumb=middle(thumbs) if thumbs else None,
        bias=middle([each.likely - each.truth for each in late]),
    )


def scores(said: Sequence[Said]) -> tuple[Score, ...]:
    """Every quantity, in the order of the table."""
    return tuple(score(name, said) for name in QUANTITIES)


def coverage_table(said: Sequence[Said]) -> list[str]:
    """The table of coverage and errors, in Markdown."""
    lines = [
        "| figure | asked | in the band | under, over it | median error | untaught model | rule of thumb |",
        "| --- | --- | --- | --- | --- | --- | --- |",
    ]
    for each in scores(said):
        unit = UNITS[each.quantity][0]
        plain = f"{each.untaught:.2g} {unit} ({_less(each.against_untaught)})"
        by_thumb = (
            ""
            if each.thumb is None or each.against_thumb is None
            else (f"{each.thumb:.2g} {unit} ({_less(each.against_thumb)})")
        )
        lines.append(
            f"| {each.quantity} | {each.asked} | {each.coverage:.0%} | {each.under:.0%}, {each.over:.0%} "
            f"| {each.error:.2g} {unit} | {plain} | {by_thumb} |"
        )
    return lines


def harvest_line(said: Sequence[Said]) -> str:
    """The harvest dates that came while they could be judged, and those that came later, counted apart."""
    asked = [each for each in said if each.quantity == "harvest date" and not each.unseen]
    came = [each for each in asked if each.beyond is None or each.truth <= each.beyond]
    later = [each for each in asked if each not in came]

    def told(some: Sequence[Said]) -> str:
        return f"{len(some)}, {sum(each.inside for each in some) / max(1, len(some)):.0%} of them in the window"

    return f"Harvests that came while they could be judged: {told(came)}; that came later: {told(later)}."


def beside_line(said: Sequence[Said], bins: int, seed: int) -> str:
    """What another lot of bins, never looked at either, came to: so that a reader sees how far lots differ."""
    found = [score(name, said) for name in QUANTITIES]
    return f"In the band on {bins} bins of another seed ({seed}): " + ", ".join(
        f"{each.quantity} {each.coverage:.0%}" for each in found
    )


def by_day_table(said: Sequence[Said]) -> list[str]:
    """Coverage and median error of each quantity by day of log, in Markdown."""
    days = sorted({each.day for each in said})
    lines = [
        "| figure | " + " | ".join(f"day {day}" for day in days) + " |",
        "| --- |" + " --- |" * len(days),
    ]
    for name in QUANTITIES:
        cells = []
        for day in days:
            one = score(name, [each for each in said if each.day == day], from_day=0)
            cells.append(f"{one.coverage:.0%} in, {one.error:.2g} {UNITS[name][0]} off" if one.asked else "nothing")
        lines.append(f"| {name} | " + " | ".join(cells) + " |")
    return lines


def _less(ratio: float) -> str:
    return f"{1.0 - ratio:.0%} less" if ratio < 1.0 else f"{ratio - 1.0:.0%} more"
