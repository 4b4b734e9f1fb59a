"""Rules on the readings themselves: too old to trust, questioned, and the one that would narrow a decision most."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta

from wormbin.advice import limits
from wormbin.advice.case import Case
from wormbin.advice.evidence import last_read, latest, name_of, squeezed, sure, waiting_words, worms_words
from wormbin.advice.finding import Action, Doing, Finding
from wormbin.advice.limits import Limit, chance_beyond
from wormbin.advice.rations import interval_days
from wormbin.advice.rules.air import air_share
from wormbin.advice.wording import day_words, days, down, length, mass, percent, percent_band, spread, temperature
from wormbin.figures import Band, Level
from wormbin.records.habits import last_looked

DOUBT_WORTH_ASKING = 0.15
"""Least doubt that a reading must be able to take away before it is asked for (0 none, 1 a toss-up it would settle)."""
QUESTIONED_DAYS = 7
REST_DAYS = {"moisture": 3, "left": 3, "temp_c": 3, "contents_m": 14, "total_kg": 14, "worms_kg": 60}
"""Once given, a reading is not asked for again for so many days, however much doubt is left (ours)."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """A reading that would help: what it would settle, how much doubt it takes away (0-1), and how to take it."""

    quantity: str
    doubt: float
    settles: str
    band_words: str
    how: str


def _doubt(band: Band | None, limit: Limit, read_width: float) -> float:
    """How much doubt a reading with a band of ``read_width`` would take away: 1 is a toss-up that it settles wholly.

    The chance of being on the other side of the nearest edge, times the part of the width that the reading removes.
    """
    if band is None or band.width <= 0:
        return 0.0
    edges = [limit.watch.enter] + ([limit.act.enter] if limit.act is not None else [])
    toss = max(1.0 - abs(2 * chance_beyond(band, edge, above=limit.above) - 1.0) for edge in edges)
    return toss * max(0.0, 1.0 - read_width / band.width)


def wanted(case: Case) -> Wanted | None:
    """The reading that would narrow today's decisions most; None when none would narrow them by much."""
    today, settings, units = case.today, case.settings, case.settings.units
    area = max(case.bin.footprint_m2, 1e-6)
    moist = max(
        _doubt(today.moisture, limits.too_wet(settings), 0.10), _doubt(today.moisture, limits.too_dry(settings), 0.10)
    )
    warm = max(
        _doubt(today.temp_c, limits.too_hot(case.bin.species), 1.0),
        _doubt(today.temp_c, limits.too_cold(case.bin.species), 1.0),
    )
    waiting = today.feed_waiting_days
    feed = _doubt(waiting, limits.overfed(interval_days(case)), 0.4 * max(waiting.p50, 1.0))
    share = air_share(today)
    density = today.worms_kg.times(1.0 / area)
    herd = max(_doubt(density, limits.FEW_WORMS, 0.5 * density.p50), _doubt(density, limits.CROWDED, 0.5 * density.p50))
    air = _doubt(share, limits.AIR, 0.3 * (share.p50 if share else 0.0))
    ruler = latest(case, "contents_m")
    by_ruler = ruler is None or (case.on - ruler.when.date()).days > 14
    options = (
        Wanted("moisture", moist, "whether it is too wet, too dry or right", f"moisture {percent_band(today.moisture)}",
               f"squeeze a handful from {down(today.contents_m.p50, units)}"),
        Wanted("left", feed, "whether to feed", waiting_words(case),
               "lift the cover and look how much of the last feeding is left"),
        Wanted("contents_m" if by_ruler else "total_kg", air, "whether this bin has air",
               f"air to {length(today.air_reach_m.p10, units)} to {length(today.air_reach_m.p90, units)}",
               "stand a ruler in it" if by_ruler else "weigh it, less the empty box"),
        Wanted("worms_kg", herd, "whether the worms are too few or too many",
               worms_words(case),
               "dig 4 samples of 15 x 15 cm, wash and weigh the worms"),
        Wanted("temp_c", warm, "whether it is too hot or too cold", f"{temperature(today.temp_c.p10, units)} to "
               f"{temperature(today.temp_c.p90, units)}",
               f"leave a thermometer {down(today.contents_m.p50, units)} for ten minutes"),
    )  # fmt: skip
    fresh = {j.quantity for j in case.judged if (case.on - j.when.date()).days < REST_DAYS.get(j.quantity, 1)}
    best = max((each for each in options if each.quantity not in fresh), key=lambda each: each.doubt, default=None)
    return best if best is not None and best.doubt >= DOUBT_WORTH_ASKING else None


def ask_reading(case: Case) -> Finding | None:
    """Ask for the one reading that would settle most, when something hangs on it."""
    want = wanted(case)
    if want is None:
        return None
    name = name_of(want.quantity)
    return Finding(
        code="reading-wanted",
        level=Level.STEADY,
        what=f"one {name} would help most today",
        why=f"it would tell {want.settles}. The estimate, {want.band_words}, lies on both sides of the limit.",
        actions=(Action(Doing.MEASURE, f"{want.how}, and write it down", 1.0),),
        sure=f"It would make this about {percent(round(want.doubt, 1))} surer. {last_read(case, want.quantity)}",
        source="the width of the estimate, against the limits of this program",
        urgency=1.5 + want.doubt,
    )


def old_days(case: Case) -> float:
    """Days without a look after which there are only estimates."""
    return max(limits.OLD_CHECK.watch.enter, 3.0 * max(1, case.settings.check_every_days))


def old_readings(case: Case) -> Finding | None:
    """Nobody has looked into the bin for so long that all figures are the model's alone."""
    base = limits.OLD_CHECK
    seen = last_looked(case.entries, case.on) or case.bin.started
    age = (case.on - seen).days
    if age < old_days(case):
        return None
    want = wanted(case)
    first = want.how if want else "squeeze a handful, and look how much food is left"
    today = case.today
    return Finding(
        code="readings-old",
        level=Level.WATCH,
        what=f"no check for {days(age)}: these are estimates",
        why=f"you last wrote something down {day_words(seen, case.on)}. After {days(old_days(case))} look again.",
        actions=(Action(Doing.MEASURE, f"open it and write a check: {first}", 2.0),),
        sure=sure(case, f"moisture {percent_band(today.moisture)}, {waiting_words(case)}", "moisture", "left"),
        source=base.source,
        urgency=2.0 + age / 30,
    )


def questioned(case: Case) -> Finding | None:
    """A reading of the last days lies far outside what the log makes likely: kept, but the keeper is asked."""
    since = case.on - timedelta(days=QUESTIONED_DAYS)
    standing = {entry.id for entry in case.entries}
    doubted = [j for j in case.judged if j.questioned and j.when.date() >= since and j.entry in standing]
    if not doubted:
        return None
    last = doubted[-1]
    # A later reading of the same thing that fits has answered the question.
    if any(j.quantity == last.quantity and j.when > last.when and not j.questioned for j in case.judged):
        return None
    say = _SAY.get(last.quantity, _plainly)
    likely = spread(last.expected, lambda value: say(value, case))
    name = name_of(last.quantity, last.by)
    read = f"{name} of {say(last.read, case)}"
    if last.by == "squeeze":
        read = f"squeeze, {squeezed(last.read)},"
    elif last.quantity == "left":
        read = f"{percent(last.read)} left of the last feeding"
    when = day_words(last.when.date(), case.on)
    again = _AGAIN.get(last.by) or _AGAIN.get(last.quantity, f"read the {name} again")
    held = "The reading is kept, but counts less."
    what, why = f"{read} is a surprise: {likely} was expected", f"By your log {likely} was likely"
    if last.weight <= 0.0:  # it was held against the other readings of its day, and not against the estimate
        held = "The reading is kept, but not used before a second look."
        what, why = f"{read} stands far off the others of its day", f"The others of that day say {likely}"
    return Finding(
        code="reading-questioned",
        level=Level.STEADY,
        what=what,
        why=f"you read it {when}. {why} (right 8 times in 10).",
        actions=(Action(Doing.MEASURE, f"{again}. Two that agree are believed", 3.0),),
        sure=held,
        source="the reading against the estimate just before it; one far off counts less, and none is dropped",
        urgency=2.5,
    )


_AGAIN = {
    "squeeze": "squeeze a handful again",
    "meter": "read the moisture meter again",
    "oven": "dry a sample in the oven again",
    "temp_c": "read the thermometer again",
    "contents_m": "read the ruler again",
    "left": "look again at how much is left",
    "total_kg": "weigh it again",
    "worms_kg": "take the worm survey again",
    "castings_kg": "weigh the harvest again",
}
"""How a reading that does not fit is taken again, by its instrument or its quantity."""


def _plainly(value: float, _case: Case) -> str:
    return f"{value:.2g}"


_SAY: dict[str, Callable[[float, Case], str]] = {
    "moisture": lambda value, _case: percent(value),
    "left": lambda value, _case: percent(value),
    "total_kg": lambda value, case: mass(value, case.settings.units),
    "worms_kg": lambda value, case: mass(value, case.settings.units),
    "castings_kg": lambda value, case: mass(value, case.settings.units),
    "contents_m": lambda value, case: length(value, case.settings.units),
    "temp_c": lambda value, case: temperature(value, case.settings.units),
}
