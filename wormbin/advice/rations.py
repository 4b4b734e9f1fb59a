"""How much a bin may be fed: today, until the next feeding, and a week. One place, which every door asks."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import floor

from wormbin.advice import limits
from wormbin.advice.case import Case
from wormbin.advice.clock import OfToday, kg_in, may_lie_kg, pace_kg_day
from wormbin.advice.evidence import age_days, latest
from wormbin.advice.finding import Action, Doing, Finding
from wormbin.advice.looks import left_read
from wormbin.advice.trays import tray_to_feed
from wormbin.advice.wording import day_words, length, mass, percent
from wormbin.figures import Level
from wormbin.measures import counted
from wormbin.records.entries import Harvest
from wormbin.records.habits import ever_fed, fed_kg, step_up_kg, stocked_on, usual_gap_days
from wormbin.science.constants import FRESH_SCRAPS_KG_M3, SURVEY_HOLDS_DAYS
from wormbin.science.practice import USUAL_FEED_KG_KG_DAY, ramp_ends_in, ramp_share as share_of_age

AT_ONCE_DAYS = 5
"""Never more than so many days' work at once, however far the next feeding is: more heats and sours (ours)."""
NOTHING_KG_M2 = 0.25
"""A week's ration under this is not worth giving (ours)."""
NEW_BED_DAYS, NEW_BED_SHARE = 7, 0.25
"""After a harvest worms get a quarter of the usual for a week (common practice, no source)."""
SLOWED_DAYS = 7
"""What slows the feeding of today slows those of a week; by then it is looked at anew (ours)."""

PLANNED = 0.9
"""What of the ration of later is told in a plan: it is worked out anew each time, and shall not be less (ours)."""

WAITING_COUNTS = ("can_take", "new_bin")
"""Bounds of a ration from which what still waits is taken off."""


@dataclass(frozen=True, slots=True)
class Ration:
    """How much can be fed today (fresh kg, 0 when nothing), to last until ``until``, and why it is no more.

    ``week_kg`` is what it may be given a week while it stays as it is, ``capacity_kg`` what may wait in all to be
    worked off by ``until``; ``held`` says what holds all feed back, and ``held_until`` from when on it may be fed.
    ``used_to_kg`` is what it could take today, were it used to as much.
    """

    kg: float
    until: date
    because: tuple[str, ...]
    capacity_kg: float = 0.0
    week_kg: float = 0.0
    held: str = ""
    held_until: date | None = None
    used_to_kg: float = 0.0
    bounds: tuple[tuple[str, float, str], ...] = ()
    """What bounds it, the least of which counts: name, fresh kg, in words. Less what waits: ``WAITING_COUNTS``."""
    waits_kg: float = 0.0
    part: float = 0.0
    """What of that is left in a new bed and under what was found; ``kg`` is so much of it, down to whole 10 g."""
    level: Level = Level.STEADY
    """How grave what holds the feed back is."""
    slowed: float = 1.0
    """What is left of the feedings of the coming week while it stays as it is."""


def interval_days(case: Case) -> float:
    """Days between feedings: the plan's, or the keeper's habit when that is longer; at most a week."""
    planned = 7.0 / max(1, len(case.settings.feed_days))
    return min(7.0, max(planned, usual_gap_days(case.entries, case.on) or 0.0))


def ramp_share(case: Case, on: date) -> float:
    """Share of the usual ration for a bin as young as it is on ``on``; 1 once it is settled, 0 before worms went in."""
    stocked = stocked_on(case.entries)
    return share_of_age((on - stocked).days if stocked is not None else None)


def ramp_ends(case: Case, on: date) -> date | None:
    """The day on which the share of a new bin's ration ends that holds on ``on``; None when settled or not stocked."""
    stocked = stocked_on(case.entries)
    left = ramp_ends_in((on - stocked).days if stocked is not None else None)
    return on + timedelta(days=left) if left is not None else None


def no_feed_until(case: Case) -> date | None:
    """The first day of the look-ahead without feeding on which what waits is worked off; None when none is."""
    aim = may_lie_kg(case.today)
    return next((day.on for day in case.unfed.days if day.on > case.on and day.feed_waiting_kg.p50 <= aim), None)


def hold(case: Case, at_least_days: int = 0) -> Action:
    """ "do not feed until about 14 March", by the look-ahead without feedings; for ``at_least_days`` in any case."""
    until, ahead, tomorrow = no_feed_until(case), len(case.unfed.days), case.on + timedelta(days=1)
    least = case.on + timedelta(days=max(0, at_least_days))
    if until is not None:
        until = max(until, least)
        # What is said is the day on which it will be fed; what is held to is the day from which it may be.
        said = next((day for day in case.feed_days if day >= until), until)
        words = "today" if until <= tomorrow else f"until about {day_words(said, case.on)}"
    elif ahead:
        until, words = case.on + timedelta(days=max(ahead, 7)), f"for the next {max(ahead, 7)} days, then look again"
    else:
        until, words = max(least, tomorrow), "until it is gone"
    return Action(Doing.STOP, f"do not feed {words}", until.toordinal(), until=max(until, tomorrow))


def ration(case: Case, found: Iterable[Finding] = (), next_feeding: date | None = None) -> Ration:
    """How much can be fed today, to be worked off by ``next_feeding``; with the reasons.

    By the clock, less what still waits; no more than twice what the keeper usually gives unless the worms were
    surveyed, as nobody has seen this bin get through more. What was ``found`` in the bin stops or halves it
    (``Finding.feed``). A new bin gets its week's ration in as many parts as there are feedings.
    """
    until = next_feeding or case.lasts_until or case.on + timedelta(days=max(1, round(interval_days(case))))
    share = ramp_share(case, case.on)
    if share <= 0:
        why = "no worms are in yet: put them in first"
        return Ration(0.0, until, (why,), held=why)
    if stocked_on(case.entries) == case.on:
        first = mass(_room(case, until, share).kg, case.settings.units)
        why = f"the worms went in today: let them settle, and feed up to {first} tomorrow or the day after"
        return Ration(0.0, until, (why,), held=why, held_until=case.on + timedelta(days=1))
    return _braked(case, found, _room(case, until, share))


def _room(case: Case, until: date, share: float) -> Ration:
    """What the bin takes when nothing is the matter with it."""
    today, units = case.today, case.settings.units
    span = min(float(max(1, (until - case.on).days)), AT_ONCE_DAYS)
    capacity, daily = _capacity_kg(case, span), _daily_kg(case, share)
    given = fed_kg(case.entries, case.on, case.on)
    if given > 0 and len(case.history) > 1 and today.appetite_kg_day.p50 > 0:
        # A bin does not take more for having been fed: it is counted on as it was the evening before.
        capacity *= min(1.0, case.history[-2].appetite_kg_day.p50 / today.appetite_kg_day.p50)
    because = [f"about {mass(daily, units)} a day until {day_words(until, case.on)}"]
    if (until - case.on).days > AT_ONCE_DAYS:
        because.append(f"{counted(AT_ONCE_DAYS, 'day')}' worth is the most at once")
    waits = _waits_kg(case)
    kg = capacity - waits
    bounds = [("can_take", capacity, f"may wait in all, to be worked off by {until.isoformat()}")]
    if share < 1:
        lies = min(waits, may_lie_kg(today))
        words = f"a new bin's ration until {until.isoformat()}, and the little that may lie"
        bounds.append(("new_bin", daily * span + lies, words))
        kg = min(kg, daily * span + lies - waits)
        because.append(f"a new bin gets {percent(share)} of the usual: {mass(7 * daily, units)} a week")
    if waits > 0.1 * capacity:
        how = "as you saw it" if waits != today.feed_waiting_kg.p50 else "by the estimate"
        how = how if ever_fed(case.entries) else "if it was fed as usual: no feeding is written down"
        because.append(f"{mass(waits, units)} is uneaten, {how}")
    layer = _layer_kg(case)
    if layer < kg:
        kg = layer
        bounds.append(("layer", kg, f"until it lies {length(limits.LAYER_MAX_M, units)} thick"))
        because.append(f"food should lie no thicker than {length(limits.LAYER_MAX_M, units)}")
    lately, week = fed_kg(case.entries, case.on - timedelta(days=1), case.on), week_by_weight_kg(case)
    if week - lately < kg:
        kg = week - lately
        bounds.append(("week", kg, "a week's food by the worms' weight, less what went in since yesterday"))
        because.append(f"{mass(week, units)} in two days is the most: a week's food by the worms' weight")
    # What was given today is not yet a habit: it is a part of the step.
    step, most = step_up_kg(case.entries, case.on - timedelta(days=1), span), max(0.0, kg)
    if share >= 1 and step is not None and not _surveyed(case):
        daily = min(daily, step / interval_days(case))
        if step - given < kg:
            kg = step - given
            bounds.append(("step", kg, "twice what it usually gets, less what it got today"))
            because.append("at most twice the usual: raise it step by step, or count the worms")
    part = new_bed_share(case.on, _harvests(case))
    kg, daily = part * kg, part * daily
    if part < 1:
        because.append(f"a quarter for {counted(NEW_BED_DAYS, 'day')} after a harvest")
    return Ration(
        max(0.0, kg),
        until,
        tuple(because),
        capacity,
        max(kg, 7 * daily),
        used_to_kg=most,
        bounds=tuple(bounds),
        waits_kg=waits,
        part=part,
    )


def week_by_weight_kg(case: Case) -> float:
    """A week's food at half the worms' weight a day, kg; what goes in within two days should be no more than that."""
    return 7 * USUAL_FEED_KG_KG_DAY * case.today.worms_kg.p50 * ramp_share(case, case.on)


def _waits_kg(case: Case) -> float:
    """Fresh kg still waiting: as the keeper saw it yesterday or today, else by the sums."""
    read, waits = left_read(case), case.today.feed_waiting_kg.p50
    if read is None or (case.on - read.on).days > 1:
        return waits
    return read.kg * (min(1.0, waits / read.taken_kg) if read.taken_kg > 0 else 1.0)


def _own_weight_kg(case: Case) -> float:
    """The most fresh kg a day that these worms ever take."""
    return limits.BODY_WEIGHTS.watch.leave * case.today.worms_kg.p50


def _capacity_kg(case: Case, span: float) -> float:
    """Fresh kg that may wait in all, to be worked off in ``span`` days."""
    return min(kg_in(case, span), _own_weight_kg(case) * (span + 1))


def _daily_kg(case: Case, share: float) -> float:
    """Fresh kg a day: what is worked off, no more than the worms ever take; a new bin gets a share of the usual."""
    pace = min(pace_kg_day(case, min(interval_days(case), AT_ONCE_DAYS)), _own_weight_kg(case))
    return min(pace, share * USUAL_FEED_KG_KG_DAY * case.today.worms_kg.p50) if share < 1 else pace


def new_bed_share(day: date, harvests: Iterable[date]) -> float:
    """Share of the usual that is given on ``day``: a part of it in the week after a harvest of the whole bin."""
    return NEW_BED_SHARE if any(0 <= (day - on).days < NEW_BED_DAYS for on in harvests) else 1.0


def _harvests(case: Case) -> list[date]:
    """The days on which the whole bin was harvested."""
    return [each.when.date() for each in case.entries if isinstance(each.what, Harvest) and not each.compartment]


def takes_later(case: Case, day: date, span: float, waits_kg: float) -> float:
    """The most that the bin takes on a later day, fresh kg, to last ``span`` days, with so much waiting then.

    The sums of today's ration carried on: the clock, the worms' own weight, a new bin's share; may be negative.
    """
    span, share = min(span, AT_ONCE_DAYS), ramp_share(case, day)
    most = _capacity_kg(case, span)
    lies = min(waits_kg, may_lie_kg(case.today))
    return (min(most, _daily_kg(case, share) * span + lies) if share < 1 else most) - waits_kg


def first_portions(today: OfToday, worms_kg: float, gap_days: int, weeks: int) -> tuple[float, ...]:
    """What a bin begun ``today`` is fed at once in each of its first weeks, fresh kg, when fed every ``gap_days``.

    The sums of its ration of later, without what may happen to it: a new bin's share, and no more than it works off.
    """
    span = min(gap_days, AT_ONCE_DAYS)
    pace = pace_kg_day(today, span)
    most = [share_of_age(7 * week) * USUAL_FEED_KG_KG_DAY * worms_kg for week in range(weeks)]
    return tuple(PLANNED * span * min(pace, kg_day) for kg_day in most)


def share_later(case: Case, can: Ration, day: date) -> float:
    """What is left of the usual on a later day: of a new bed, and under what slows the feed by today's ration."""
    slowed = can.slowed if (day - case.on).days < SLOWED_DAYS else 1.0
    return slowed * new_bed_share(day, _harvests(case))


def _layer_kg(case: Case) -> float:
    """Fresh kg until the feed lies as thick as it may, in the tray that is fed."""
    tray = tray_to_feed(case)
    if tray:
        lies_m, area = case.today.parts[tray - 1].layers.feed_m, case.bin.surface_m2
    else:
        lies_m, area = case.today.layers.feed_m, case.bin.footprint_m2
    return (limits.LAYER_MAX_M - lies_m) * area * FRESH_SCRAPS_KG_M3


def _braked(case: Case, found: Iterable[Finding], free: Ration) -> Ration:
    """The ration under what is the matter: the strongest brake counts, and each is named."""
    brakes = [each for each in found if each.brake < 1.0]
    because = (*free.because, *dict.fromkeys(each.short or each.what for each in brakes))
    factor = min((each.brake for each in brakes), default=1.0)
    # A hint is of today; what is a watch or graver is not over by the next feeding.
    slowed = min((each.brake for each in brakes if each.brake > 0 and each.level is not Level.STEADY), default=1.0)
    kg = floor(free.kg * factor * 100 + 0.001) / 100
    week = free.week_kg * (factor or slowed)
    stops = [each for each in brakes if each.brake <= 0.0]
    free = replace(free, kg=kg, part=free.part * factor, week_kg=week, slowed=slowed)
    if not stops:
        until = no_feed_until(case) if kg <= 0 else None
        return replace(free, because=because, held_until=until)
    gravest = max(stops, key=lambda each: (each.emergency, each.level.rank, each.urgency))
    kinds = (Doing.STOP, Doing.EMERGENCY)
    untils = [step.until for each in stops for step in each.actions if step.until is not None and step.kind in kinds]
    until = max(filter(None, (*untils, no_feed_until(case))), default=None)
    held = gravest.short or gravest.what
    last = (*(why for why in because if why != held), held)
    return replace(free, because=last, held=held, held_until=until, level=gravest.level)


def _surveyed(case: Case) -> bool:
    """Whether a worm survey that still holds says how many there are to feed."""
    survey = latest(case, "worms_kg")
    return survey is not None and not survey.questioned and age_days(case, survey) <= SURVEY_HOLDS_DAYS


WEEK = "{week}"
"""Stands in a step's words for what may be fed a week, until that is known."""


def week(when: str) -> Action:
    """How much to feed a week ``when`` something holds: "feed no more than 350 g a week while it is this cold"."""
    return Action(Doing.THEN, f"feed no more than {WEEK} a week {when}")


def with_amount(action: Action, case: Case, can: Ration) -> Action | None:
    """A step with the amount of a week in it; None where nothing is to be fed and something else says so."""
    if WEEK not in action.text:
        return action
    if can.week_kg < NOTHING_KG_M2 * case.bin.footprint_m2 or (can.held and action.text.startswith("feed no more")):
        return None
    return Action(action.kind, action.text.replace(WEEK, mass(can.week_kg, case.settings.units)), 1 / can.week_kg)
