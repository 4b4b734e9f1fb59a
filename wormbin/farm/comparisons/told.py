"""What can be compared: how each quantity is read, worked out and told, and its difference in one plain sentence."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

from wormbin.drawing.axes import LEAST_BIG_KG
from wormbin.farm.views.comparison import Difference, Verdict
from wormbin.figures import Band
from wormbin.measures import counted
from wormbin.measures.dates import day_words
from wormbin.measures.units import INCH_M, POUND_KG
from wormbin.records.kinds.log import Measured
from wormbin.science.paired import LEAST_WEEKS, USUAL, Paired

if TYPE_CHECKING:
    from wormbin.farm.bins.harvest import Coming


@dataclass(frozen=True, slots=True)
class Told:
    """How one quantity is read, worked out and told. ``matters`` is the least difference worth telling, in ``unit``,
    and ``alike`` how far boxes kept alike lie apart for good (standard deviation; ours, after the made-up bins of
    ``tests/benchmarks/comparing``); with ``share`` both are shares of the mean of both bins. ``carry`` is how much of a
    week's difference usually carries over to the next. ``read`` is a judged quantity, "" where none can be read,
    ``figure`` a band of ``Day``; ``by`` says how it is read."""

    title: str
    chart: str
    unit: str
    read: str
    figure: str
    matters: float
    alike: float
    words: str
    share: bool = False
    sign: float = 1.0
    made_unit: str = ""
    by: str = ""
    carry: float = USUAL


TOLD = {
    Measured.WORKED: Told(
        "feed worked off", "worked", "fraction", "left", "processed_kg_day", 0.10, 0.025,
        "{more} had {by} less of its last feeding left than {less}", sign=-1.0, made_unit="kg",
        by="what is left of a feeding (--left)",
    ),
    Measured.CASTINGS: Told(
        "castings share", "castings", "fraction", "", "castings_share", 0.05, 0.0,
        "{more} is {by} further with its castings than {less}",
    ),
    Measured.MOISTURE: Told(
        "moisture", "moisture", "fraction", "moisture", "moisture", 0.03, 0.008,
        "{more} was {by} wetter than {less}", by="moisture (--moisture, or --squeeze in both)",
    ),
    Measured.TEMPERATURE: Told(
        "temperature", "temp", "degC", "temp_c", "temp_c", 1.0, 0.3, "{more} was {by} warmer than {less}",
        by="the bed's temperature (--temp)",
    ),
    Measured.WORMS: Told(
        "worms", "worms", "kg", "worms_kg", "worms_kg", 0.20, 0.03,
        "{more} held {by} more worms than {less}", share=True, by="counted worms (survey)",
    ),
    Measured.DEPTH: Told(
        "depth", "depth", "m", "contents_m", "contents_m", 0.015, 0.005,
        "{more} stood {by} deeper than {less}", by="depth by the ruler (--depth)",
    ),
    Measured.WEIGHT: Told(
        "weight", "weight", "kg", "total_kg", "total_kg", 0.10, 0.05,
        "{more} weighed {by} more than {less}", share=True, by="weight (weigh)", carry=0.6,
    ),
}  # fmt: skip


def scale(values: Sequence[float], unit: str, units: str) -> tuple[float, str, int]:
    """What differences in an SI unit are multiplied with to be told, the unit they are told in, and how many decimals.

    A difference of shares is told in points, so that nobody takes it for a share of the share.
    """
    most, us = max(map(abs, values)), units == "us"
    match unit:
        case "fraction":
            factor, name = 100.0, "points"
        case "degC":
            factor, name = (1.8, "°F") if us else (1.0, "°C")
        case "m":
            factor, name = (1 / INCH_M, "in") if us else (100.0, "cm")
        case _:
            big, small = ((1 / POUND_KG, "lb"), (16 / POUND_KG, "oz")) if us else ((1.0, "kg"), (1000.0, "g"))
            factor, name = small if most < LEAST_BIG_KG[units] else big
    return factor, name, 0 if most * factor >= 10.0 else 1


def difference_words(value: float, unit: str, units: str) -> str:
    """A difference as it is told, without its sign: "8.0 points" of a share, "1.5 °C", "2.0 cm", "300 g"."""
    factor, name, digits = scale((value,), unit, units)
    return f"{abs(value) * factor:.{digits}f} {name}"


def signed_words(mean: float, low: float, high: float, unit: str, units: str) -> str:
    """A difference with its interval, in figures: "+8 points (-2 to +18)"."""
    factor, name, digits = scale((mean, low, high), unit, units)
    first, begins, ends = (f"{round(value * factor, digits) + 0.0:+.{digits}f}" for value in (mean, low, high))
    return f"{first} {name} ({begins} to {ends})"


def _apart(told: Told, mean: float, names: tuple[str, str], unit: str, units: str) -> str:
    more, less = names if mean >= 0.0 else names[::-1]
    return told.words.format(more=more, less=less, by=difference_words(mean, unit, units))


def span_words(low: float, high: float, unit: str, units: str) -> str:
    """The ends of an interval of a difference, its sign in words where it crosses nought."""
    factor, name, digits = scale((low, high), unit, units)
    begins, ends = (f"{abs(value) * factor:.{digits}f}" for value in (low, high))
    if low < 0.0 < high:
        return f"{begins} {name} less to {ends} more"
    return f"{begins} to {ends} {name}" if low >= 0.0 else f"{ends} to {begins} {name}"


def read_words(
    told: Told, pair: Paired | None, had: int, sure: float, verdict: Verdict, more: int | None, names: tuple[str, str],
    units: str, ends: date, on: date, matters: float, line: str,
) -> str:  # fmt: skip
    """The one plain sentence of the readings, of which both bins ``had`` some in so many weeks. ``line`` is the entry
    that began the comparison, "" where there is none."""
    least = difference_words(matters if pair is None else pair.aim(matters), told.unit, units)
    if verdict is Verdict.NOT_YET:
        weeks = f"about {counted(more, 'more week', 'more weeks')}" if more else ""
        late = f" {_late(line, more, ends, on)}" if line and more and on + timedelta(weeks=more) > ends else ""
        if had < LEAST_WEEKS:
            so_far = f"What counts is {told.by}, read in both: {counted(had, 'week')} so far."
            return f"Not yet: {weeks} {'is' if more == 1 else 'are'} needed. {so_far}{late}"
        if more is None:
            short = f"Not yet: these readings would not show {least} within half a year."
            return f"{short} Read both more often each week, or keep two bins of each."
        if not more:
            return f"Not yet: there are readings enough to see {least}; it ends on {ends.isoformat()}, look then."
        return f"Not yet: {weeks} of readings in both bins, until a difference of {least} would show.{late}"
    if pair is None:
        return ""
    low, high = pair.interval(sure)
    if verdict is Verdict.MORE:
        apart = _apart(told, pair.mean, names, told.unit, units)
        return (
            f"More than noise: {apart} ({span_words(low, high, told.unit, units)}), by {pair.weeks} weeks of readings."
        )
    left = span_words(low, high, told.unit, units)
    return f"Not more than noise: {pair.weeks} weeks of readings leave {left} open for {names[0]}, nought among it."


def _late(line: str, more: int, ends: date, on: date) -> str:
    left = f"is in {counted((ends - on).days, 'day')}" if on < ends else "is past"
    until = (on + timedelta(weeks=more)).isoformat()
    return f"Its end {left}: set a later one with wormbin amend {line} --until {until}."


def can_be_told(made: Band, usual: float, unit: str) -> bool:
    """Whether a difference of estimates tells anything: no share lies wider than half of all that it can be, and no
    amount wider than itself (``usual``, the mean of both bins)."""
    half = (made.p90 - made.p10) / 2
    return unit == "degC" or half <= (0.5 if unit == "fraction" else usual)


def made_words(
    told: Told, made: Band | None, verdict: Verdict, names: tuple[str, str], unit: str, units: str, on: date
) -> str:
    """The same of the estimates; None for what cannot be told."""
    if made is None:
        return f"Cannot be said yet: the estimate of {told.title} for {on.isoformat()} is too wide. Read both bins."
    apart = told.words
    if told.made_unit:
        apart = "{more} has worked off {by} more dry matter than {less} since the start"
    words = _apart(replace(told, words=apart), made.p50, names, unit, units)
    # Told of whichever has more, so that the ends of the interval speak of that one, too.
    low, high = (made.p10, made.p90) if made.p50 >= 0.0 else (-made.p90, -made.p10)
    span = span_words(low, high, unit, units)
    return f"{str(verdict).capitalize()}, as worked out for {on.isoformat()}: {words} ({span})."


def agree_words(main: Difference) -> str:
    """How readings and estimate go together; "" where only one of them speaks."""
    if main.read is None or main.verdict is Verdict.NOT_YET:
        return ""
    if main.verdict is Verdict.MORE and main.made_verdict is Verdict.MORE and main.read.mean * main.made.p50 < 0:
        return "The readings and the estimate point opposite ways: believe the readings, and look why."
    if main.verdict is Verdict.MORE and main.made.p10 <= 0.0 <= main.made.p90:
        return "The estimate alone could not tell them apart; the readings can."
    return ""


def harvest_words(coming: Sequence[tuple[str, Coming]], on: date) -> str:
    """When the castings of each come off, and whether the windows of the first and the last lie apart."""
    days = [(one.day, one.window, name) for name, one in coming if one.day is not None]
    far = [f"{name}: not in sight" for name, one in coming if one.day is None]
    each = [f"{name}: {day_words(day, on)}" for day, _, name in days]
    if len(days) < 2:
        return f"Ready to harvest: {'; '.join((*each, *far))}."
    first, last = (pick(days, key=lambda one: one[0]) for pick in (min, max))
    ends, begins = first[1].latest, last[1].earliest
    gap = counted((last[0] - first[0]).days, "day")
    told = f"{gap} apart" if ends and begins and ends < begins else f"{gap} apart, too few to tell them apart"
    return f"Ready to harvest: {'; '.join((*each, *far))}. That is {told if last[0] > first[0] else 'the same day'}."
