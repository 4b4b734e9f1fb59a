"""How turns are taken, in words, both ways: school days, term, jobs, half days, pupils away, swaps."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date

from wormbin.farm.words.names import DAYS, weekday_words, weekdays
from wormbin.measures import parse_date, shown, tidy
from wormbin.measures.dates import parse_last
from wormbin.problems import Problem, RefusedError
from wormbin.records.farms import JOBS, MOST_TOGETHER, Gone, Job, Settings, Swap, Turns

INSTEAD = " instead of "
EXAMPLE = f"2026-10-05: Ana{INSTEAD}Ben"
NONE = ("", "none", "-", "no")
Change = Callable[[Settings, str], Settings]


def words_of(turns: Turns) -> dict[str, str]:
    """Every setting of the rota by its name, in words that ``changes`` reads; nothing where nobody takes turns."""
    if not turns.days:
        return {}
    ends = [day.isoformat() for day in (turns.first, turns.last) if day is not None]
    return {
        "school-days": weekday_words(turns.days),
        "term": " to ".join(ends),
        "jobs": ", ".join(f"{job.name} {' '.join(DAYS[day] for day in job.days)}".strip() for job in turns.jobs),
        "together": str(turns.together),
        "half-days": ", ".join(DAYS.get(day, day) for day in turns.half_days),
        "pupil-away": "; ".join(f"{each.name}: {span_words(each.first, each.last)}" for each in turns.away),
        "swap": "; ".join(f"{each.on.isoformat()}: {each.name} instead of {each.other}" for each in turns.swaps),
    }


def span_words(first: date, last: date) -> str:
    """ "2026-10-05" or "2026-10-05 to 2026-10-07"."""
    return first.isoformat() + (f" to {last.isoformat()}" if last != first else "")


def span(words: str, today: date, field: str) -> tuple[date, date]:
    """The first and the last day of "today", "2026-10-05 to 2026-10-07" or "2026-10-05 to 3 days"."""
    first, to, last = words.partition(" to ")
    begins = parse_date(first, today, field, toward="future")
    ends = parse_last(last, begins, today, field) if to else begins
    if ends < begins:
        raise RefusedError(Problem(field, shown(words), "the first day and then the last one", "today to 2026-10-07"))
    return begins, ends


def changes(today: date) -> Mapping[str, Change]:
    """What each setting of the rota does with its words."""

    def changed(change: Callable[[Turns, str, date], Turns]) -> Change:
        return lambda settings, words: replace(settings, turns=change(settings.turns, words, today))

    return {
        "school-days": changed(_school_days), "term": changed(_term), "jobs": changed(_jobs),
        "together": changed(_together), "half-days": changed(_half_days), "pupil-away": changed(_away),
        "swap": changed(_swap),
    }  # fmt: skip


def _none(words: str) -> bool:
    return tidy(words).casefold() in NONE


def _school_days(turns: Turns, words: str, today: date) -> Turns:
    days = () if _none(words) else weekdays(words, "school-days")
    return replace(turns, days=days, first=turns.first or (today if days else None))


def _term(turns: Turns, words: str, today: date) -> Turns:
    if _none(words):
        return replace(turns, first=today, last=None)
    first, last = span(words, today, "term")
    return replace(turns, first=first, last=last if last != first else None)


def _jobs(turns: Turns, words: str, _today: date) -> Turns:
    found: dict[str, Job] = {}
    for part in words.replace(";", ",").split(",") if not _none(words) else ():
        said, _, days = tidy(part).replace(":", " ").casefold().partition(" ")
        name = next((job for job in JOBS if said and job.startswith(said)), "")
        if name:
            found[name] = Job(name, weekdays(days, "jobs") if days.strip() else ())
        elif said and found:  # a second weekday of the job before it
            before = found[next(reversed(found))]
            found[before.name] = Job(before.name, (*before.days, *weekdays(part, "jobs")))
        else:
            raise RefusedError(Problem("jobs", shown(part), "one of " + ", ".join(JOBS), "feed, check, tidy friday"))
    return replace(turns, jobs=tuple(found.values()) or Turns().jobs)


def _together(turns: Turns, words: str, _today: date) -> Turns:
    said = tidy(words).casefold()
    count = {"": 1, "none": 1, "alone": 1, "pairs": 2, "two": 2, "three": 3}.get(said)
    if count is None and not (said.isdecimal() and 1 <= int(said) <= MOST_TOGETHER):
        raise RefusedError(Problem("together", shown(words), f"1 to {MOST_TOGETHER} at one job", "2"))
    return replace(turns, together=count or int(said))


def _half_days(turns: Turns, words: str, today: date) -> Turns:
    found: list[str] = []
    for part in words.replace(";", ",").split(",") if not _none(words) else ():
        try:
            found += weekdays(part, "half-days")
        except RefusedError:
            found.append(parse_date(part, today, "half-days", toward="future").isoformat())
    return replace(turns, half_days=tuple(dict.fromkeys(found)))


def _away(turns: Turns, words: str, today: date) -> Turns:
    if _none(words):
        return replace(turns, away=())
    name, colon, days = (tidy(part) for part in words.partition(":"))
    if not colon or not name:
        raise RefusedError(Problem("pupil-away", shown(words), "a name, a colon, the days", "Ana: today to 2026-10-07"))
    others = tuple(each for each in turns.away if each.name != name)
    if _none(days):
        return replace(turns, away=others)
    gone = Gone(name, *span(days, today, "pupil-away"))
    mine = tuple(each for each in turns.away if each.name == name and each.first != gone.first)
    return replace(turns, away=tuple(sorted((*others, *mine, gone), key=lambda each: (each.first, each.name))))


def _swap(turns: Turns, words: str, today: date) -> Turns:
    if _none(words):
        return replace(turns, swaps=())
    day, _, names = words.partition(":")
    name, joined, other = (tidy(part) for part in names.replace(" for ", INSTEAD).partition(INSTEAD))
    if not joined or not name or not other or name == other:
        raise RefusedError(Problem("swap", shown(words), "a day, a colon, who instead of whom", EXAMPLE))
    swap = Swap(parse_date(day, today, "swap", toward="future"), name, other)
    others = [each for each in turns.swaps if (each.on, {each.name, each.other}) != (swap.on, {name, other})]
    return replace(turns, swaps=tuple(sorted((*others, swap), key=lambda each: each.on)))
