"""The absence plan of one bin, from dates in words."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from wormbin.advice.action import Doing
from wormbin.advice.judgement import to_do
from wormbin.farm.proposals import Absence
from wormbin.farm.rounds import in_tray
from wormbin.farm.scenes import Scene
from wormbin.farm.views import Dated, StepView
from wormbin.figures import Level
from wormbin.measures import parse_date, parse_last, told
from wormbin.problems import Problem, RefusedError
from wormbin.process.outlook import look_ahead
from wormbin.process.views import Planned
from wormbin.records.habits import step_up_kg, stocked_on, usual_material
from wormbin.schedule.absence import AHEAD_OF_LEAVING_DAYS, Amiss, absence_plan, feed_before_leaving
from wormbin.science.ramp import ramp_share

LONGEST_DAYS = 180
WET = frozenset({"too-wet", "standing-water", "air-short"})


def amiss_now(scene: Scene, *, feeds: bool = True) -> Amiss:
    """What the bin's alarms say today, for whoever is about to leave it; without ``feeds`` no step says to feed."""
    left_out = {Doing.MEASURE, Doing.CAUTION} | (set() if feeds else {Doing.FEED})
    alarms = [each for each in scene.findings if each.level is not Level.STEADY]
    steps = to_do(alarms) if alarms else ()
    kinds = {action.kind for action in steps}
    return Amiss(
        level=max((each.level for each in alarms), key=lambda level: level.rank, default=Level.STEADY),
        whats=tuple(each.what for each in alarms),
        steps=tuple(action.text for action in steps if action.kind not in left_out),
        wet=any(each.code in WET for each in alarms) or Doing.DRAIN in kinds,
        said=Doing.STOP in kinds,
        bedding_kg=sum(action.strength for action in steps if action.kind is Doing.BEDDING),
        hold=bool(kinds & {Doing.STOP, Doing.TAKE_OUT, Doing.EMERGENCY}),
        hold_until=None if Doing.EMERGENCY in kinds else scene.held_until,
        why=scene.ration.because[-1] if scene.ration.kg <= 0 and scene.ration.because else "",
        mind="; ".join(action.text for action in steps if action.kind is Doing.CAUTION),
    )


def absence(scene: Scene, first: str, last: str) -> Absence:
    """What to do before, what happens meanwhile, what may go wrong, and a page for a neighbour. Raises RefusedError."""
    begins = parse_date(first, scene.on, "from", toward="future")
    ends = parse_last(last, begins, scene.on)
    if begins < scene.on:
        raise RefusedError(Problem("from", first, f"a day from {scene.on.isoformat()} on", "saturday"))
    if not begins <= ends or (ends - scene.on).days > LONGEST_DAYS:
        allowed = f"a day from {begins.isoformat()} on, within {LONGEST_DAYS} days"
        raise RefusedError(Problem("until", last, allowed, "12 days"))
    stocked = stocked_on(scene.entries)
    share = ramp_share((scene.on - stocked).days if stocked else None)
    amiss = amiss_now(scene)
    eve = date.fromordinal(max(scene.on.toordinal(), begins.toordinal() - 1))
    held = scene.held_until is not None and scene.held_until > eve
    amiss = replace(amiss, hold=amiss.hold or held)
    most_kg = step_up_kg(scene.food_log, scene.on, min((ends - begins).days + 1, AHEAD_OF_LEAVING_DAYS))
    feed_kg = (
        0.0 if amiss.hold else feed_before_leaving(scene.bin, scene.today, begins, ends, share=share, most_kg=most_kg)
    )
    if eve == scene.on:
        feed_kg = min(feed_kg, scene.ration.kg)
        if feed_kg > 0:
            # The page says once how much to feed today.
            amiss = replace(amiss_now(scene, feeds=False), hold=amiss.hold)
    plan = [each for each in scene.plan if each.on < begins]
    tray = scene.tray_to_feed
    if feed_kg > 0:
        plan = [each for each in plan if each.on < eve]
        plan.append(Planned(eve, feed_kg=feed_kg, material=usual_material(scene.food_log, scene.on), compartment=tray))
    ahead = look_ahead(scene.past.replay, plan, (ends - scene.on).days + 7)
    found = absence_plan(
        scene.bin,
        scene.today,
        ahead.days,
        scene.settings,
        begins,
        ends,
        feed_kg=feed_kg,
        amiss=amiss,
        most_kg=most_kg,
        where=in_tray(scene),
    )
    units = scene.settings.units
    return Absence(
        bin=scene.bin.key,
        first=begins,
        last=ends,
        level=found.level,
        before=tuple(told(line, units) for line in found.before),
        steps=tuple(StepView(step.on, told(step.what, units)) for step in found.steps),
        risks=tuple(told(line, units) for line in found.risks),
        neighbour=tuple(told(line, units) for line in found.neighbour),
        moisture=tuple(Dated(day.on, day.moisture) for day in ahead.days),
        feed_waiting_kg=tuple(Dated(day.on, day.feed_waiting_kg) for day in ahead.days),
    )
