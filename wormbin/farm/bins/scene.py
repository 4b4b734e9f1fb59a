"""One bin as everything above looks at it: its past, what is planned, and the look-aheads, worked out once a log."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from functools import cached_property
from typing import TYPE_CHECKING

from wormbin.advice.bedding import name_dry
from wormbin.advice.case import Case
from wormbin.advice.clock import by_chart
from wormbin.advice.finding import Action, Doing, Finding
from wormbin.advice.food import food_log
from wormbin.advice.judgement import Judgement, judge
from wormbin.advice.rations import Ration, new_bed_share
from wormbin.advice.rules.feeding import BACK_DAYS, BACK_SHARE
from wormbin.advice.rules.moisture import WetToCome, wet_to_come
from wormbin.advice.trays import Tray, part_name, tray_to_feed, trays
from wormbin.farm.bins.harvest import Coming, next_harvest
from wormbin.farm.bins.past import Past, days_of
from wormbin.figures import Band, Level
from wormbin.materials.table import MaterialTable
from wormbin.measures import scooped
from wormbin.measures.dates import day_words
from wormbin.process.day import Days
from wormbin.process.outlook import look_ahead, with_entries
from wormbin.process.replay import replay
from wormbin.process.views import Ahead, Day, Planned
from wormbin.records.bins import Bin
from wormbin.records.entries import Entry
from wormbin.records.farms import Away, Settings, long_absences
from wormbin.records.habits import feedings, last_silence, stocked_on
from wormbin.schedule.days import (
    WEEK_DAYS,
    fed_on,
    feeding_after,
    feeding_days,
    is_away,
    last_chance,
    next_check,
    next_feeding,
)
from wormbin.schedule.harvest import Step
from wormbin.schedule.plan import planned
from wormbin.schedule.turns import school_day
from wormbin.science.constants import LEAST_BEDDING_KG

if TYPE_CHECKING:
    from wormbin.farm.bins.absences import Leaving

UNFED_DAYS = 45
HISTORY_DAYS = 180

AWAY_AHEAD_DAYS = 14
"""So long before a long absence it is told what to do before leaving (ours)."""


@dataclass(frozen=True)
class Scene:
    """A bin at a moment. What is costly is worked out when it is first asked for, and only then."""

    bin: Bin
    past: Past
    now: datetime
    settings: Settings
    table: MaterialTable
    ahead_days: int
    own_cure_days: int | None = None
    """Days from the harvest to the bag as the keeper's own lots took; None while none tells."""
    most_kg: float | None = None
    """What it may be fed today where that was told before an absence was laid over the settings."""

    compared: Callable[[str, date], date | None] | None = field(default=None, compare=False, repr=False)
    """Tells the last day of the comparison that a bin is in: costly, since its line stands in the log of either bin."""

    @property
    def on(self) -> date:
        """The day looked at."""
        return self.now.date()

    @property
    def entries(self) -> tuple[Entry, ...]:
        """The lines that stand, in time order."""
        return self.past.entries

    @cached_property
    def food_log(self) -> tuple[Entry, ...]:
        """The same lines, with nothing but food in the feedings: grit and eggshell are no meal."""
        return food_log(self.entries, self.table)

    @cached_property
    def unfed(self) -> Ahead:
        """The look-ahead with nothing given any more."""
        return look_ahead(self.past.replay, (), UNFED_DAYS)

    @cached_property
    def plan(self) -> tuple[Planned, ...]:
        """What the look-ahead takes to be given."""
        plan = planned(self.as_it_is, self.can_take, self.ahead_days)
        tray = self.tray_to_feed
        return tuple(replace(each, compartment=tray) for each in plan) if tray else plan

    @cached_property
    def trays(self) -> tuple[Tray, ...]:
        """The compartments, each with its own harvest window; empty for a plain bin."""
        return trays(self.case)

    @cached_property
    def tray_to_feed(self) -> int:
        """The compartment that is to be fed, from 1; 0 in a plain bin."""
        return tray_to_feed(self.as_it_is)

    @property
    def fed_tray_words(self) -> str:
        """ "upper tray": where the next feeding goes; "" in a plain bin."""
        tray = self.tray_to_feed
        return part_name(tray, self.bin.compartments, self.bin.sideways) if tray else ""

    @cached_property
    def as_it_is(self) -> Case:
        """What the rules look at before anything is planned: the feed they hold is not planned."""
        return self._case(replace(self.unfed, plan=()))

    @property
    def held_until(self) -> date | None:
        """The first day on which the bin may be fed again; None when it may be fed today, or nobody can tell."""
        return self.can_take.held_until if self.can_take.kg <= 0 else None

    @cached_property
    def ahead(self) -> Ahead:
        """The look-ahead with the planned feedings."""
        return look_ahead(self.past.replay, self.plan, self.ahead_days)

    @cached_property
    def case(self) -> Case:
        """What the rules of advice look at."""
        return self._case(self.ahead)

    def _case(self, ahead: Ahead) -> Case:
        return Case(
            bin=self.bin,
            now=self.now,
            today=self.today,
            history=self.past.days.last(HISTORY_DAYS).before(self.on).and_then(Days([self.today])),
            ahead=ahead,
            unfed=self.unfed,
            entries=self.food_log,
            judged=self.past.judged,
            settings=self.settings,
            table=self.table,
            lasts_until=self.until,
            feed_days=self.feed_days,
            own_cure_days=self.own_cure_days,
            silence=last_silence(self.past.silences, self.entries, self.on),
        )

    @cached_property
    def feed_days(self) -> tuple[date, ...]:
        """The days of the next weeks on which the keeper feeds, from tomorrow."""
        return feeding_days(self.settings, self.tomorrow(), self.on + timedelta(days=UNFED_DAYS), self.bin.key)

    @cached_property
    def today(self) -> Day:
        """The bin at this moment, its days of work as its look-ahead has them."""
        return by_chart(self.past.today, self.unfed.days)

    @property
    def waiting_days(self) -> Band:
        """Days of work waiting."""
        return self.today.feed_waiting_days

    def compared_words(self, day: date | None) -> str:
        """What to mind before a harvest on a day of a comparison that the bin is in; "" for any other."""
        until = self.compared(self.bin.key, self.on) if self.compared is not None else None
        if until is None or day is None or day > until:
            return ""
        return f"in a comparison until {day_words(until, self.on)}: wait, or harvest both on one day and weigh"

    @cached_property
    def judged(self) -> tuple[Finding, ...]:
        """What the rules find, worst first."""
        found = judge(self.case, self.until).findings
        return tuple(self._minding(each) if each.code.startswith("harvest") else each for each in found)

    def _minding(self, harvest: Finding) -> Finding:
        words = self.compared_words(self.harvest.day)
        return replace(harvest, actions=(*harvest.actions, Action(Doing.CAUTION, words))) if words else harvest

    @cached_property
    def findings(self) -> tuple[Finding, ...]:
        """All findings, worst first; an absence that is near comes after what is the matter now."""
        away = self.next_absence
        if away is None or (away[0] - self.on).days > AWAY_AHEAD_DAYS or not self.fed_at_all:
            return self.judged
        from wormbin.farm.bins.absences import away_ahead

        loud = sum(each.level is not Level.STEADY for each in self.judged)
        return (*self.judged[:loud], away_ahead(self, *away), *self.judged[loud:])

    @cached_property
    def leaving(self) -> Leaving | None:
        """The next long absence thought through under the plan; None without one."""
        from wormbin.farm.bins.absences import leaving

        return leaving(self, *self.next_absence) if self.next_absence is not None else None

    @property
    def eve(self) -> date | None:
        """The last day before the next long absence on which somebody is there: of a school its last school day."""
        if self.next_absence is None:
            return None
        eve = self.next_absence[0] - timedelta(days=1)
        days = [eve - timedelta(days=back) for back in range(WEEK_DAYS)]
        return next((day for day in days if school_day(self.settings, day)), eve)

    @property
    def next_absence(self) -> tuple[date, date] | None:
        """First and last day of the next long absence that the settings know; None without one, and while it lasts."""
        if is_away(self.settings.away, self.on, self.bin.key) is not None:
            return None
        return next((each for each in long_absences(self.settings.away, self.bin.key) if each[0] > self.on), None)

    @property
    def fed_at_all(self) -> bool:
        """Whether worms live in it, as far as the log says."""
        return stocked_on(self.entries) is not None and self.bin.ended is None

    @property
    def hungry(self) -> bool:
        """Whether it has waited for feed so long that it is to be fed today, whatever the weekday."""
        return any(each.code == "hungry" and each.level is not Level.STEADY for each in self.judged)

    @cached_property
    def wet_to_come(self) -> WetToCome | None:
        """The day on which the feeding as planned makes it too wet, and the bedding that would keep it; None if not."""
        return wet_to_come(self.case)

    def bedding_with(self, feed_kg: float) -> tuple[float, str]:
        """Dry bedding (kg, and its name) that is to go in with so much feed, so that it does not become too wet."""
        found = self.wet_to_come
        if found is None or found.choice is None or found.share * feed_kg < LEAST_BEDDING_KG:
            return 0.0, ""
        return found.share * feed_kg, name_dry(found.choice.material)

    @property
    def in_tray(self) -> str:
        """ " in the upper tray": where the next feeding goes; nothing in a plain bin."""
        return f" in the {self.fed_tray_words}" if self.fed_tray_words else ""

    def with_bedding(self, feed_kg: float) -> str:
        """ " with 60 g dry shredded cardboard", where that much feed would make it too wet in time; else nothing."""
        kg, name = self.bedding_with(feed_kg)
        return f" with {scooped(kg, self.settings.units)} {name}" if kg > 0 else ""

    @cached_property
    def next_feeding(self) -> date | None:
        """The next feeding day on which the bin can take feed; None when none is in sight or nothing lives in it."""
        if not self.fed_at_all:
            return None
        if self.ration.kg > 0 and not fed_on(self.food_log, self.on) and self._fed_out_of_turn:
            return self.on
        rest, held = None if self.hungry else self.harvest.rest, self.held_until
        found = next_feeding(self.bin.key, self.food_log, self.settings, self.on, not_before=held)
        if found is None or rest is None or not rest[0] <= found < rest[1]:
            return found
        return next_feeding(self.bin.key, self.food_log, self.settings, self.on, not_before=rest[1])

    @property
    def _fed_out_of_turn(self) -> bool:
        """Whether it is fed today, whatever the weekday: hungry worms are, and who leaves without having fed them."""
        if is_away(self.settings.away, self.on, self.bin.key) is not None:
            return False
        return self.hungry or last_chance(self.bin.key, self.food_log, self.settings, self.on)

    @property
    def until(self) -> date:
        """The feeding day until which a feeding of today is to last."""
        return feeding_after(self.bin.key, self.settings, self.on)

    @cached_property
    def _before_planning(self) -> Judgement:
        return judge(self.as_it_is, self.until)

    @property
    def can_take(self) -> Ration:
        """How much the bin can take today, to last until the feeding day after it, whatever is planned for it."""
        can = self._before_planning.ration
        return can if self.most_kg is None or can.kg <= self.most_kg else replace(can, kg=self.most_kg)

    @cached_property
    def ration(self) -> Ration:
        """How much is to be fed today: what it can take, and nothing while feed has stopped for a harvest."""
        until = self.rests_until
        if until is None or self.can_take.kg <= 0:
            return self.can_take
        why = f"feed has stopped: the harvest is planned for {day_words(until, self.on)}"
        return replace(self.can_take, kg=0.0, part=0.0, because=(*self.can_take.because, why))

    @cached_property
    def rests_until(self) -> date | None:
        """The day of the harvest for which the bin is fed no more; None while it is fed, as hungry worms always are."""
        rest = self.harvest.rest
        resting = rest is not None and rest[0] <= self.on < rest[1] and not self.hungry
        return self.harvest.day if resting else None

    @property
    def feedings_left_out(self) -> tuple[date, ...]:
        """Today and the days to come that would be feeding days, were feed not stopped for a harvest."""
        rest = None if self.hungry else self.harvest.rest
        if rest is None or fed_on(self.food_log, self.on):
            return ()
        return feeding_days(self.settings, max(rest[0], self.on), rest[1] - timedelta(days=1), self.bin.key)

    @cached_property
    def feedings_to_come(self) -> tuple[Planned, ...]:
        """The planned feedings that stand: none while feed has stopped for a harvest, none before the next one told."""
        first, rest = self.next_feeding, None if self.hungry else self.harvest.rest
        return tuple(
            self._after_absence(self._after_harvest(each))
            for each in self.plan
            if (first is None or each.on >= first) and not (rest is not None and rest[0] <= each.on < rest[1])
        )

    def _after_harvest(self, each: Planned) -> Planned:
        """A planned feeding, cut to what a bin gets in the first week of its new bed."""
        day = None if self.harvest.part else self.harvest.day
        share = new_bed_share(each.on, [day] if day is not None else ())
        return replace(each, feed_kg=each.feed_kg * share, bedding_kg=each.bedding_kg * share)

    def _after_absence(self, each: Planned) -> Planned:
        """A planned feeding, cut to what a bin gets first when somebody is back from a long absence."""
        spans = [span for span in long_absences(self.settings.away, self.bin.key) if span[0] <= each.on]
        last = spans[-1][1] if spans else each.on
        if not 0 < (each.on - last).days <= BACK_DAYS:
            return each
        fed = [day for day, _kg in feedings(self.food_log, self.on)] + [other.on for other in self.plan]
        if self.next_feeding == self.on:
            fed.append(self.on)
        if any(last < day < each.on for day in fed):
            return each
        return replace(each, feed_kg=each.feed_kg * BACK_SHARE, bedding_kg=each.bedding_kg * BACK_SHARE)

    @cached_property
    def next_check(self) -> date:
        """The day for the next look: tomorrow where something that was read is to be looked at again."""
        usual = next_check(self.bin.key, self.entries, self.settings, self.on)
        again = any(
            step.until and step.kind in (Doing.LOOK, Doing.MEASURE) for each in self.judged for step in each.actions
        )
        there = is_away(self.settings.away, self.tomorrow(), self.bin.key) is None
        return min(usual, self.tomorrow()) if again and there else usual

    @cached_property
    def harvest(self) -> Coming:
        """The harvest that comes next, of the bin or of the tray or half that is due first."""
        return next_harvest(self)

    @property
    def harvest_steps(self) -> tuple[Step, ...]:
        """The method's steps on the calendar; empty when no harvest is in sight."""
        return self.harvest.steps

    def with_absence(self, first: date, last: date) -> Scene:
        """The same scene with these days away laid over its settings; looked ahead at until they are over."""
        days = max(self.ahead_days, (last - self.on).days + AWAY_AHEAD_DAYS)
        away = self.settings.away
        if not any(span[0] <= first and last <= span[1] for span in long_absences(away, self.bin.key)):
            laid = replace(self.settings, away=(*away, Away(first, last, bin=self.bin.key)))
            return replace(self, settings=laid, ahead_days=days, most_kg=self.can_take.kg)
        return self if days == self.ahead_days else replace(self, ahead_days=days)

    def back_to(self, begins: date) -> Scene:
        """The scene with its days and courses back to ``begins``: only a part of them is kept, the rest is replayed."""
        past, kept = self.past, self.past.days.first_on()
        if kept is not None and max(kept, past.replay.began) <= begins:
            return self
        run = replay(self.bin, past.entries, self.table, past.until, away=self.settings.away)
        earlier = days_of(run).before(kept) if kept is not None else days_of(run)
        judged = [each for each in run.judged if kept is not None and each.when.date() < kept]
        held = past.judged if kept is None else tuple(each for each in past.judged if each.when.date() >= kept)
        days = earlier.and_then(past.days) if kept is not None else earlier
        return replace(self, past=Past(run, days, (*judged, *held), past.entries, past.until))

    def at(self, on: date) -> Day:
        """The bin at the end of a day that is over, the first one known for a day before it."""
        return next((day for day in self.past.days if day.on >= on), self.past.today)

    def with_written(self, entries: Sequence[Entry]) -> Scene:
        """The same scene as if these entries had been written now; cheap, and nothing is kept."""
        replay = with_entries(self.past.replay, entries)
        now = max([self.now, *(entry.when for entry in entries)], key=lambda moment: moment.replace(tzinfo=None))
        lines = (*self.entries, *sorted(entries, key=lambda entry: entry.when))
        past = Past(
            replay,
            self.past.days.last(HISTORY_DAYS).before(replay.today.on).and_then(Days([replay.today])),
            self.past.judged,
            lines,
            now,
        )
        return replace(self, past=past)

    def tomorrow(self) -> date:
        """The day after the one looked at."""
        return self.on + timedelta(days=1)
