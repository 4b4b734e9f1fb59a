"""The work on all bins, day by day, with the minutes that it takes and the hours that there are."""

from __future__ import annotations

from collections.abc import Iterator

from wormbin.farm.rounds.workdays import JobView, WeekView, WorkDay
from wormbin.measures.dates import time_words
from wormbin.pages.days import day
from wormbin.pages.page import GAP, Block, Heading, Sentence

HOUR = 60
"""Minutes."""


def week(view: WeekView) -> Iterator[Block]:
    """Each day with its jobs, the harvests named first."""
    for each in view.days:
        yield Heading(day(each.on), aside=f"   {hours(each)}")
        if each.walk_minutes:
            yield Sentence("look in and feed" if each.feeds else "look in", lead=lead(each.walk_minutes), indent=2)
        for job in sorted(each.jobs, key=lambda job: (not job.harvest, job.name.casefold())):
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
