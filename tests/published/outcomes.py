"""The table of published outcomes (``outcomes.toml``): each row asked of the model's trial, and how far ours lies off.

One parameter set answers all rows. Each row says what was found, by whom and how well that is known; each setup says
what was assumed where the source, as far as it could be read, does not tell.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from math import log
from pathlib import Path
from typing import Any

from wormbin.materials.table import default_table
from wormbin.process.parameters import DEFAULT, Parameters
from wormbin.process.trial import Rhythm, Setup, Trial, trial
from wormbin.records.bins import Cover
from wormbin.records.entries import Portion

WORM_DRY, CASTINGS_WET, CARBON_OF_ORGANIC = 0.18, 0.25, 1 / 1.8
_TABLE: dict[str, Any] = tomllib.loads(Path(__file__).with_name("outcomes.toml").read_text(encoding="utf-8"))
LEFT_OUT: Mapping[str, str] = _TABLE["left_out"]


@dataclass(frozen=True, slots=True)
class Row:
    """One published outcome: ``day`` is a day, or the first and last of a span; ``over`` and ``less`` are setups."""

    id: str
    what: str
    setup: str
    measure: str
    day: int | list[int]
    unit: str
    low: float
    high: float
    source: str
    known: str
    soft: bool = False
    over: str = ""
    less: str = ""
    over_less: str = ""
    over_day: int | list[int] | None = None
    share: float = 0.80
    off: float = 0.0
    because: str = ""

    def outside(self, ours: float) -> float:
        """How far ours lies outside the published range, in the row's unit."""
        return max(0.0, self.low - ours, ours - self.high)


ROWS: tuple[Row, ...] = tuple(Row(**row) for row in _TABLE["rows"])


def _portions(given: list[list[Any]]) -> tuple[Portion, ...]:
    return tuple(Portion(each[0], each[1], moisture=each[2] if len(each) > 2 else None) for each in given)


@cache
def setup_of(name: str) -> Setup:
    """The setup of that name; what it is ``like`` stands in for what it does not say."""
    told = _told(name)
    rhythms = (Rhythm(told["every"], _portions(told["feed"])),) if "feed" in told else ()
    plain = {key: told[key] for key in told if key in Setup.__dataclass_fields__ and key not in {
        "bedding", "start", "rhythms", "cover"}}  # fmt: skip
    return Setup(
        **plain, bedding=_portions(told.get("bedding", [])), start=_portions(told.get("start", [])), rhythms=rhythms,
        cover=Cover(told.get("cover", "loose")),
    )  # fmt: skip


def _told(name: str) -> dict[str, Any]:
    own = _TABLE["setups"][name]
    return {**_told(own["like"]), **own} if "like" in own else own


class Answers:
    """One parameter set asked; every setup is tried once."""

    def __init__(self, parameters: Parameters = DEFAULT) -> None:
        self.parameters = parameters
        self._tried: dict[str, Trial] = {}

    def tried(self, name: str) -> Trial:
        """The trial of a setup."""
        if name not in self._tried:
            self._tried[name] = trial(setup_of(name), default_table(), parameters=self.parameters)
        return self._tried[name]

    def ours(self, row: Row) -> float:
        """What the model says of a row."""
        value = self._measured(row, row.setup, row.less, row.day)
        if not row.over:
            return value
        under = self._measured(row, row.over, row.over_less, row.over_day if row.over_day is not None else row.day)
        return value / under if under else float("inf")

    def _measured(self, row: Row, setup: str, less: str, day: int | list[int]) -> float:
        found = self.tried(setup)
        if row.measure == "fibre_rate_pct":
            first, last = day if isinstance(day, list) else (0, day)
            before, after = (self._unfinished(setup, less, on) for on in (first, last))
            return 100 * log(before / max(after, 1e-9)) / (last - first)
        if row.measure == "ripe_day":
            assert isinstance(day, int)
            days = range(min(21, day // 4), len(found.days))
            return float(next((i for i in days if found.days[i].day.castings_share.p50 >= row.share), 2 * len(days)))
        return MEASURES[row.measure](found, day)

    def _unfinished(self, setup: str, less: str, day: int) -> float:
        """Dry matter that is no castings, beside the same setup without the bedding in question."""
        left = _bare(self.tried(setup), day)
        return left - _bare(self.tried(less), day) if less else left


def _bare(found: Trial, day: int) -> float:
    now = found.days[day].day
    return now.dry_kg.p50 - now.castings_dry_kg.p50


def _put_in(found: Trial, day: int) -> float:
    return found.days[day].put_in_dry_kg - WORM_DRY * found.days[0].day.worms_kg.p50


def _dry_left(found: Trial, day: int) -> float:
    return 100 * found.days[day].day.dry_kg.p50 / _put_in(found, day)


def _worms(found: Trial, day: int) -> float:
    return found.days[day].day.worms_kg.p50


def _fed(found: Trial, day: int) -> float:
    """Fresh kg of feed given by the evening of ``day``."""
    setup = found.setup
    given = sum(portion.kg for portion in setup.start)
    for rhythm in setup.rhythms:
        given += sum(portion.kg for portion in rhythm.portions) * ((min(day, setup.days) - 1) // rhythm.every_days)
    return given


def _carbon(found: Trial, day: int) -> float:
    """Carbon of the contents, a fraction of their dry matter."""
    return found.days[day].cn_all * found.days[day].nitrogen_all


def _breath(found: Trial, days: list[int]) -> float:
    first, last = days
    burned = found.days[last].burned_kg - found.days[first].burned_kg
    organic = found.days[first].day.dry_kg.p50 * _carbon(found, first) / CARBON_OF_ORGANIC
    return 100 * burned / organic / (last - first)


def _heads(found: Trial) -> int:
    assert found.setup.worms_count is not None
    return found.setup.worms_count


def _worst_three_weeks(found: Trial, day: int) -> float:
    herd = [_worms(found, on) for on in range(day + 1)]
    return 100 * max(1 - herd[on + 21] / herd[on] for on in range(day - 20))


def _most(found: Trial, day: int) -> float:
    return max(_worms(found, on) for on in range(day + 1))


def _worm_days(found: Trial, day: int) -> float:
    return sum(_worms(found, on) for on in range(1, day + 1))


def _feeding(found: Trial) -> float:
    return sum(portion.kg for portion in found.setup.rhythms[0].portions)


MEASURES: Mapping[str, Callable[[Trial, Any], float]] = {
    "dry_left_pct": _dry_left,
    "dry_lost_pct": lambda t, d: 100 - _dry_left(t, d),
    "wet_kg": lambda t, d: t.days[d].day.total_kg.p50,
    "worms_kg": _worms,
    "worms_of_start": lambda t, d: _worms(t, d) / _worms(t, 0),
    "worms_gained_pct": lambda t, d: 100 * WORM_DRY * (_worms(t, d) - _worms(t, 0)) / _put_in(t, d),
    "worm_mg": lambda t, d: 1e6 * _worms(t, d) / _heads(t),
    "worm_mg_most": lambda t, d: 1e6 * _most(t, d) / _heads(t),
    "worms_most_g_kg": lambda t, d: 1000 * _most(t, d) / sum(portion.kg for portion in t.setup.start),
    "worm_rate_pct": lambda t, d: 100 * log(_worms(t, d[1]) / _worms(t, d[0])) / (d[1] - d[0]),
    "worst_three_weeks_pct": _worst_three_weeks,
    "waiting_of_fed_pct": lambda t, d: 100 * t.days[d].day.feed_waiting_kg.p50 / _fed(t, d),
    "waiting_of_feeding_pct": lambda t, d: 100 * t.days[d].day.feed_waiting_kg.p50 / _feeding(t),
    "taken_kg_kg_day": lambda t, d: (_fed(t, d) - t.days[d].day.feed_waiting_kg.p50) / _worms(t, 0) / d,
    "castings_kg": lambda t, d: t.days[d].day.castings_dry_kg.p50,
    "castings_of_worms": lambda t, d: t.days[d].day.castings_dry_kg.p50 / _worm_days(t, d),
    "castings_wet_of_start": lambda t, d: t.days[d].day.castings_dry_kg.p50 / CASTINGS_WET / _fed(t, d),
    "castings_wet_of_worm_days": lambda t, d: t.days[d].day.castings_dry_kg.p50 / CASTINGS_WET / _worm_days(t, d),
    "moisture_pct": lambda t, d: 100 * t.days[d].day.moisture.p50,
    "cn": lambda t, d: t.days[d].cn_all,
    "carbon_content_down_pct": lambda t, d: 100 * (1 - _carbon(t, d) / _carbon(t, 0)),
    "carbon_lost_g": lambda t, d: 1000 * t.days[d].carbon_lost_kg / _put_in(t, d),
    "breath_pct": _breath,
}
"""How each measure is read off a trial, by name: the trial and the day, or the first and last day of a span."""


def residuals(parameters: Parameters = DEFAULT) -> list[tuple[Row, float, float]]:
    """Every row with our figure and how far it lies outside the published range."""
    answers = Answers(parameters)
    return [(row, value, row.outside(value)) for row in ROWS for value in (answers.ours(row),)]


def residual_table(found: list[tuple[Row, float, float]]) -> list[str]:
    """The rows in Markdown: what, published, ours, how far outside, how well known, source."""
    lines = ["| outcome | published | ours | outside it by | known | source |", "| --- | --- | --- | --- | --- | --- |"]
    for row, ours, outside in found:
        soft = ", soft" if row.soft else ""
        lines.append(
            f"| {row.what} | {row.low:g}-{row.high:g} {row.unit} | {ours:.3g} | {outside:.2g} "
            f"| {row.known}{soft} | {row.source} |"
        )
    return lines
