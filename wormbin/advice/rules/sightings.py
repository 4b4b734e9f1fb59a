"""What was read, believed first: a reading past a limit is a finding of its day, before the model and beside it.

One table and one rule over it. A single odd reading asks for a second look and holds what could harm meanwhile; two
that agree are the finding; three stand whatever the model makes of it. A fresh reading that is right takes the edge off
what the model alone believes.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from statistics import mean

from wormbin.advice import limits
from wormbin.advice.case import Case
from wormbin.advice.evidence import squeezed
from wormbin.advice.finding import Action, Doing, Finding
from wormbin.advice.limits import Limit, chance_beyond
from wormbin.advice.looks import Look, agreeing, looks, of_looks
from wormbin.advice.rations import interval_days
from wormbin.advice.rules import feeding, feedstock, harvest, moisture, warmth
from wormbin.advice.rules.moisture import BRAKE
from wormbin.advice.trays import part_cases
from wormbin.advice.wording import day_words, down, length, percent, percent_band, temperature
from wormbin.figures import Band, Level
from wormbin.measures import counted

_S, _W, _A = Level.STEADY, Level.WATCH, Level.ACT
Levels = tuple[Level, Level, Level]
Steps = Callable[[Case, Level, float, int], tuple[Action, ...]]
"""Of a case, a level, what was read, and how many days ago."""
APART = 0.15
"""Readings of one day further apart than this cannot both be right (ours: squeeze +-6, meter +-10 points)."""
REACHES = 0.25
"""Chance by the model at which a single reading is believed at once (ours)."""


@dataclass(frozen=True, slots=True)
class Sighting:
    """One row: which reading past which limit is which finding.

    ``near`` and ``far`` are the levels of one, two and three looks that agree, past the first edge of the limit and
    past the second. ``within_days`` apart they agree; the newest speaks for ``speaks_days``. ``stops`` is from which
    edge on no feed is given ("near", "far", ""), ``slows`` whether two looks brake the ration as the model's finding
    does, ``bars`` what else is held back. ``steps`` put it right; ``denies`` are the model's findings that a reading
    which is right speaks against, for ``fresh_days``.
    """

    code: str
    quantity: str
    name: str
    limit: Callable[[Case], Limit]
    near: Levels
    far: Levels
    steps: Steps
    again: str
    within_days: int = 10
    speaks_days: int = 3
    fresh_days: int = 1
    stops: str = "far"
    slows: bool = False
    bars: tuple[Doing, ...] = ()
    denies: tuple[str, ...] = ()
    model: Callable[[Case], Band | None] = lambda _case: None


def _contents(case: Case) -> Limit:
    """The rim of the box, m: the same limit as the model's fullness."""
    box = case.bin.depth_m * (1 if case.bin.sideways else case.bin.compartments)
    watch, act = limits.FULL.watch, limits.FULL.act or limits.FULL.watch
    return replace(
        limits.FULL, unit="m",
        watch=replace(watch, enter=watch.enter * box), act=replace(act, enter=act.enter * box),
    )  # fmt: skip


TABLE: tuple[Sighting, ...] = (
    Sighting(
        "too-wet", "moisture", "too wet", lambda case: limits.too_wet(case.settings), (_S, _W, _A), (_S, _W, _A),
        moisture.wet_steps, "squeeze a handful again tomorrow", stops="", slows=True, fresh_days=2,
        bars=(Doing.WATER,), denies=("too-wet", "wet-side"), model=lambda case: case.today.moisture,
    ),
    Sighting(
        "too-dry", "moisture", "too dry", lambda case: limits.too_dry(case.settings), (_S, _W, _W), (_S, _W, _A),
        moisture.dry_steps, "squeeze a handful again tomorrow", stops="", fresh_days=2, denies=("too-dry", "dry-side"),
        model=lambda case: case.today.moisture,
    ),
    Sighting(
        "too-hot", "temp_c", "too hot", lambda case: limits.too_hot(case.bin.species), (_S, _W, _W), (_W, _A, _A),
        warmth.cool_steps, "read the thermometer again in an hour, and tomorrow", slows=True, denies=("too-hot",),
        model=lambda case: case.today.temp_c,
    ),
    Sighting(
        "too-cold", "temp_c", "too cold", lambda case: limits.too_cold(case.bin.species), (_S, _W, _W), (_W, _A, _A),
        warmth.warm_steps, "read the thermometer again in an hour, and tomorrow", slows=True, denies=("too-cold",),
        model=lambda case: case.today.temp_c,
    ),
    Sighting(
        "too-sour", "ph", "too sour", lambda _case: limits.PH_LOW, (_S, _W, _W), (_W, _A, _A),
        feedstock.sour_steps, "read the pH again tomorrow, with a fresh strip", within_days=21, speaks_days=45,
    ),
    Sighting(
        "too-alkaline", "ph", "too alkaline", lambda _case: limits.PH_HIGH, (_S, _W, _W), (_W, _A, _A),
        feedstock.alkaline_steps, "read the pH again tomorrow, with a fresh strip", within_days=21, speaks_days=45,
        bars=(Doing.LIME,),
    ),
    Sighting(
        "left-over", "left", "too much", lambda _case: limits.LEFT_SHARE, (_S, _W, _W), (_W, _W, _A),
        feeding.left_steps, "look again tomorrow at how much is left", speaks_days=2, stops="near",
        denies=("overfed", "fed-over"),
    ),
    Sighting(
        "full", "contents_m", "the box is full", _contents, (_S, _W, _W), (_S, _W, _W),
        harvest.room_steps, "read the ruler again, away from the wall", within_days=30, speaks_days=14, fresh_days=7,
        stops="", denies=("full",),
    ),
)  # fmt: skip


OF_MOISTURE = frozenset(row.code for row in TABLE if row.quantity == "moisture")


def sightings(case: Case) -> tuple[Finding, ...]:
    """What the readings of the last days say by themselves."""
    every, found = interval_days(case), []
    seen = {row.quantity: looks(case, row.quantity, every) for row in TABLE}
    by_part = any(each.part for all_ in seen.values() for each in all_)
    for name, number, part in (("", 0, case), *(part_cases(case) if by_part else ())):
        here = {key: [each for each in all_ if each.part == number] for key, all_ in seen.items()}
        apart = _apart(part, here["moisture"])
        told = [one for row in TABLE if (one := _sighted(part, row, here[row.quantity])) is not None]
        told = [*(each for each in told if apart is None or each.code not in OF_MOISTURE), *((apart,) if apart else ())]
        found += [replace(each, what=f"{name}: {each.what}", compartment=number) if number else each for each in told]
    return tuple(found)


def _sighted(case: Case, row: Sighting, seen: Sequence[Look]) -> Finding | None:
    limit = row.limit(case)
    held = [each for each in seen if each.due or row.quantity != "left"]
    run = agreeing(held, limit.watch.enter, limit.above, row.within_days)
    if not run or (case.on - run[-1].on).days > row.speaks_days or seen[-1] is not run[-1]:
        return None
    # The newest look or the mean of them: one more look past the limit never makes it milder.
    worst = max if limit.above else min
    value = worst(run[-1].value, mean(each.value for each in run))
    far = limit.act is not None and past_edge(limit, limit.act.enter, value)
    count = min(3, sum(each.votes(lambda value: past_edge(limit, limit.watch.enter, value)) for each in run))
    level = (row.far if far else row.near)[count - 1]
    band = row.model(case)
    if count == 1 and band is not None and chance_beyond(band, limit.watch.enter, above=limit.above) >= REACHES:
        level = max(level, Level.WATCH, key=lambda each: each.rank)
    newest, on = run[-1], run[-1].on
    when = day_words(on, case.on)
    said = said_of(case, row, newest)
    tomorrow = case.on + timedelta(days=1)
    again = Action(Doing.MEASURE, row.again, 2.5, until=tomorrow)
    stops = row.stops == "near" or (row.stops == "far" and far)
    if count == 1:
        what = f"{said} {when}: {row.name}, if a second look agrees"
        wait = Action(Doing.STOP, "do not feed before a second look", until=tomorrow)
        cool = row.steps(case, level, value, 0)[:1] if far and row.slows else ()
        actions: tuple[Action, ...] = (replace(again, kind=Doing.LOOK), *cool, *((wait,) if stops else ()))
    elif newest.watered if row.code == "too-dry" else newest.dried if row.code == "too-wet" else False:
        # Something was done about it since: the next look tells whether it was enough.
        level, what = Level.STEADY, f"{said} {when}, and put right since: feel it again"
        actions = (replace(again, kind=Doing.LOOK),)
    else:
        what = f"{row.name}: {said} {when}, and {counted(count, 'look')} agree"
        steps = row.steps(case, level, value, (case.on - on).days)
        actions = (*steps, *(() if any("again tomorrow" in each.text for each in steps) else (again,)))
    edge = limit.edge(Level.ACT if far else Level.WATCH)
    ground = DROPS if newest.by == "squeeze" else f"The limit is {_say(case, row, edge)}."
    alone = f" The estimate without it is {_band(case, row, band)}." if band is not None else ""
    return Finding(
        code=row.code,
        level=level,
        what=what,
        why=f"you read it {when}. {ground}{alone}",
        actions=actions,
        sure=f"From {counted(sum(len(each.each) for each in run), 'reading')}, the last {when}.",
        source=limit.source,
        urgency=7.5 + count + (2.0 if far else 0.0),
        feed=0.0 if stops else BRAKE[level] if row.slows and count > 1 else 1.0,
        short=f"{said} {when}",
        bars=row.bars,
        seen=True,
    )


DROPS = "Right is a drop or two."
"""The limit of a squeeze, as the hand has it."""


def past_edge(limit: Limit, edge: float, value: float) -> bool:
    """Whether a reading lies on or beyond an edge of this limit."""
    return value >= edge if limit.above else value <= edge


def _apart(case: Case, seen: Sequence[Look]) -> Finding | None:
    """Two ways of reading that cannot both be right: neither is acted on before a third look."""
    if not seen or (case.on - seen[-1].on).days > 2:
        return None
    last = sorted((each for each in seen if each.on == seen[-1].on), key=lambda each: each.value)
    one, other = last[0], last[-1]
    wet = limits.too_wet(case.settings).watch.enter
    if other.value - one.value < APART or other.value < wet:
        return None
    deep = down(case.today.contents_m.p50, case.settings.units)
    said = f"{_read(one)} and {_read(other)} do not fit together"
    return Finding(
        code="readings-apart",
        level=Level.STEADY,
        what=said,
        why="one of the two is wrong. A meter reads salty castings as wet, and the top dries first.",
        actions=(
            Action(Doing.LOOK, f"squeeze another handful from {deep}, and try the meter in a second spot", 3.0),
            Action(Doing.THEN, "add no water and no dry bedding before that"),
        ),
        sure=f"You read both {day_words(one.on, case.on)}.",
        source="common practice, no source",
        urgency=6.0,
        bars=(Doing.WATER, Doing.DRAIN),
        seen=True,
    )


def _read(look: Look) -> str:
    return f"squeeze {squeezed(look.value)}" if look.by == "squeeze" else f"{look.by} {percent(look.value)}"


def said_of(case: Case, row: Sighting, look: Look) -> str:
    """A reading as the keeper would say it: "dripping", "34 °C", "80% of the last feeding left"."""
    if row.quantity == "moisture":
        return squeezed(look.value) if look.by == "squeeze" else f"{percent(look.value)} moist"
    if row.quantity == "left":
        return f"{percent(look.value)} of the last feeding left{of_looks(len(look.each))}"
    return _say(case, row, look.value)


def _say(case: Case, row: Sighting, value: float) -> str:
    units = case.settings.units
    match row.quantity:
        case "temp_c":
            return temperature(value, units)
        case "contents_m":
            return f"{length(value, units)} deep"
        case "ph":
            return f"pH {value:.1f}"
        case _:
            return percent(value)


def _band(case: Case, row: Sighting, band: Band) -> str:
    if row.quantity == "moisture":
        return percent_band(band)
    return f"{temperature(band.p10, case.settings.units)} to {temperature(band.p90, case.settings.units)}"
