"""How sure a finding is: the estimate with its width, and how old the last reading is. Never a fixed phrase."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import inf
from typing import Any

from wormbin.advice.case import Case
from wormbin.advice.finding import Action, Finding
from wormbin.advice.limits import Limit, chance_beyond, level_of
from wormbin.advice.wording import mass_band, one_in
from wormbin.figures import Band, Level
from wormbin.process.views import FULL_WEIGHT, Day, Judged
from wormbin.records.habits import fed_kg

_NAMES = {
    "moisture": "moisture reading",
    "left": "look at what is left",
    "total_kg": "weighing",
    "worms_kg": "worm survey",
    "contents_m": "ruler reading",
    "temp_c": "thermometer reading",
    "castings_kg": "harvest weight",
    "ph": "pH reading",
}
_SQUEEZES = ((0.615, "dry"), (0.73, "damp"), (0.825, "like a sponge"), (1.0, "dripping"))
"""What a squeeze is called up to half way to the next one (dry 55 %, damp 68, sponge 78, dripping 87)."""
_BY = {"squeeze": "squeeze", "meter": "moisture meter reading", "oven": "oven test"}


def name_of(quantity: str, by: str = "") -> str:
    """What a reading of this quantity is called."""
    return _BY.get(by, _NAMES.get(quantity, quantity))


def squeezed(moisture: float) -> str:
    """A squeeze as the hand felt it: "dripping", "like a sponge", "damp", "dry"."""
    return next(words for most, words in _SQUEEZES if moisture <= most)


def listed(parts: Sequence[str]) -> str:
    """ "a", "a and b", "a, b and c"."""
    return " and ".join(filter(None, (", ".join(parts[:-1]), *parts[-1:])))


def latest(case: Case, *quantities: str) -> Judged | None:
    """The newest judged reading of any of these quantities."""
    return max((j for j in case.judged if j.quantity in quantities), key=lambda judged: judged.when, default=None)


def age_days(case: Case, judged: Judged) -> int:
    """Whole days since the reading, by the calendar."""
    return max(0, (case.on - judged.when.date()).days)


def waiting_words(case: Case) -> str:
    """The band of feed waiting in words; no more can wait than was ever given."""
    given = fed_kg(case.entries, case.bin.started, case.on)
    return f"{mass_band(case.today.feed_waiting_kg, case.settings, given or inf)} of food uneaten"


def worms_words(case: Case) -> str:
    """The band of the herd in words; it cannot outweigh the bin."""
    return f"{mass_band(case.today.worms_kg, case.settings, case.today.total_kg.p90 or inf)} of worms"


def last_read(case: Case, *quantities: str) -> str:
    """How old the newest readings of these are: "Last squeeze 4 days ago."; or that there is none."""
    parts = []
    for quantity in quantities:
        judged = latest(case, quantity)
        if judged is None:
            continue
        age = age_days(case, judged)
        old = "today" if age == 0 else "yesterday" if age == 1 else f"{age} days ago"
        doubt = "" if judged.weight >= FULL_WEIGHT else " (it fits badly, so it counts less)"
        parts.append(f"{name_of(quantity, judged.by)} {old}{doubt}")
    wanted = " or ".join(name_of(quantity) for quantity in quantities)
    return f"Last {listed(parts)}." if parts else f"No {wanted} yet."


def limit_words(limit: Limit, level: Level, show: Callable[[float], str]) -> str:
    """The limit that a level is entered at, as a sentence: "The limit is 28 °C."."""
    return f"The limit is {show(limit.edge(level))}."


def sure(
    case: Case,
    said: str,
    *quantities: str,
    band: Band | None = None,
    limit: Limit | None = None,
    level: Level | None = None,
) -> str:
    """``said`` (the band in words) as an estimate, the chance of being past the limit, and the last readings."""
    parts = [f"Estimate: {said} (right 8 times in 10)."]
    if band is not None and limit is not None:
        edge = limit.edge(level or Level.WATCH)
        parts.append(f"It is past the limit {one_in(chance_beyond(band, edge, above=limit.above))}.")
    return " ".join((*parts, last_read(case, *quantities)))


@dataclass(frozen=True, slots=True)
class Past:
    """A figure that is past its limit on the day asked about, and how it is said."""

    case: Case
    limit: Limit
    level: Level
    band: Band | None
    say: Callable[[float], str]

    @property
    def ground(self) -> str:
        """The limit that it is past, as a sentence."""
        return limit_words(self.limit, self.level, self.say)

    def finding(
        self,
        code: str,
        what: str,
        why: str,
        *actions: Action,
        said: str,
        by: Sequence[str],
        urgency: float,
        **more: Any,
    ) -> Finding:
        """The finding of it: ``said`` is the band in words and ``by`` the readings that would tell it."""
        return Finding(
            code=code, level=self.level, what=what, why=why, actions=actions,
            sure=sure(self.case, said, *by, band=self.band, limit=self.limit, level=self.level),
            source=self.limit.source, urgency=urgency, **more,
        )  # fmt: skip


def past(case: Case, limit: Limit, band_of: Callable[[Day], Band | None], say: Callable[[float], str]) -> Past | None:
    """Whether a figure is past its limit today, entered and left as the limit says; None while it is not."""
    level = level_of(case.history, band_of, limit)
    return Past(case, limit, level, band_of(case.today), say) if level is not Level.STEADY else None
