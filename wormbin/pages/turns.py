"""The rota of a month, to read or to hang on the wall."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from wormbin.farm.views.turns import RotaDay, RotaView
from wormbin.pages.page import GAP, Block, Column, Heading, Sentence, Table

HOW = (
    "No rota yet. Three steps:",
    'wormbin keepers --add "Ana, Ben, Cleo"',
    'wormbin settings school-days "monday to friday"',
    'wormbin settings jobs "feed, check, measure friday, tidy friday"',
    "On the screen: , and then the last rows: who writes, school days, jobs.",
)


def rota(view: RotaView) -> Iterator[Block]:
    """One line a school day; holidays in one line each, as long as they are."""
    if not any(day.duties for day in view.days):
        yield from (Sentence(words) for words in _none(view))
        return
    yield Heading(f"Turns, {view.first:%B %Y}")
    jobs = [job for job in view.jobs if any(job in day.duties for day in view.days)]
    columns = (Column("day"), *(Column(job) for job in jobs), Column(""))
    rows: list[tuple[str, ...]] = []
    for off, days in groupby(view.days, key=lambda day: day.off):
        held = list(days)
        if off:
            until = "" if len(held) == 1 else f"to {_day(held[-1])}: "
            rows.append((_day(held[0]), *[""] * len(jobs), until + off))
        else:
            rows += [
                (_day(day), *("+".join(day.duties.get(job, ())) for job in jobs), _aside(day, view)) for day in held
            ]
    yield Table(columns, tuple(rows))
    yield GAP
    if len(view.bins) > 1:
        yield Sentence(f"Each job is done at every bin: {', '.join(view.bins)}.")
    if "feed" in jobs:
        yield Sentence("Whoever feeds looks first, and feeds only where the round says so that day.")
    yield Sentence("Wash your hands afterwards.", "dim")


def _none(view: RotaView) -> tuple[str, ...]:
    """Why nobody has a turn in the month, and what to do."""
    if view.since is None:
        return HOW
    if view.last < view.today:
        return ("This month is over. Who did what is in the log: wormbin log BIN",)
    if view.until is not None and view.until < max(view.first, view.today):
        return (f'The term ends {view.until}. Set the next: wormbin settings term "first day to last day"',)
    if view.since > view.last:
        return (f"The term begins {view.since}: wormbin turns --month {view.since:%Y-%m}",)
    return (f"Nobody has a turn in the rest of {view.first:%B %Y}.",)


def _day(day: RotaDay) -> str:
    return f"{day.on:%a} {day.on.day}{' half' if day.half else ''}"


def _aside(day: RotaDay, view: RotaView) -> str:
    parts = ["today"] if day.on == view.today else []
    parts += [f"away: {', '.join(day.away)}"] if day.away else []
    return "; ".join(parts)
