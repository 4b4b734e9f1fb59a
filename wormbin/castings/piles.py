"""Hot materials composted in a pile before they are fed: whether the heat has done its work, as far as it was read."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from wormbin.records.kinds.castings import Heat, Piled, PileWay, Released
from wormbin.records.lots import LotLine, lot_key, standing_lots

HOT_C = 55.0
"""131 F (7 CFR 205.203(c)(2))."""
TOO_HOT_C = 76.7
"""170 F, the upper end of the same rule; above it the days do not count."""
DAYS_OF = {PileWay.VESSEL: 3, PileWay.WINDROW: 15}
TURNS_OF = {PileWay.VESSEL: 0, PileWay.WINDROW: 5}
"""3 days in a vessel; 15 days with 5 turns in a windrow (the same rule)."""


@dataclass(frozen=True, slots=True)
class Pile:
    """One pile as its lines have it.

    ``hot_days`` are the days from one reading in the range to the next on the day after, in the last run that nothing
    cooler broke; ``turns`` are those within it. ``gaps`` are its days without a reading, ``broken`` the day of the
    last reading out of the range.
    """

    name: str
    way: PileWay
    lines: tuple[LotLine, ...]
    put_on: tuple[tuple[str, float], ...]
    released_kg: float
    hot_days: int = 0
    turns: int = 0
    hot_since: date | None = None
    hot_until: date | None = None
    gaps: tuple[date, ...] = ()
    broken: date | None = None
    last_c: float | None = None

    @property
    def began(self) -> date:
        """The day on which it was begun."""
        return self.lines[0].when.date()

    @property
    def kg(self) -> float:
        """What was put on, fresh kg."""
        return sum(kg for _, kg in self.put_on)

    @property
    def days_asked(self) -> int:
        """How many hot days are asked of it."""
        return DAYS_OF[self.way]

    @property
    def turns_asked(self) -> int:
        """How many turns are asked of it."""
        return TURNS_OF[self.way]

    @property
    def met(self) -> bool:
        """Whether the readings show that it was hot long enough, and turned often enough."""
        return self.hot_days >= self.days_asked and self.turns >= self.turns_asked


@dataclass(frozen=True, slots=True)
class _Run:
    days: tuple[date, ...]
    turns: tuple[date, ...]

    @property
    def hot(self) -> int:
        return sum((later - earlier).days == 1 for earlier, later in zip(self.days, self.days[1:], strict=False))


def piles(book: Iterable[LotLine]) -> tuple[Pile, ...]:
    """Every pile, the oldest first; struck and replaced lines do not count."""
    by_key: dict[str, list[LotLine]] = {}
    for line in standing_lots([each for each in book if each.about == "pile"]):
        by_key.setdefault(lot_key(line.lot), []).append(line)
    found = (_pile(tuple(lines)) for lines in by_key.values() if any(isinstance(each.what, Piled) for each in lines))
    return tuple(sorted(found, key=lambda pile: (pile.began, pile.name)))


def _pile(lines: tuple[LotLine, ...]) -> Pile:
    put_on: dict[str, float] = {}
    for line in lines:
        if isinstance(line.what, Piled):
            put_on[line.what.material] = put_on.get(line.what.material, 0.0) + line.what.kg
    heats = [(line.when.date(), line.what) for line in lines if isinstance(line.what, Heat)]
    best, broken = _runs(heats)
    every = range(best.days[0].toordinal(), best.days[-1].toordinal() + 1) if best.days else range(0)
    return Pile(
        name=lines[0].lot,
        way=next(line.what.way for line in lines if isinstance(line.what, Piled)),
        lines=lines,
        put_on=tuple(put_on.items()),
        released_kg=sum(line.what.kg for line in lines if isinstance(line.what, Released)),
        hot_days=best.hot,
        turns=len(best.turns),
        hot_since=best.days[0] if best.days else None,
        hot_until=best.days[-1] if best.days else None,
        gaps=tuple(day for each in every if (day := date.fromordinal(each)) not in best.days),
        broken=broken,
        last_c=next((heat.temp_c for _, heat in reversed(heats) if heat.temp_c is not None), None),
    )


def _runs(heats: Iterable[tuple[date, Heat]]) -> tuple[_Run, date | None]:
    """The run of hot days that did most, and the last day on which it was read to be out of the range.

    A day counts when every reading of it was in the range; a turn belongs to the run that goes on around it.
    """
    by_day: dict[date, list[Heat]] = {}
    for on, heat in heats:
        by_day.setdefault(on, []).append(heat)
    runs, days, turns, broken = [_Run((), ())], list[date](), list[date](), None
    for on in sorted(by_day):
        read = [each.temp_c for each in by_day[on] if each.temp_c is not None]
        if read and not all(HOT_C <= each <= TOO_HOT_C for each in read):
            runs.append(_run(days, turns))
            days, turns, broken = [], [], on
        elif read:
            days.append(on)
        turns += [on] * sum(each.turned for each in by_day[on])
    runs.append(_run(days, turns))
    return max(reversed(runs), key=lambda run: (run.hot, len(run.days), len(run.turns))), broken


def _run(days: list[date], turns: list[date]) -> _Run:
    return _Run(tuple(days), tuple(each for each in turns if days and days[0] <= each <= days[-1]))
