"""Lines saved in the log, in the keeper's own words: of any kind, a feeding with its bedding, days caught up."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from functools import partial
from typing import TYPE_CHECKING

from wormbin.farm.errors import HeldBackError
from wormbin.farm.heading import NOW, Heading
from wormbin.farm.logbook import ledger_of
from wormbin.farm.views.bin import Recorded
from wormbin.measures import counted
from wormbin.problems import Problem, RefusedError
from wormbin.records.entries import Entry, Feeding, Harvest, Kind, Move, Note, Survey, Weighing
from wormbin.records.lots import both_halves

if TYPE_CHECKING:
    from wormbin.farm.logbook.ledger import Ledger
    from wormbin.farm.recording.gaps import GapView
    from wormbin.farm.session import Session


def record_feeding(
    session: Session,
    bin: str,
    portions: Sequence[str],
    *,
    bedding: Sequence[str] = (),
    water: str = "",
    heading: Heading = NOW,
    anyway: bool = False,
) -> Recorded:
    """Save a feeding with the bedding and water that go with it; HeldBackError when too much and not ``anyway``."""
    from wormbin.farm import feedings

    if not anyway:
        view = feedings.preview(session, bin, portions, bedding=bedding, water=water, heading=heading)
        if view.too_much:
            raise HeldBackError(view)
    ledger = ledger_of(session)
    one = ledger.bin(bin)
    entries = ledger.feeding(one, portions, bedding, water, heading)
    return ledger.save(one, entries, ledger.line_id(heading.replaces))


def write(session: Session, bin: str, kind: Kind, said: Mapping[str, str], heading: Heading = NOW) -> Recorded:
    """Save one line of any kind, its fields in the keeper's words, by their names in the table of kinds.

    What was believed before a weighing, a survey or a harvest, and what is taken now, is told with it.
    """
    ledger, more = _asking(session, heading), ""
    one, head, entries = ledger.read(bin, kind, said, heading)
    what = entries[0].what
    if isinstance(what, Move):
        entries = both_halves(entries[0])
    elif isinstance(what, Survey):  # refused before it is saved when it cannot be of this bin
        from wormbin.farm.recording.held_against import survey_view

        more = f"; {survey_view(what, one, session.units).words}"
    recorded = ledger.save(one, entries, ledger.line_id(head.replaces))
    if isinstance(what, Harvest) and what.lot:
        from wormbin.farm.lots import Lots

        more = f"; {Lots(session).joined_words(what.lot)}"
    recorded = replace(recorded, sentence=recorded.sentence + more)
    return _believed(session, bin, recorded) if isinstance(what, Weighing | Survey | Harvest) else recorded


def _asking(session: Session, heading: Heading) -> Ledger:
    """The log, asking about what can hardly be when the heading says so."""
    if not heading.ask:
        return ledger_of(session)
    from wormbin.farm.recording.asked_first import doubt

    return replace(ledger_of(session), doubt=partial(doubt, session))


def _believed(session: Session, bin: str, recorded: Recorded) -> Recorded:
    """What was saved, with what was believed before and what is taken now where that is to be told."""
    from wormbin.farm.bins.page import taken_words

    scene = session.scene(bin)
    said = next(filter(None, (taken_words(scene, entry) for entry in recorded.ids)), "")
    return replace(recorded, sentence=f"{recorded.sentence}; {said}") if said else recorded


def record_caught_up(session: Session, bin: str, days: Sequence[date], bucket: str, by: str = "") -> Recorded:
    """Save the same bucket as a feeding on each of ``days``: all of them or none."""
    from wormbin.farm.heading import read_heading

    if not days:
        raise RefusedError(Problem("days", "", "at least one day"))
    ledger = ledger_of(session)
    one = ledger.bin(bin)
    usual = replace(ledger.spoken, kept_out=False)
    feeding = Feeding(usual.portions([bucket], "given each day"))
    entries: list[Entry] = []
    for day in days:
        heading = Heading(when=day.isoformat(), by=by, note="caught up later")
        entries += ledger.entries(one, read_heading(heading, one, session.clock()), [feeding])
    recorded = ledger.save(one, entries, "")
    count = counted(len(entries), "feeding")
    return replace(recorded, sentence=f"{one.name}: {count} caught up")


def record_not_known(session: Session, bin: str, gap: GapView, by: str = "") -> Recorded:
    """Save a note that nothing is known of these days; not asked about again, the width is kept."""
    from wormbin.farm.heading import read_heading
    from wormbin.farm.recording.gaps import not_known_words

    ledger = ledger_of(session)
    one = ledger.bin(bin)
    heading = Heading(when=gap.last.isoformat(), by=by, note=not_known_words(gap))
    note = Note(unknown_from=gap.first, unknown_until=gap.last)
    return ledger.save(one, ledger.entries(one, read_heading(heading, one, session.clock()), [note]), "")
