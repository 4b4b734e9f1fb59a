"""The round, worst bin first: told in full, or as a list to walk with. Its one line a bin is in ``round_row``."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from wormbin.drawing.marks import level_mark, plain
from wormbin.farm.errors import Flaw
from wormbin.farm.rounds import jobs_left, minutes_left
from wormbin.farm.rounds.workdays import JobView, WeekView, WorkDay
from wormbin.farm.views.bin import HarvestRow, RoundView
from wormbin.farm.views.round import HarvestView, Load, RoundRow
from wormbin.figures import Level
from wormbin.materials.material import SOAKS_UP
from wormbin.measures import counted, mass, percent, volume
from wormbin.measures.dates import time_words
from wormbin.pages.findings import first_steps, to_do
from wormbin.pages.page import ARROW, GAP, Block, Heading, Line, Rows, Sentence, dated, day, in_brackets
from wormbin.pages.round_table import brief, column_heads, longest_name, row_pieces, short_name
from wormbin.records.bins import Method

MANY = 12
"""More bins than these have a line each."""
SHOWN = 3
"""Findings of one bin that are shown with their why; the rest are counted."""


def whole_round(view: RoundView, *, full: bool = True) -> Iterator[Block]:
    """What each bin needs, how much, why; of many bins a line each, unless it is to be told in ``full``."""
    if not view.rows and not view.troubled and view.closed:
        yield Sentence("All bins are closed." if len(view.closed) > 1 else "The only bin is closed.")
        yield from (Sentence(words) for words in view.closed)
        return
    if not view.rows and not view.troubled:
        yield NO_BINS
        yield Sentence("Or look round a made-up farm: wormbin demo")
        return
    counts = ", ".join(
        f"{sum(row.level is level for row in view.rows)} {level.value}"
        for level in (Level.ACT, Level.WATCH, Level.STEADY)
    )
    parts = [f"{counted(len(view.rows), 'bin')}: {counts}"]
    if view.minutes or not view.troubled:
        parts.append(f"about {time_words(view.minutes)} to look and feed" if view.minutes else "all checked today")
    if view.jobs_minutes:
        parts.append(f"{time_words(view.jobs_minutes)} of other jobs")
    if view.troubled:
        parts.append(f"{counted(len(view.troubled), 'bin')} cannot be read")
    yield Heading(f"Round on {day(view.on)}", aside="".join(f"   {part}" for part in parts))
    if view.turns:
        yield Sentence(view.turns, "strong", lead="turns: ")
    if len(view.rows) > MANY and not full:
        yield GAP
        yield Bins(view.rows, view.on)
        yield Sentence("Each in full: wormbin round --full. To walk with: wormbin round --walk", "dim")
    else:
        for row in view.rows:
            yield GAP
            yield from _bin(row, view.on)
    for each in view.troubled:
        yield GAP
        yield Sentence(f"{each.name} ({each.bin}) cannot be read: {each.why}", lead="! ", lead_role="act")
    if view.note:
        yield GAP
        yield Sentence(view.note, lead="note: ")


def _bin(row: RoundRow, today: date) -> Iterator[Block]:
    # Who looked at a bin that calls for something has not yet done what it calls for.
    tick = "" if not row.done else " (done today)" if row.ticked else " (checked today)"
    yield Sentence(row.name, "strong", level=row.level, named=True, aside=f"{in_brackets(row.bin, row.name)}{tick}")
    yield Sentence(row.headline, indent=2)
    yield from to_do(row, row.do)
    alarms = [each for each in row.findings if each.level is not Level.STEADY]
    for each in alarms[:SHOWN]:
        yield Sentence(("" if each.what == row.headline else f"{each.what}: ") + each.why, lead="why: ", indent=2)
    if len(alarms) > SHOWN:
        yield Sentence(f"and {len(alarms) - SHOWN} more: wormbin outlook {row.bin}", indent=7)
    yield Sentence(_figures(row), indent=2)
    yield Sentence(_next(row, today), indent=2)


def _figures(row: RoundRow) -> str:
    if row.guess:
        return f"its figures come after a guess of today: wormbin guess {row.bin}"
    age = row.moisture_age_days
    read = "never read" if age is None else "last read today" if age == 0 else f"last read {age} d ago"
    low, high = percent(row.moisture.p10).removesuffix("%"), percent(row.moisture.p90)
    nothing_in = row.moisture.p90 <= 0
    wet = "" if nothing_in else f"moisture {percent(row.moisture.p50)} ({low}-{high}, {read}) · "
    return f"uneaten {row.feed_waiting_words} · {wet}worms {row.worms_words}"


def _next(row: RoundRow, today: date) -> str:
    where = f" in the {row.feed_into}" if row.feed_into else ""
    feed = f"feed up to {row.feed_up_to_words}{where} today" if row.feed_up_to_kg > 0 else "feed nothing today"
    following = f", next feeding {day(row.next_feeding)}" if row.next_feeding and row.next_feeding != today else ""
    check = "check today" if row.next_check == today else f"check {day(row.next_check)}"
    return f"{feed}{following} · {check}" + ("" if row.guess else f" · castings {row.harvest.words}")


@dataclass(frozen=True, slots=True)
class Bins:
    """A line a bin, as on the screen."""

    rows: Sequence[RoundRow]
    on: date

    def lines(self, width: int) -> Iterator[Line]:
        """The heads, then a line a bin."""
        longest = longest_name(self.rows)
        yield column_heads(width, longest)
        for row in self.rows:
            yield list(row_pieces(row, width, self.on, longest=longest))


def checklist(rows: Sequence[RoundRow], on: date, units: str, turns: str = "") -> Iterator[Block]:
    """The round as a page to walk with: what to carry, one box a bin, what to do at it, and room to write.

    Of many bins a line each, under the stops of the walk.
    """
    jobs = jobs_left(rows, on)
    more = f", and {time_words(jobs)} of other jobs" if jobs else ""
    yield Sentence(f"{on:%A} {on.day} {on:%B %Y}, about {time_words(minutes_left(rows))}{more}", "dim")
    if turns:
        yield Sentence(turns, "strong", lead="turns: ")
    yield Sentence("[x]: checked or fed that day, and needs nothing more", "dim")
    yield from loads(rows, on, units)
    yield GAP
    if len(rows) > MANY:
        yield from _short_checklist(rows)
        return
    for row in rows:
        seen = " (checked that day)" if row.done and not row.ticked else ""
        lead = f"[{'x' if row.ticked else ' '}] "
        yield Heading(row.name, lead=lead, lead_role="strong", aside=f"{seen}  {row.level.value}: {row.headline}")
        yield from to_do(row, row.do, indent=6, lead="- ")
        yield Sentence(_may_be_fed(row, on), lead="feed: ", indent=6)
        yield Sentence(
            "squeeze ______  left ____ %  temp _____  smell ______________  fed ______________", "dim", indent=6
        )
        yield GAP


def _short_checklist(rows: Sequence[RoundRow]) -> Iterator[Block]:
    stop = ""
    for row in rows:
        if row.stop != stop:
            stop = row.stop
            yield Heading(stop or "elsewhere")
        step = next((brief(each) for each in first_steps(row, row.do)[0]), row.headline)
        lead = f"[{'x' if row.ticked else ' '}] {short_name(row.name, 17):<17} {level_mark(row.level, word=False)} "
        yield Sentence(f"{plain(step, 35)} sq___ left___ t___", lead=lead, lead_role=row.level.value)


def loads(rows: Sequence[RoundRow], on: date, units: str) -> Iterator[Block]:
    """Feed, dry bedding and water to carry today, in total and for each stop of the walk."""
    of_stop: dict[str, Load] = {}
    for row in rows:
        of_stop[row.stop] = of_stop.get(row.stop, Load()) + _load(row, on)
    total = sum(of_stop.values(), Load())
    yield Sentence(_load_words(total, units), lead="to carry: ", lead_role="strong")
    if len(of_stop) > 1:
        yield Rows([(name or "elsewhere", _load_words(load, units)) for name, load in of_stop.items()], indent=2)


def _load(row: RoundRow, on: date) -> Load:
    """What goes to a bin today, with the bed that is soaked for its harvest."""
    bed = sum(step.kg for step in row.harvest.steps if step.on == on)
    return (Load() if row.fed_today else row.load) + Load(bedding_kg=bed, water_kg=bed * SOAKS_UP)


def _load_words(load: Load, units: str) -> str:
    parts = [
        f"{mass(load.feed_kg, units)} of feed" if load.feed_kg > 0 else "",
        f"{mass(load.bedding_kg, units)} of dry bedding" if load.bedding_kg > 0 else "",
        f"{volume(load.water_kg, units)} of water" if load.water_kg > 0 else "",
    ]
    return ", ".join(part for part in parts if part) or "nothing"


def _may_be_fed(row: RoundRow, on: date) -> str:
    """ "up to 3.7 kg in the upper tray", "nothing today": what it can take; with its day, where not today."""
    if row.feed_up_to_kg <= 0:
        return "nothing today"
    where = f" in the {row.feed_into}" if row.feed_into else ""
    much = f"up to {row.feed_up_to_words}{where}"
    if row.fed_today:
        return f"fed that day; still {much}"
    return much if row.next_feeding in (None, on) else f"due {day(row.next_feeding)}; if you feed already, {much}"


NO_BINS = Sentence("No bins yet. Begin one: wormbin start kitchen --length 60cm --width 40cm --depth 30cm")


def harvest(view: HarvestView) -> Iterator[Block]:
    """The window and the steps of the method."""
    yield Sentence(view.words, "strong", lead="castings: ")
    yield from dated(view.steps, 3)


def harvests(rows: Sequence[HarvestRow], unread: Sequence[str] = ()) -> Iterator[Block]:
    """Every bin's window, that of each tray, the steps; where the days come from."""
    for row in rows:
        yield Heading(
            row.name, aside=f"{in_brackets(row.bin, row.name)}, castings out by {Method(row.harvest.method).by}"
        )
        yield from harvest(row.harvest)
        for each in row.compartments:
            yield Sentence(each.harvest_words, lead=f"{each.name}: ", indent=3)
        yield GAP
    for source in dict.fromkeys(row.harvest.source for row in rows if row.harvest.source):
        yield Sentence(source, "dim", lead="source: ")
    if unread:
        yield Sentence(f"Left out, as they cannot be read: {', '.join(unread)}", "watch")
    elif not rows:
        yield NO_BINS


HOUR = 60
"""Minutes."""


def week(view: WeekView) -> Iterator[Block]:
    """Each day with its jobs, the harvests named first."""
    for each in view.days:
        yield Heading(day(each.on), aside=f"   {hours(each)}")
        if each.walk_minutes:
            yield Sentence("look in and feed" if each.feeds else "look in", lead=lead(each.walk_minutes), indent=2)
        for job in each.listed:
            yield Sentence(job_words(job), lead=lead(job.minutes), indent=2)
        if each.over:
            yield Sentence("More than the day has: go on with it the day after, or get a helper.", "watch", indent=2)
    yield GAP
    for words in view.words:
        yield Sentence(words, "dim")


def hours(each: WorkDay) -> str:
    """ "3.5 h of 4 h", "nobody is there"."""
    if not each.minutes:
        return f"no hours for it, {time_words(each.taken)} laid on it" if each.jobs else "no hours for it"
    # In hours where the day is told in hours.
    much = f"{each.over / 60:.1f} h" if each.taken >= HOUR else time_words(each.over)
    over = f": {much} too much" if each.over else ""
    return f"{time_words(each.taken)} of {time_words(each.minutes)}{over}"


def lead(minutes: int) -> str:
    """How long something takes, under each other; nothing for what is only left undone."""
    return f"{time_words(minutes) if minutes else '':>7}  "


def job_words(job: JobView) -> str:
    """A job with whose it is, and why it stands on this day."""
    why = " (put here by hand)" if job.put else f" (waits since {day(job.due)})" if job.due else ""
    return f"{job.name}: {job.what}{why}"


def notices(found: Sequence[Flaw]) -> Iterator[Block]:
    """What is the matter, what to do, and with which file; nothing of it was changed by looking."""
    for flaw in found:
        yield Sentence(flaw.what, "strong", level=Level.WATCH)
        yield Sentence(flaw.do, lead=ARROW, indent=2)
        place = str(flaw.path) if flaw.line is None else f"{flaw.path}, line {flaw.line}"
        yield Sentence(place, "dim", indent=2)
        yield GAP
    yield Sentence("To look everything over: wormbin store check", "dim")


def notice_line(found: Sequence[Flaw]) -> str:
    """That there is something to read, as one line."""
    return f"! {counted(len(found), 'thing')} noticed about the files: N shows what, and what to do"
