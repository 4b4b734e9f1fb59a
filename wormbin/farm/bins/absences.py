"""The absence plan of one bin, from dates in words; and the finding that a holiday in the settings is by itself."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from math import floor
from typing import TYPE_CHECKING

from wormbin.advice import doses
from wormbin.advice.finding import Action, Doing, Finding
from wormbin.advice.judgement import to_do
from wormbin.advice.rations import AT_ONCE_DAYS
from wormbin.advice.wording import LEAST_WATER_L, poured
from wormbin.drawing.series import Point
from wormbin.farm.views.proposals import Absence
from wormbin.farm.views.round import StepView
from wormbin.farm.words.spoken import Spoken
from wormbin.figures import Level
from wormbin.materials.material import SOAKS_UP
from wormbin.measures import counted, mass, parse_date, parse_last, told, volume
from wormbin.measures.dates import day_words, days_words
from wormbin.measures.units import GALLON_L
from wormbin.problems import Problem, RefusedError
from wormbin.process.outlook import look_ahead
from wormbin.process.views import Ahead, Planned
from wormbin.records.entries import Bedding, Kind, Watering
from wormbin.records.farms import long_absences
from wormbin.records.habits import fed_kg, feedings, usual_material
from wormbin.schedule import absence as plan
from wormbin.schedule.absence import Amiss, Meal, Meanwhile, Prepared
from wormbin.schedule.days import feeding_days, last_feeding_day

if TYPE_CHECKING:
    from wormbin.farm.bins.scene import Scene

LONGEST_ABSENCE_DAYS = 180
DONE_DAYS = 7
"""Bedding of so many days before leaving is the bedding that the plan asks for (ours)."""
WET = frozenset({"too-wet", "standing-water", "air-short"})
PEELINGS = "vegetable-scraps"
CUP_L = GALLON_L / 16
HANDFUL = {"handful": "40 g"}
"""A handful of peelings where the keeper has none of their own (ours)."""


@dataclass(frozen=True, slots=True)
class Leaving:
    """An absence thought through: what is done before it, what happens under that, and what is told to whom."""

    then: Meanwhile
    ahead: Ahead
    amiss: Amiss
    meal: Meal | None
    before: tuple[Prepared, ...]
    neighbour: tuple[str, ...]
    visits: tuple[date, ...]


def amiss_now(scene: Scene, meal: Meal | None) -> Amiss:
    """What the bin's alarms say today, for whoever is about to leave it; the ``meal`` before leaving is said apart."""
    alarms = [each for each in scene.judged if each.level is not Level.STEADY]
    steps = to_do(alarms) if alarms else ()
    kinds = {action.kind for action in steps}
    # Whether and what is fed before leaving is told once, by the last feeding.
    left_out = {Doing.MEASURE, Doing.CAUTION, Doing.STOP, *((Doing.FEED,) if meal and meal.on == scene.on else ())}
    ration = scene.ration
    held = ration.held or (ration.because[-1] if scene.rests_until is not None else "")
    return Amiss(
        level=max((each.level for each in alarms), key=lambda level: level.rank, default=Level.STEADY),
        whats=tuple(each.what for each in alarms),
        steps=tuple(action.text for action in steps if action.kind not in left_out),
        # One reading of the hand is enough to keep water away from it.
        wet=any(each.code in WET for each in (*alarms, *(one for one in scene.judged if one.seen)))
        or Doing.DRAIN in kinds,
        smells=any(each.code.startswith("smell-") for each in scene.judged),
        held=held,
        held_until=None if Doing.EMERGENCY in kinds else ration.held_until or scene.rests_until,
        bedding_kg=sum(action.strength for action in steps if action.kind is Doing.BEDDING),
        mind="; ".join(action.text for action in steps if action.kind is Doing.CAUTION),
    )


def last_meal(there: Scene, first: date) -> Meal | None:
    """The last feeding before the first day away, as the plan of this scene has it; or the one that was given as it."""
    planned = [each for each in _to_come(there) if each.on < first]
    if planned:
        return Meal(planned[-1].on, planned[-1].feed_kg)
    if there.next_feeding == there.on and there.ration.kg > 0:
        return Meal(there.on, there.ration.kg)
    if feeding_days(there.settings, there.tomorrow(), first - timedelta(days=1), there.bin.key):
        return None
    since = last_feeding_day(there.settings, there.on, there.bin.key)
    given = fed_kg(there.food_log, since, there.on)
    return Meal(feedings(there.food_log, there.on)[-1][0], given, done=True) if given > 0 else None


def _to_come(there: Scene) -> tuple[Planned, ...]:
    """The planned feedings; none while all feed is held back, as nobody knows yet what comes of that."""
    return () if there.ration.held else there.feedings_to_come


def leaving(there: Scene, first: date, last: date) -> Leaving:
    """The absence of a scene whose settings have it, with the scene's own plan followed up to it."""
    settings, eve = there.settings, max(there.on, first - timedelta(days=1))
    meal = last_meal(there, first)
    amiss = amiss_now(there, meal)
    planned = [each for each in _to_come(there) if each.on < first]
    if meal is not None and not planned and not meal.done:
        material = usual_material(there.food_log, there.on)
        planned = [Planned(meal.on, feed_kg=meal.kg, material=material, compartment=there.tray_to_feed)]
    days = (last - there.on).days + 7
    bare = plan.meanwhile(look_ahead(there.past.replay, planned, days).days, settings, first, last)
    laid = _given_since(there, first - timedelta(days=DONE_DAYS), Kind.BEDDING)
    wanted_kg = bare.bedding_kg(there.bin, there.today.layers.bedding_m)
    bedding_kg = max(0.0, wanted_kg - amiss.bedding_kg)
    water_kg, water = _water(there, bare, eve, amiss)
    soak_kg = 0.0 if amiss.wet else SOAKS_UP * bedding_kg
    put_in = Planned(eve, bedding_kg=bedding_kg, water_kg=water_kg + soak_kg, compartment=there.tray_to_feed)
    ahead = look_ahead(there.past.replay, [*planned, put_in], days)
    then = plan.meanwhile(ahead.days, settings, first, last)
    when = plan.visits(then, amiss)
    where = there.in_tray
    return Leaving(
        then=then,
        ahead=ahead,
        amiss=amiss,
        meal=meal,
        before=plan.before(
            there.on, settings, then, meal, amiss=amiss, bedding=(wanted_kg, laid), water=water,
            where=where + (there.with_bedding(meal.kg) if meal is not None else ""), holes=there.bin.drainage,
        ),
        neighbour=plan.neighbour(
            there.bin, then, when, amiss, most_kg=_at_once_kg(there, meal, (last - first).days / (len(when) + 1)),
            by_hand=lambda kg: by_hand(there, kg), water=_to_sprinkle(there, bare, len(when)), where=where,
        ),
        visits=when,
    )  # fmt: skip


def _given_since(scene: Scene, first: date, kind: Kind) -> float:
    """Kg of bedding or water that was put in from ``first`` on."""
    whats = [entry.what for entry in scene.entries if entry.kind is kind and entry.when.date() >= first]
    bedding = sum(portion.kg for what in whats if isinstance(what, Bedding) for portion in what.portions)
    return bedding + sum(what.kg for what in whats if isinstance(what, Watering))


def _water(there: Scene, then: Meanwhile, eve: date, amiss: Amiss) -> tuple[float, Prepared | None]:
    """Water that the look-ahead takes to be given before leaving (kg), and its step: by the rule for every dose."""
    units, today, low = there.settings.units, there.today, there.settings.moisture_low
    given = _given_since(there, max(there.on, eve - timedelta(days=1)), Kind.WATERING)
    if given >= LEAST_WATER_L:
        return 0.0, Prepared(f"watered with {volume(given, units)}: done", done=True)
    if amiss.wet or then.driest >= low:
        return 0.0, None
    if not doses.felt(there.case) or (eve - there.on).days > doses.READ_DAYS:
        then_do = "If it crumbles, write down dry: you then see here how much water it needs"
        return 0.0, Prepared(doses.squeeze_first(there.case, then_do).text)
    kg = doses.water_kg(there.case, min(there.settings.moisture_high, today.moisture.p50 + low - then.driest))
    if kg < LEAST_WATER_L:
        return 0.0, Prepared("spray the dry top lightly. Squeeze again before you go")
    return kg, Prepared(f"add {poured(kg, units)} of water, sprinkled all over. Squeeze again before you go")


def _to_sprinkle(there: Scene, then: Meanwhile, visits: int) -> str:
    """What a neighbour sprinkles at a visit where it crumbles: half a cup or more, at most a tenth of the contents."""
    total, low = there.today.total_kg.p50, there.settings.moisture_low
    short = total * max(0.0, low - then.driest) / (1.0 - low)
    if short <= 0 or not visits:
        return ""
    return _cups(min(short / visits, doses.AT_MOST * total) / CUP_L)


def _at_once_kg(there: Scene, meal: Meal | None, every_days: float) -> float:
    """The most that is fed at a visit, kg: what it may have in the days until the next, and no more than we give it."""
    kg = there.ration.week_kg / 7 * min(AT_ONCE_DAYS, max(1.0, every_days))
    return min(kg, meal.kg) if meal is not None else kg


def by_hand(scene: Scene, kg: float) -> str:
    """An amount of peelings in cups and handfuls, never more than so much: "2 cups or 5 handfuls (200 g)"; "" for none.

    A cup by the material table, a handful by the keeper's own measure where there is one.
    """
    spoken = Spoken(scene.table, {**HANDFUL, **scene.settings.measures})
    cup, handful = spoken.portions([f"1 cup {PEELINGS}", f"1 handful {PEELINGS}"])
    handfuls = floor(kg / handful.kg)
    if not handfuls:
        return ""
    cups = f"{_cups(kg / cup.kg)} or " if kg >= cup.kg / 2 else ""
    return f"{cups}{counted(handfuls, 'handful')} ({mass(floor(kg * 100) / 100, scene.settings.units)})"


def _cups(count: float) -> str:
    """ "half a cup", "2.5 cups": so many in halves, rounded down."""
    halves = floor(count * 2)
    return "half a cup" if halves <= 1 else f"{halves / 2:g} cup{'s' if halves > 2 else ''}"


def absence(scene: Scene, first: str, last: str) -> Absence:
    """What to do before, what happens meanwhile, what may go wrong, and a page for a neighbour. Raises RefusedError."""
    begins = parse_date(first, scene.on, "from", toward="future")
    ends = parse_last(last, begins, scene.on)
    if begins < scene.on:
        raise RefusedError(Problem("from", first, f"a day from {scene.on.isoformat()} on", "saturday"))
    if ends < begins:
        raise RefusedError(Problem("until", last, f"a day from {begins.isoformat()} on", "12 days"))
    latest = scene.on + timedelta(days=LONGEST_ABSENCE_DAYS)
    if ends > latest:
        over = f"those days end on {ends.isoformat()}, more than {LONGEST_ABSENCE_DAYS} days from now"
        whole = f"{over}: nobody can tell so far ahead. Write days that end by {latest.isoformat()}, or ask again later"
        raise RefusedError(Problem("end", last, f"a day up to {latest.isoformat()}", "12 days", whole=whole))
    # Whoever asks on the first day away is still there to do what is to be done before it.
    there = scene.with_absence(max(begins, min(scene.tomorrow(), ends)), ends)
    found = leaving(there, begins, ends)
    units, on, amiss = scene.settings.units, scene.on, found.amiss
    # What is amiss today is put right today, however far off the absence is; so the day stands beside it.
    now = [f"first, today ({plan.dated(on)}): {step}" if not n else step for n, step in enumerate(amiss.steps)]
    mind = [f"mind: {amiss.mind}"] if amiss.mind else []
    known = any(span == (begins, ends) for span in long_absences(scene.settings.away, scene.bin.key))
    if not known and any(begins <= span[0] for span in long_absences(there.settings.away, scene.bin.key)):
        days = f"{begins.isoformat()} to {ends.isoformat()}"
        mind.append(
            f"keep these days, for the round, the sheet and the calendar: ^S, or wormbin settings away “{days}”"
        )
    return Absence(
        bin=scene.bin.key,
        first=begins,
        last=ends,
        level=max(found.then.level, amiss.level, key=lambda each: each.rank),
        before=tuple(told(line, units) for line in (*now, *(each.words for each in found.before), *mind)),
        steps=tuple(
            StepView(step.on, told(step.what, units))
            for step in plan.steps(on, scene.settings, found.then, scene.today.moisture.p50, wet=amiss.wet)
        ),
        risks=tuple(told(line, units) for line in plan.risks(on, scene.settings, found.then, amiss)),
        neighbour=tuple(told(line, units) for line in found.neighbour),
        moisture=tuple(Point(day.on, day.moisture) for day in found.ahead.days),
        feed_waiting_kg=tuple(Point(day.on, day.feed_waiting_kg) for day in found.ahead.days),
    )


SUMMER_DAYS = 28
"""From so many days away a bin may as well be harvested before, or kept by somebody else (ours)."""


def _instead(scene: Scene, first: date, last: date) -> list[str]:
    """What may be done instead of leaving it alone for so long: take castings off before, or hand it over."""
    if (last - first).days + 1 < SUMMER_DAYS:
        return []
    ripe = scene.harvest.window.likely
    early = ["harvest before you leave, and begin again after it"] if ripe is not None and ripe < first else []
    return [*early, "or let somebody keep it until you are back: wormbin hand-over writes its file"]


def away_ahead(scene: Scene, first: date, last: date) -> Finding:
    """The absence that the settings know of, told by itself: steady, or a watch where something runs short in it."""
    found, on, units = scene.leaving or leaving(scene, first, last), scene.on, scene.settings.units
    short = found.then.short
    # A feeding that is due today stands among what is due today, and that nothing is to be fed among the alarms.
    told_before = bool(found.amiss.held) or (found.meal is not None and found.meal.on == on)
    steps = [each.words for each in found.before[1 if told_before else 0 :] if not each.done]
    if short is not None:
        steps.append(f"ask somebody to look in on {day_words(found.visits[0], on)}. “Going away” has a page for them")
    steps += _instead(scene, first, last)
    days = f"away from {day_words(first, on)} to {day_words(last, on)}"
    fed = plan.fed_words(on, units, found.meal, found.amiss)
    told_of = f"{short[1]} {plan.about(short[0], on)}" if short else fed
    risk = next(iter(plan.risks(on, scene.settings, found.then, Amiss())))
    grounds = (f"nobody is here for {days_words((last - first).days + 1)}", *((fed,) if short else ()), risk)
    return Finding(
        code="away-ahead",
        level=Level.WATCH if short else Level.STEADY,
        what=told(f"{days}: {told_of}", units),
        why=told(
            ". ".join(each if not n else each[:1].upper() + each[1:] for n, each in enumerate(grounds)) + ".", units
        ),
        actions=tuple(Action(Doing.LEAVING, told(step, units)) for step in steps),
        sure="Estimate, if you follow this plan.",
        source=plan.SOURCE,
    )
