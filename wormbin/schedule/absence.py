"""Going away: what to feed before, when water or feed runs short, what may go wrong, and a page for a neighbour."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil, floor

from wormbin.figures import Level
from wormbin.materials.little import left_out
from wormbin.measures import length, mass, percent, temperature, volume
from wormbin.measures.daywords import MONTHS, day_words, days_words, on_day
from wormbin.process.views import Day
from wormbin.records.bins import Bin
from wormbin.records.farms import Settings
from wormbin.schedule.harvest import LOOSE_KG_M3, SOAK, Step

AHEAD_OF_LEAVING_DAYS = 7.0
"""Never more than a week's work at once, however long the absence: more heats and sours (ours)."""
LAYER_M = 0.04
FEED_KG_M3 = 500.0
BARE_DAYS = 0.3
STARVING_DAYS = 21
LOSS_PER_DAY = 0.008
DRY_MARGIN = 0.05
HOT_C = 28.0
COLD_C = 6.0
VISIT_DAYS = 10
LEAST_BARE_DAYS = 3
"""Fewer days without feed than this need no bedding of their own (ours)."""
BED_M = 0.05
LEAST_BEDDING_KG = 0.02
SOURCE = (
    "with nothing to eat worms fall about 0.8 % a day (worked out from the model); feed in layers of 2.5-4 cm at most "
    "(NC State Extension, Controlling Mite Pests in Earthworm Beds); never a double ration before leaving (ours)"
)


@dataclass(frozen=True, slots=True)
class Amiss:
    """What is wrong with the bin before anybody leaves: how bad, in which words, and the steps that put it right.

    ``wet`` keeps water away from it; ``hold`` says that nothing is to be fed before leaving, ``why`` for what reason,
    ``hold_until`` from which day on a neighbour may feed it (None: not at all), and ``said`` that the steps say so
    already. ``bedding_kg`` is the dry bedding that the steps put in, ``mind`` what can hurt somebody at them.
    """

    level: Level = Level.STEADY
    whats: tuple[str, ...] = ()
    steps: tuple[str, ...] = ()
    wet: bool = False
    hold: bool = False
    said: bool = False
    bedding_kg: float = 0.0
    why: str = ""
    hold_until: date | None = None
    mind: str = ""


NOTHING_AMISS = Amiss()


@dataclass(frozen=True, slots=True)
class AbsencePlan:
    """What an absence means for one bin. Dates are None when it does not come to that within the absence."""

    first: date
    last: date
    level: Level
    feed_kg: float
    water_kg: float
    bedding_kg: float
    feed_short_on: date | None
    water_short_on: date | None
    before: tuple[str, ...]
    steps: tuple[Step, ...]
    risks: tuple[str, ...]
    neighbour: tuple[str, ...]
    source: str = SOURCE


def feed_before_leaving(
    bin: Bin, today: Day, first: date, last: date, *, share: float = 1.0, most_kg: float | None = None
) -> float:
    """Fresh kg to give the day before leaving: what is eaten while away, at most a week's work, less what still waits.

    ``share`` is a new bin's part of the usual ration, ``most_kg`` a step up from what is usual. Rounded down to 10 g.
    """
    away = (last - first).days + 1
    gone = today.appetite_kg_day.p50 * max(0, (first - today.on).days)
    waiting = max(0.0, today.feed_waiting_kg.p50 - gone)
    room = today.appetite_kg_day.p50 * min(float(away), AHEAD_OF_LEAVING_DAYS) * share - waiting
    layer = LAYER_M * bin.footprint_m2 * FEED_KG_M3 - waiting
    return max(0.0, floor(min(room, layer, room if most_kg is None else most_kg) * 100) / 100)


def absence_plan(
    bin: Bin,
    today: Day,
    ahead: Sequence[Day],
    settings: Settings,
    first: date,
    last: date,
    *,
    feed_kg: float,
    amiss: Amiss = NOTHING_AMISS,
    most_kg: float | None = None,
    where: str = "",
) -> AbsencePlan:
    """The plan for being away from ``first`` to ``last``; what is ``amiss`` now is put right before all else.

    ``ahead`` is the look-ahead with ``feed_kg`` given the day before leaving and nothing after it; ``most_kg`` is the
    most that a neighbour gives at once, a step up from what the bin usually gets, and ``where`` is the tray or half
    that is fed (" in the upper tray"). Raises ValueError when the absence ends before it begins.
    """
    if last < first:
        raise ValueError("the last day away lies before the first")
    units, low = settings.units, settings.moisture_low
    away = [day for day in ahead if first <= day.on <= last]
    bare = next((day.on for day in away if day.feed_waiting_days.p50 < BARE_DAYS), None)
    dry = next((day.on for day in away if day.moisture.p50 < low - DRY_MARGIN), None)
    wet = next((day.on for day in away if day.moisture.p50 > settings.moisture_high + 0.02), None)
    driest = min((day.moisture.p50 for day in away), default=today.moisture.p50)
    total = today.total_kg.p50 + feed_kg
    water = total * max(0.0, low - driest) / (1.0 - low) if driest < low and not amiss.wet else 0.0
    bare_days = (last - bare).days + 1 if bare is not None else 0
    bare_long = bare_days >= LEAST_BARE_DAYS
    bedding = max(0.0, bin.footprint_m2 * BED_M * LOOSE_KG_M3 - amiss.bedding_kg) if bare_long else 0.0
    bedding = bedding if bedding >= LEAST_BEDDING_KG else 0.0
    starving = bare_days > STARVING_DAYS
    level = Level.ACT if dry is not None or starving else Level.WATCH if bare_days > VISIT_DAYS else Level.STEADY
    level = max(level, amiss.level, key=lambda each: each.rank)
    before = _before(today, settings, first, feed_kg, water, bedding, amiss, where)
    steps = [Step(max(today.on, first - timedelta(days=1)), "leave", "do what stands under “before leaving”")]
    if bare is not None:
        steps.append(
            Step(bare, "feed-short", "feed runs out; unless somebody feeds them the worms live on bedding from here")
        )
    if dry is not None:
        steps.append(Step(dry, "water-short", _dry_words(today, low - DRY_MARGIN, amiss)))
    if wet is not None:
        steps.append(Step(wet, "too-wet", f"moisture rises over {percent(settings.moisture_high + 0.02)}"))
    steps.append(
        Step(
            last + timedelta(days=1),
            "back",
            "back: open it and squeeze; where under a third of the feed is left, feed half of the usual",
        )
    )
    return AbsencePlan(
        first=first,
        last=last,
        level=level,
        feed_kg=feed_kg,
        water_kg=water,
        bedding_kg=bedding,
        feed_short_on=bare,
        water_short_on=dry,
        before=before,
        steps=tuple(sorted(steps, key=lambda step: step.on)),
        risks=_risks(today.on, away, settings, bare, bare_days, dry, wet, amiss),
        neighbour=_neighbour(bin, today, settings, first, last, water, units, amiss, most_kg, where),
    )


def _dry_words(today: Day, limit: float, amiss: Amiss) -> str:
    """What to say on the first dry day: of a bin that is as dry already nothing falls, and a wet base is looked at."""
    now = today.moisture.p50
    stands = f"moisture stands at {percent(now)} already, under" if now < limit else "moisture falls under"
    do = "squeeze a handful, and water only if it crumbles" if amiss.wet else "somebody should water"
    return f"{stands} {percent(limit)}: {do}"


def _before(
    today: Day,
    settings: Settings,
    first: date,
    feed_kg: float,
    water_kg: float,
    bedding_kg: float,
    amiss: Amiss,
    where: str,
) -> tuple[str, ...]:
    """What to do before leaving, with amounts."""
    units = settings.units
    eve = on_day(max(today.on, first - timedelta(days=1)), today.on)
    # What is amiss today is put right today, however far off the absence is; so the day stands beside it.
    now = f"first, today ({_dated(today.on)})"
    said = [f"{now}: {step}" if n == 0 else step for n, step in enumerate(amiss.steps)]
    if feed_kg > 0:
        said.append(f"feed {mass(feed_kg, units)}{where} {eve}, buried, in a layer under {length(LAYER_M, units)}")
    elif amiss.hold and not amiss.said:
        said.append(f"feed nothing more before you leave{f': {amiss.why}' if amiss.why else ''}")
    elif not amiss.hold:
        said.append(f"feed nothing more before {day_words(first, today.on)}: what waits is enough to begin with")
    if bedding_kg > 0:
        soak = volume(bedding_kg * SOAK, units)
        wetted = ", as it is, on top, to take up the wet" if amiss.wet else f", soaked in {soak} of water, on top"
        more = " more" if amiss.bedding_kg > 0 else ""
        said.append(f"lay {mass(bedding_kg, units)}{more} of dry bedding{wetted}: food for weeks")
    if water_kg > 0:
        said.append(f"water it with {volume(water_kg, units)} more, mixed through, so that it lasts")
    cover = "leave the cover ajar under a cloth, so that it dries" if amiss.wet else "close the cover"
    said.append(f"fluff it, let standing water out, {cover}, and keep it out of the sun")
    if amiss.mind:
        said.append(f"mind: {amiss.mind}")
    return tuple(said)


def _risks(
    on: date,
    away: Sequence[Day],
    settings: Settings,
    bare: date | None,
    bare_days: int,
    dry: date | None,
    wet: date | None,
    amiss: Amiss,
) -> tuple[str, ...]:
    """What may go wrong, with when and how much."""
    units = settings.units
    said = [f"unless it is put right before you leave: {what}" for what in amiss.whats]
    if bare is not None:
        lost = percent(1.0 - (1.0 - LOSS_PER_DAY) ** bare_days)
        cost = f"{days_words(bare_days)} on bedding cost at most {lost} of the worms"
        said.append(f"unless somebody feeds it, feed is gone {_about(bare, on)}; {cost}")
    if dry is not None:
        said.append(f"too dry from {_about(dry, on)}")
    if wet is not None:
        said.append(f"too wet from {_about(wet, on)}: put in dry bedding before you leave")
    hot = max((day.temp_c.p90 for day in away), default=0.0)
    cold = min((day.temp_c.p10 for day in away), default=20.0)
    if hot > HOT_C:
        said.append(f"it may reach {temperature(hot, units)}: stand it in the coolest room")
    if cold < COLD_C:
        said.append(f"it may fall to {temperature(cold, units)}: wrap it")
    return tuple(said) or ("nothing is likely to go wrong",)


def _about(day: date, today: date) -> str:
    """ "tomorrow", "about 6 March": a day that is worked out."""
    return day_words(day, today) if abs((day - today).days) <= 1 else f"about {day_words(day, today)}"


def _dated(day: date) -> str:
    """A day on a page that is read on another day: "Friday 6 November"."""
    return f"{day:%A} {day.day} {MONTHS[day.month - 1]}"


def _neighbour(
    bin: Bin,
    today: Day,
    settings: Settings,
    first: date,
    last: date,
    water_kg: float,
    units: str,
    amiss: Amiss,
    most_kg: float | None,
    where: str,
) -> tuple[str, ...]:
    """A page for a neighbour: when to look in, what to give, what not to do, what to do in trouble."""
    never, others = left_out()
    away = (last - first).days + 1
    visits = ceil(away / VISIT_DAYS) - 1
    when = [first + timedelta(days=round(away * (n + 1) / (visits + 1))) for n in range(visits)]
    room = today.appetite_kg_day.p50 * min(AHEAD_OF_LEAVING_DAYS, away / (visits + 1)) * 0.75 if visits else 0.0
    # Whoever was not to be fed when we left is fed gently by somebody who does not know the bin.
    share = 0.5 if amiss.hold else 1.0
    each = floor(min(room, room if most_kg is None else most_kg) * share * 100) / 100
    said = [f"Worm bin {bin.name}: {_dated(first)} to {_dated(last)}"]
    if amiss.hold and not when:
        when = [first + timedelta(days=away // 2)]
    unfed = [day for day in when if amiss.hold and (amiss.hold_until is None or day < amiss.hold_until)]
    fed = [day for day in when if day not in unfed]
    if unfed:
        look = ", ".join(_dated(day) for day in unfed)
        said.append(f"Please look in on {look}, lift and loosen it, and give it no feed.")
    if not when or (fed and not visits):
        said.append("It needs nothing while we are away. Please do not feed it.")
    elif fed:
        said.append("Please look in on " + ", ".join(_dated(day) for day in fed) + ".")
        said.append(
            f"Each time: bury up to {mass(each, units)} of vegetable peelings{where}, if the last ones are nearly gone."
            if each > 0
            else "Each time: lift and loosen it, and give it no feed."
        )
        if water_kg > 0:
            said.append(
                f"If a squeezed handful crumbles: sprinkle {volume(max(0.1, water_kg / visits), units)} of water."
            )
    said += [
        f"Never: {never}. Leave out {others} too.",
        "Smells bad, or worms on the lid: lid off, light on, lift and loosen it, do not feed, and call us:",
        "______________________________",
        "Keep it out of sun and frost. Wear gloves, wash hands; with asthma stay away from dust and mould.",
    ]
    return tuple(said)
