"""The difference of two bins in one quantity: by their readings, by their estimates, and whether it is noise."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from math import sqrt
from statistics import fmean
from typing import TYPE_CHECKING

from wormbin.drawing.series import Point, Series
from wormbin.farm.bins.ahead import charts
from wormbin.farm.comparisons.told import TOLD, Told, can_be_told, made_words, read_words
from wormbin.farm.views.comparison import Difference, Verdict
from wormbin.figures import Band
from wormbin.process.day import courses, covariance
from wormbin.process.views import Day
from wormbin.records.kinds.log import Measured, MoistureBy
from wormbin.science.constants import TENTH_SD
from wormbin.science.paired import LEAST_WEEKS, WITHIN, WITHIN_EARLY, Paired, paired

if TYPE_CHECKING:
    from wormbin.farm.bins.scene import Scene

Ways = Mapping[str, Mapping[date, float]]
"""What was read by each way of reading, by day."""

_95_OF_80 = 1.95996 / TENTH_SD
"""From the half width of a band that holds eight in ten to one that holds 95 in a hundred, of a normal distribution."""


def difference(
    about: Measured, one: Scene, other: Scene, begins: date, ends: date, *, main: bool, line: str = ""
) -> Difference:
    """How far ``one`` lies above ``other`` in a quantity; ``main`` for the one that answers the question,
    ``line`` for the entry that began the comparison."""
    told, units = TOLD[about], one.settings.units.value
    differences, usual = _read(told, one, other, begins)
    on = one.on
    made, made_usual = _made(told, about, one, other, begins)
    of = usual if told.share else 1.0
    matters = told.matters * of
    pair, had = paired(differences, told.alike * of, told.carry), len(differences)
    made_matters = told.matters * made_usual if told.share or told.made_unit else told.matters
    over = on >= ends
    # Who looks at several quantities is fooled by one of them sooner: those beside the chosen one are held to more.
    sure = WITHIN_EARLY if not over else WITHIN if main else 1.0 - (1.0 - WITHIN) / len(Measured)
    verdict, more = verdict_of(pair, sure, matters, over=over)
    names = (one.bin.name, other.bin.name)
    if pair is None and told.read:
        more = LEAST_WEEKS - had
    made_unit = told.made_unit or told.unit
    can = can_be_told(made, made_usual, made_unit)
    made_verdict = _made_verdict(made, made_matters) if can else Verdict.NOT_YET
    estimated = made_words(told, made if can else None, made_verdict, names, made_unit, units, on)
    return Difference(
        about=about,
        title=told.title,
        unit=told.unit,
        read=pair,
        within=sure,
        verdict=verdict if told.read else made_verdict,
        weeks_more=more,
        words=read_words(told, pair, had, sure, verdict, more, names, units, ends, on, matters, line)
        if told.read
        else estimated,
        made=made,
        made_unit=made_unit,
        made_told=can,
        made_verdict=made_verdict,
        made_words=estimated,
        matters=matters,
        charts=tuple(s if can else replace(s, past=()) for s in _charts(about, told, (one, other), begins)),
    )


def _read(told: Told, one: Scene, other: Scene, begins: date) -> tuple[Mapping[int, float], float]:
    """How far the readings of both bins lie apart week by week, and the mean of all."""
    mine, theirs = (_by_way(scene, told.read, begins) for scene in (one, other))
    every = [value for side in (mine, theirs) for days in side.values() for value in days.values()]
    return by_week(mine, theirs, begins, told.sign), fmean(every) if every else 0.0


def by_week(mine: Ways, theirs: Ways, begins: date, sign: float) -> dict[int, float]:
    """The difference of each week by all ways of reading (a meter, a hand that squeezes), each held against itself.

    What an instrument or a hand has wrong for both bins falls out of the difference, and two tell more than one.
    """
    ways = [weekly(mine[way], theirs[way], begins) for way in mine if way in theirs]
    weeks = sorted({week for way in ways for week in way})
    return {week: sign * fmean(way[week] for way in ways if week in way) for week in weeks}


def _by_way(scene: Scene, quantity: str, begins: date) -> Ways:
    """The mean reading of each day by each way of reading, without those that are set aside."""
    hands = {each.id: each.by for each in scene.entries}
    ways: dict[str, dict[date, list[float]]] = defaultdict(lambda: defaultdict(list))
    for each in scene.past.judged:
        if each.quantity == quantity and each.when.date() >= begins and not each.questioned:
            hand = f" {hands.get(each.entry, '')}" if each.by == MoistureBy.SQUEEZE else ""
            ways[each.by + hand][each.when.date()].append(each.read)
    return {way: {day: fmean(values) for day, values in days.items()} for way, days in ways.items()}


def weekly(mine: Mapping[date, float], theirs: Mapping[date, float], begins: date) -> dict[int, float]:
    """The difference of each week from ``begins`` on in which both were read, by the number of the week.

    Of days on which both were read where there are such: what that day did to one it did to the other.
    """
    weeks: dict[int, tuple[dict[date, float], dict[date, float]]] = defaultdict(lambda: ({}, {}))
    for side, days in enumerate((mine, theirs)):
        for day, value in days.items():
            weeks[(day - begins).days // 7][side][day] = value
    found = {}
    for week, (ours, others) in sorted(weeks.items()):
        if both := ours.keys() & others.keys():
            found[week] = fmean(ours[day] - others[day] for day in both)
        elif ours and others:
            found[week] = fmean(ours.values()) - fmean(others.values())
    return found


def _made(told: Told, about: Measured, one: Scene, other: Scene, begins: date) -> tuple[Band, float]:
    """The difference of the estimates on the last day, and the mean of both; of what is worked off, since the start.

    Of what both bins have in common (``process.day``) the courses are held against each other one by one, so that it
    falls out of the difference; all else is taken to err in each by itself.
    """
    mine, theirs = (_estimate(told, about, scene, begins) for scene in (one, other))
    looks = ([each for each in scene.past.replay.looks if each.on >= begins] for scene in (one, other))
    common = covariance(*(courses(each, told.figure) for each in looks)) * TENTH_SD**2
    p50 = mine.p50 - theirs.p50
    low = _apart(mine.p50 - mine.p10, theirs.p90 - theirs.p50, common)
    high = _apart(mine.p90 - mine.p50, theirs.p50 - theirs.p10, common)
    return Band(p50 - low, p50, p50 + high), (mine.p50 + theirs.p50) / 2


def _apart(mine: float, theirs: float, common: float) -> float:
    """Half the width of the difference's interval, of those of two bands and how far they go together."""
    return sqrt(max((mine - theirs) ** 2, mine * mine + theirs * theirs - 2.0 * common)) * _95_OF_80


def _estimate(told: Told, about: Measured, scene: Scene, begins: date) -> Band:
    if about is not Measured.WORKED:
        return _of(told, scene.past.today)
    days = [_of(told, day) for day in scene.past.days if day.on >= begins]
    return Band(*(sum(getattr(band, name) for band in days) for name in ("p10", "p50", "p90")))


def _of(told: Told, day: Day) -> Band:
    band: Band = getattr(day, told.figure)
    return band


def verdict_of(pair: Paired | None, sure: float, matters: float, *, over: bool) -> tuple[Verdict, int | None]:
    """Whether the readings say more than noise; if nobody can tell yet, how many weeks more would."""
    if pair is None or pair.weeks < LEAST_WEEKS or pair.spread <= 0.0:
        return Verdict.NOT_YET, LEAST_WEEKS - (pair.weeks if pair is not None else 0)
    low, high = pair.interval(sure)
    if low > 0.0 or high < 0.0:
        return Verdict.MORE, 0
    more = pair.weeks_more(pair.aim(matters))
    return (Verdict.NOT_MORE if more == 0 and over else Verdict.NOT_YET), more


def _made_verdict(made: Band, matters: float) -> Verdict:
    if made.p10 > 0.0 or made.p90 < 0.0:
        return Verdict.MORE
    return Verdict.NOT_MORE if max(made.p90, -made.p10) < matters else Verdict.NOT_YET


def _charts(about: Measured, told: Told, scenes: Sequence[Scene], begins: date) -> tuple[Series, ...]:
    """The chart of the quantity for each bin, from the first day to the last."""
    found = []
    for scene in scenes:
        if about is Measured.WORKED:
            total, past = Band.exactly(0.0), []
            for day in scene.past.days:
                if day.on >= begins:
                    more = _of(told, day)
                    total = Band(total.p10 + more.p10, total.p50 + more.p50, total.p90 + more.p90)
                    past.append(Point(day.on, total))
            series = Series(past=tuple(past), code="worked", title=told.title, unit="kg")
        else:
            whole = next(each for each in charts(scene) if each.code == told.chart)
            series = Series(
                past=tuple(each for each in whole.past if each.on >= begins),
                readings=tuple(each for each in whole.readings if each.on >= begins),
                code=whole.code,
                title=whole.title,
                unit=whole.unit,
            )
        found.append(series)
    return tuple(found)
