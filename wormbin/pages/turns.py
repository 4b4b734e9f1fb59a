"""The rota of a month, to read or to hang on the wall."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from wormbin.farm.views.turns import RotaDay, RotaView
from wormbin.measures import counted
from wormbin.pages.page import GAP, Block, Column, Heading, Sentence, Table

HOW = (
    "No rota yet. Three steps:",
    'wormbin keepers --add "Ana, Ben, Cleo"',
    'wormbin settings school-days "monday to friday"',
    'wormbin settings jobs "feed, check, measure friday, tidy friday"',
)


def rota(view: RotaView) -> Iterator[Block]:
    """One line a school day; holidays in one line each, as long as they are."""
    if not any(day.duties for day in view.days):
        yield from (Sentence(words) for words in HOW)
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
    if view.since is not None:
        turns = counted(view.fewest, "turn") if view.fewest == view.most else f"{view.fewest} to {view.most} turns"
        words = f"By the end of the month everybody will have had {turns} since {view.since.isoformat()}."
        yield Sentence(words, "dim")
    yield Sentence("Away or swapped? wormbin turns --help says how. Wash hands afterwards.", "dim")


def _day(day: RotaDay) -> str:
    return f"{day.on:%a} {day.on.day}{' half' if day.half else ''}"


def _aside(day: RotaDay, view: RotaView) -> str:
    parts = ["today"] if day.on == view.today else []
    parts += [f"away: {', '.join(day.away)}"] if day.away else []
    return "; ".join(parts)
