"""How sure a finding is: the band's width, and which reading, how old, it rests on. Never a fixed phrase."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import inf
from typing import Any

from wormbin.advice.case import Case
from wormbin.advice.finding import Action, Finding
from wormbin.advice.levels import Limit, chance_beyond, level_of
from wormbin.advice.wording import mass_band, one_in, percent
from wormbin.figures import Band, Level
from wormbin.measures import counted
from wormbin.process.views import FULL_WEIGHT, Day, Judged
from wormbin.records.habits import fed_kg

_NAMES = {
    "moisture": "moisture reading",
    "left": "look at what is left of a feeding",
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
    return f"{mass_band(case.today.feed_waiting_kg, case.settings, given or inf)} waiting"


def worms_words(case: Case) -> str:
    """The band of the herd in words; it cannot outweigh the bin."""
    return f"{mass_band(case.today.worms_kg, case.settings, case.today.total_kg.p90 or inf)} of worms"


def rests_on(case: Case, *quantities: str) -> str:
    """Which reading the judgement rests on and how old it is; or that there is none and it is worked out."""
    parts = []
    for quantity in quantities:
        judged = latest(case, quantity)
        if judged is None:
            continue
        age = age_days(case, judged)
        old = "today" if age == 0 else "yesterday" if age == 1 else f"{age} days ago"
        doubt = "" if judged.weight >= FULL_WEIGHT else f" (counted at {percent(judged.weight)}, as it does not fit)"
        name = name_of(quantity, judged.by)
        parts.append(f"{'an' if name[0] in 'aeio' else 'a'} {name} {old}{doubt}")
    if parts:
        return "rests on " + listed(parts)
    wanted = " or ".join(name_of(quantity) for quantity in quantities)
    since = (case.on - case.bin.started).days
    over = f"over {counted(since, 'day')}" if since else "today"
    return f"no {wanted} in the log yet: worked out from what went in {over}"


def against(limit: Limit, level: Level, show: Callable[[float], str]) -> str:
    """The limit in words, and where a warning ends when that differs: "limit 28 °C, told until it is under 27 °C"."""
    edge = limit.act if level is Level.ACT and limit.act is not None else limit.watch
    enter, leave = show(edge.enter), show(edge.leave)
    side = "under" if limit.above else "over"
    return f"limit {enter}" if enter == leave else f"limit {enter}, told until it is {side} {leave}"


def sure(
    case: Case,
    said: str,
    *quantities: str,
    band: Band | None = None,
    limit: Limit | None = None,
    level: Level | None = None,
) -> str:
    """``said`` (the band in words), the chance of being past the limit, and the readings it rests on."""
    parts = [f"{said} (8 times in 10)" if said else ""]
    if band is not None and limit is not None:
        edge = limit.edge(level or Level.WATCH)
        parts.append(f"{one_in(chance_beyond(band, edge, above=limit.above))} that it is past the limit")
    parts.append(rests_on(case, *quantities))
    return "; ".join(part for part in parts if part)


@dataclass(frozen=True, slots=True)
class Past:
    """A figure that is past its limit on the day asked about: how far, and how it is said."""

    case: Case
    limit: Limit
    level: Level
    band: Band | None
    say: Callable[[float], str]

    @property
    def ground(self) -> str:
        """The limit that it is past, with its source: "limit 28 °C, told until it is under 27 °C (...)"."""
        return f"{against(self.limit, self.level, self.say)} ({self.limit.source})"

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
        """The finding of it: ``said`` is the band in words and ``by`` the readings that it rests on."""
        return Finding(
            code=code, level=self.level, what=what, why=why, actions=actions,
            sure=sure(self.case, said, *by, band=self.band, limit=self.limit, level=self.level),
            source=self.limit.source, urgency=urgency, **more,
        )  # fmt: skip


def past(case: Case, limit: Limit, band_of: Callable[[Day], Band | None], say: Callable[[float], str]) -> Past | None:
    """Whether a figure is past its limit today, entered and left as the limit says; None while it is not."""
    level = level_of(case.history, band_of, limit)
    return Past(case, limit, level, band_of(case.today), say) if level is not Level.STEADY else None
