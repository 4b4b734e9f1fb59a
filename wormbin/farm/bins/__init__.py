"""One bin: its page, a figure opened, what would help it now, and what is to come of it.

What is heavy to load is imported within the functions, so that a start and a command stay quick.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from wormbin.problems import Problem, RefusedError

if TYPE_CHECKING:
    from wormbin.farm.bins.many import ManyView
    from wormbin.farm.session import Session
    from wormbin.farm.views.bin import BinView
    from wormbin.farm.views.proposals import Absence, WhatIfView
    from wormbin.figures import Working

DEEPEST_DAYS = 730
"""How far ahead a bin may be looked at."""


def look(session: Session, bin: str, on: date | None = None, *, days: int = 120) -> BinView:
    """One bin on one day, with a look ahead of so many days."""
    from wormbin.farm.bins.page import bin_view
    from wormbin.farm.bins.row import steps_now

    scene = session.scene(bin, on, _depth(days))
    laid = session.cache.laid(on, scene.on)
    view = bin_view(scene)
    return view if laid is None else laid.over_view(view, [step.kind for step in steps_now(scene)])


def outlook(session: Session, bin: str, *, on: date | None = None, days: int = 120) -> Mapping[str, object]:
    """``state``, ``series``, ``learned`` and ``harvest`` by the names of the command line's JSON."""
    from wormbin.farm.bins.ahead import outlook_document

    return outlook_document(session.scene(bin, on, _depth(days)))


def many_readings(session: Session, bin: str, on: date | None = None) -> ManyView:
    """The days on which several read the same thing."""
    from wormbin.farm.bins import many

    return many.view(session.scene(bin, on))


def working(session: Session, bin: str, code: str, on: date | None = None) -> Working:
    """A figure opened; ``code`` is a gauge's."""
    from wormbin.farm.bins.workings import working as of_scene

    return of_scene(session.scene(bin, on), code)


def every_number(session: Session, bin: str, on: date | None = None) -> tuple[tuple[str, Working], ...]:
    """Every figure opened, by its code."""
    from wormbin.farm.bins.workings import every_working

    return every_working(session.scene(bin, on))


def emergency(session: Session, bin: str = "") -> tuple[str, ...]:
    """The five steps to take before any sum, with the amounts of this bin if one is named."""
    from wormbin.farm.bins.causes import five_steps

    return five_steps(session.scene(bin) if bin else None)


def what_if(
    session: Session,
    bin: str,
    *,
    skip: int = 0,
    double: int = 0,
    bedding: str = "",
    spell: str = "",
    split: str = "",
    harvest: bool = False,
    on: date | None = None,
) -> WhatIfView:
    """Two futures side by side: as planned, and with one thing changed, or several at once."""
    from wormbin.farm.bins import futures

    change = futures.Change(skip, double, bedding, spell, split, harvest)
    return as_laid(session, futures.what_if(session.scene(bin, on), change), on)


def as_laid(session: Session, view: WhatIfView, on: date | None) -> WhatIfView:
    """Two futures, the planned harvest on the day that the week has for it."""
    laid, planned = session.cache.laid(on, view.on), view.as_planned
    if laid is None:
        return view
    return replace(view, as_planned=replace(planned, harvest=laid.over_harvest(view.bin, planned.harvest)))


def absence(session: Session, bin: str, first: str, last: str, on: date | None = None) -> Absence:
    """The absence plan for one bin."""
    from wormbin.farm.bins import absences
    from wormbin.farm.errors import not_closed

    scene = session.scene(bin, on)
    not_closed(scene.bin, scene.on)
    return absences.absence(scene, first, last)


def away(session: Session, named: Sequence[str], first: str, last: str, on: date | None = None) -> list[Absence]:
    """The absence plans of the bins that are named, or of all that live on the day."""
    keys = [session.bin(each).key for each in named] or [one.key for one in session.bins() if one.ended is None]
    if not keys:
        session.bin("")  # says that there is none yet
    return [absence(session, key, first, last, on) for key in dict.fromkeys(keys)]


def next_absence(session: Session, bin: str, on: date | None = None) -> tuple[str, str]:
    """The next holiday of the settings as it is typed, first and last day; two empty words without one."""
    found = session.scene(bin, on).next_absence
    return (found[0].isoformat(), found[1].isoformat()) if found is not None else ("", "")


def _depth(days: int) -> int:
    if not 1 <= days <= DEEPEST_DAYS:
        raise RefusedError(Problem("days", str(days), f"1 to {DEEPEST_DAYS}", "120"))
    return days
