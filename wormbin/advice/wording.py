"""How advice says its numbers: in the keeper's units, rounded to what can be acted on, bands as ranges."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from math import inf

from wormbin.figures import Band
from wormbin.measures import area as surface, counted, length, mass, percent, poured, scooped, temperature, volume
from wormbin.measures.dates import day_words, days_words as days
from wormbin.measures.units import INCH_M, LB_FT2
from wormbin.process.views import Window
from wormbin.records.farms import Settings
from wormbin.science.constants import CASTINGS_KG_M3

__all__ = [
    "LEAST_DRY_KG", "LEAST_WATER_L", "day_words", "days", "degrees", "down", "layer", "length", "loosened", "mass",
    "mass_band", "one_in", "percent", "percent_band", "poured", "scooped", "spread", "stocking", "surface",
    "temperature", "times", "top", "volume", "warmer", "weeks", "window_words", "worth",
]  # fmt: skip

HAND_M = 0.10
"""What a hand lifts at the top."""


LEAST_WATER_L, LEAST_DRY_KG = 0.05, 0.02
"""Under a few spoons or a handful nothing is asked for (ours)."""
SOON_DAYS = 14
"""What may come only in the last days that are looked ahead at is told by the first of them alone."""
WIDE = 5.0
"""A band whose ends differ by more than this factor says that next to nothing is known, and is told so."""


def spread(band: Band, show: Callable[[float], str]) -> str:
    """A band as it is said: "1.1 kg to 1.9 kg", one figure when both ends print alike, and in words when it is wide."""
    low, high = show(band.p10), show(band.p90)
    if low == high:
        return low
    if band.p90 <= WIDE * band.p10:
        return f"{low} to {high}"
    return f"anything from {low} to {high}" if band.p10 > 0.01 * band.p90 else f"anything up to {high}"


def percent_band(band: Band) -> str:
    """``80-88%``, or one figure when the band has no width to speak of."""
    low, high = percent(band.p10), percent(band.p90)
    return low if low == high else f"{low.removesuffix('%')}-{high}"


def mass_band(band: Band, settings: Settings, most_kg: float = inf) -> str:
    """``1.1 kg to 1.9 kg``; never more than the ``most_kg`` that there can be."""
    held = Band(*(min(each, most_kg) for each in (band.p10, band.p50, band.p90)))
    return spread(held, lambda kg: mass(kg, settings.units))


def times(share: float) -> str:
    """How many times over something is, of what is far too much: "over 3 times", "over 10 times"."""
    return f"over {int(share)} times" if share < 10 else "over 10 times"


def layer(metres: float, units: str) -> str:
    """How thick a layer lies, as a hand can tell: "under 1 cm", "2.5 cm", "4 cm"; "under half an inch", "1.5 in"."""
    if units == "us":
        inches = round(metres / INCH_M * 2) / 2
        return f"{inches:g} in" if inches >= 0.5 else "under half an inch"
    if metres < 0.0095:
        return "under 1 cm"
    centimetres = metres * 100
    return f"{round(centimetres * 2) / 2:g} cm" if centimetres < 3 else f"{centimetres:.0f} cm"


def down(contents_m: float, units: str) -> str:
    """How far down a hand or a thermometer goes: "10 cm down", or half way in contents that are shallower than twice
    that.
    """
    deep = min(HAND_M, contents_m / 2)
    return f"{layer(deep, units)} down" if deep >= 0.03 else "half way down"


def top(contents_m: float, units: str) -> str:
    """What is loosened: "the top 10 cm", or all of it where there is little more."""
    return f"the top {layer(HAND_M, units)}" if contents_m > 1.2 * HAND_M else "all of it"


def warmer(rise_c: float, units: str) -> str:
    """How far a bin is over the room: "no warmer than the room", "4 °C over the room", "1 °C under it"."""
    size = degrees(abs(rise_c), units)
    if size.startswith("0 "):
        return "no warmer than the room"
    return f"{size} warmer than the room" if rise_c > 0 else f"{size} cooler than the room, as it dries"


def degrees(rise_c: float, units: str) -> str:
    """A difference of temperature: "6 °C", "11 °F"."""
    return f"{rise_c * 9 / 5:.0f} °F" if units == "us" else f"{rise_c:.0f} °C"


def stocking(kg_m2: float, units: str) -> str:
    """A stocking density: "2.5 kg/m2", "0.51 lb/ft2"."""
    return f"{kg_m2 * LB_FT2:.2g} lb/ft2" if units == "us" else f"{kg_m2:.2g} kg/m2"


def window_words(window: Window, on: date, days_ahead: int) -> str:
    """When there will be castings: "about 14 March (2 March to 1 April)", "due since 3 May", or how far it is beyond.

    Nothing that is said lies in the past, and no two parts of it contradict each other: what may come early though it
    is likely beyond the ``days_ahead`` that are looked at is told by both days.
    """
    if window.due_since is not None:
        return f"due since {day_words(window.due_since, on)}"
    after, now = f"after {day_words(on + timedelta(days=days_ahead), on)}", (window.earliest or date.max) <= on
    if window.likely is None:
        if window.earliest is None:
            return f"not in the next {counted(days_ahead, 'day')}"
        if (window.earliest - on).days > days_ahead - SOON_DAYS:
            return f"not before {day_words(window.earliest, on)}"
        return f"hard to say: maybe now, more likely {after}" if now else (
            f"likely {after}, maybe from {day_words(window.earliest, on)}"
        )  # fmt: skip
    day = max(window.likely, on)
    likely = f"{'about' if (day - on).days > 1 else 'likely'} {day_words(day, on)}"
    early = "now" if now else day_words(window.earliest or window.likely, on)
    why = "; the box is full then" if window.because == "full" else ""
    if window.latest is None:
        return f"{likely}, but hard to say{why}" if now else f"{likely} ({early} or later, maybe {after}{why})"
    return f"{likely} ({early} to {day_words(max(window.latest, window.likely), on)}{why})"


def one_in(chance: float) -> str:
    """A chance in words: "9 times in 10"; never nought and never certain."""
    return f"{counted(min(9, max(1, round(chance * 10))), 'time')} in 10"


LEAST_DAYS = 0.25
"""No more work than this is told as less than half a day: it would print as none."""


def worth(count_days: float, *, about: bool = False) -> str:
    """How long food lasts: "8 days' worth", "about 1 day's worth", "over 60 days' worth", "less than half a day's"."""
    if count_days <= LEAST_DAYS:
        return "less than half a day's worth"
    said = days(count_days)
    said = said if said.startswith("over") or not about else f"about {said}"
    return said + ("' worth" if said.endswith("s") else "'s worth")


def weeks(count_days: int) -> str:
    """ "4 weeks", or days where they make no whole weeks."""
    return counted(count_days // 7, "week") if count_days % 7 == 0 else counted(count_days, "day")


def loosened(castings_kg: float, units: str) -> str:
    """How much room castings take: "5.7 L once loosened"."""
    return f"{volume(castings_kg / CASTINGS_KG_M3 * 1000, units)} once loosened"
