"""Lines saved in the log, each kind by its own function, in the keeper's own words."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date
from functools import partial
from typing import TYPE_CHECKING

from wormbin.farm import feedings, recording
from wormbin.farm import lots as castings_book
from wormbin.farm.errors import HeldBackError
from wormbin.farm.heading import NOW, Heading
from wormbin.farm.logbook import ledger_of
from wormbin.farm.views.bin import Recorded
from wormbin.farm.words import whats
from wormbin.measures import counted
from wormbin.problems import Problem, RefusedError
from wormbin.records.entries import Entry, Feeding, Note

if TYPE_CHECKING:
    from wormbin.farm.logbook.ledger import Ledger
    from wormbin.farm.recording.gaps import GapView
    from wormbin.farm.session import Session
    from wormbin.farm.views.proposals import CheckDraft
    from wormbin.farm.words.spoken import Spoken
    from wormbin.records.entries import What


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
    if not anyway:
        view = feedings.preview(session, bin, portions, bedding=bedding, water=water, heading=heading)
        if view.too_much:
            raise HeldBackError(view)
    ledger = ledger_of(session)
    one = ledger.bin(bin)
    entries = ledger.feeding(one, portions, bedding, water, heading)
    return ledger.save(one, entries, ledger.line_id(heading.replaces))


def _write(session: Session, bin: str, heading: Heading, read: Callable[[Spoken], What]) -> Recorded:
    return _asking(session, heading).write(bin, heading, read)


def _asking(session: Session, heading: Heading) -> Ledger:
    """The log, asking about what can hardly be when the heading says so."""
    if not heading.ask:
        return ledger_of(session)
    from wormbin.farm.recording.doubts import doubt

    return replace(ledger_of(session), doubt=partial(doubt, session))


def _believed(session: Session, bin: str, recorded: Recorded) -> Recorded:
    """What was saved, with what was believed before and what is taken now where that is to be told."""
    from wormbin.farm.bins.page import taken_words

    scene = session.scene(bin)
    said = next(filter(None, (taken_words(scene, entry) for entry in recorded.ids)), "")
    return replace(recorded, sentence=f"{recorded.sentence}; {said}") if said else recorded


def record_check(session: Session, bin: str, draft: CheckDraft, heading: Heading = NOW) -> Recorded:
    """Save a check."""
    return ledger_of(session).check(bin, draft, heading)


def record_bedding(session: Session, bin: str, portions: Sequence[str], heading: Heading = NOW) -> Recorded:
    """Save bedding put in."""
    return _write(session, bin, heading, whats.bedding(portions))


def record_water(session: Session, bin: str, amount: str, heading: Heading = NOW) -> Recorded:
    """Save water put in."""
    return _write(session, bin, heading, whats.water(amount))


def record_drain(session: Session, bin: str, amount: str, heading: Heading = NOW) -> Recorded:
    """Save water let out at the base."""
    return _write(session, bin, heading, whats.drain(amount))


def record_weighing(
    session: Session,
    bin: str,
    amount: str,
    *,
    with_box: bool = False,
    heading: Heading = NOW,
) -> Recorded:
    """Save a weighing; ``with_box`` when the box was on the scale."""
    return _believed(session, bin, _write(session, bin, heading, whats.weighing(amount, with_box)))


def record_survey(
    session: Session,
    bin: str,
    samples: Sequence[str],
    sample_area: str,
    heading: Heading = NOW,
) -> Recorded:
    """Save a survey: worms in each equal-area sample ("12 g", "25 worms"); the area as "225 cm2"."""
    view = recording.preview_survey(session, bin, samples, sample_area, heading)
    recorded = _write(session, bin, heading, lambda spoken: spoken.survey(samples, sample_area))
    return _believed(session, bin, replace(recorded, sentence=f"{recorded.sentence}; {view.words}"))


def record_stocking(session: Session, bin: str, worms: str, *, out: bool = False, heading: Heading = NOW) -> Recorded:
    """Save worms put in, or taken ``out`` (sold, given away)."""
    return _write(session, bin, heading, whats.stocking(worms, out))


def record_move(session: Session, bin: str, to: str, worms: str, heading: Heading = NOW) -> Recorded:
    """Save worms moved to another bin: both books or neither."""
    return _asking(session, heading).move(bin, to, worms, heading)


def record_harvest(
    session: Session,
    bin: str,
    castings: str,
    *,
    moisture: str = "",
    worms_out: str = "",
    left_behind: str = "",
    lot: str | None = None,
    heading: Heading = NOW,
) -> Recorded:
    """Save castings taken off; with ``lot`` also that they went into it, in both books or in neither.

    None leaves the lot of the line that is put right as it is; empty takes the castings out of it.
    """
    ledger, lots = _asking(session, heading), castings_book.castings(session)
    return _believed(session, bin, ledger.harvest(bin, castings, moisture, worms_out, left_behind, lot, lots, heading))


def record_fluff(session: Session, bin: str, heading: Heading = NOW) -> Recorded:
    """Save that the contents were loosened."""
    return _write(session, bin, heading, whats.fluff)


def record_note(session: Session, bin: str, words: str, heading: Heading = NOW) -> Recorded:
    """Save words."""
    return _write(session, bin, replace(heading, note=words), whats.note)


def record_caught_up(session: Session, bin: str, days: Sequence[date], bucket: str, by: str = "") -> Recorded:
    """Save the same bucket as a feeding on each of ``days``: all of them or none."""
    from wormbin.farm.words.headings import read_heading

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
    from wormbin.farm.recording.gaps import not_known_words
    from wormbin.farm.words.headings import read_heading

    ledger = ledger_of(session)
    one = ledger.bin(bin)
    heading = Heading(when=gap.last.isoformat(), by=by, note=not_known_words(gap))
    note = Note(unknown_from=gap.first, unknown_until=gap.last)
    return ledger.save(one, ledger.entries(one, read_heading(heading, one, session.clock()), [note]), "")
