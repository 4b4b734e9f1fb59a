"""Writing in the log: what is asked and told before a line is saved, and lines struck, taken back and done again.

The lines themselves are saved by ``recording.lines``; what is heavy to load is imported within the functions.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from wormbin.farm import logbook
from wormbin.farm.errors import DoubtedError
from wormbin.farm.heading import NOW, Heading, of_the_day
from wormbin.farm.logbook import ledger_of
from wormbin.farm.views.bin import Recorded
from wormbin.measures import counted, tidy
from wormbin.problems import Problem, RefusedError
from wormbin.records.entries import LOG_KINDS, Entry, Kind, Survey

if TYPE_CHECKING:
    from wormbin.farm.bins.causes import Cause
    from wormbin.farm.recording.gaps import GapView
    from wormbin.farm.session import Session
    from wormbin.farm.views.proposals import SurveyView, WhatIfView
    from wormbin.records.lots import Line

FEW = 5
"""A feeding with its bedding and its water, or a bin that was started, is taken back without a question."""
_WHAT = {"imported": "the import", "started": "the start of a bin"}


def preview_survey(
    session: Session, bin: str, samples: Sequence[str], sample_area: str, heading: Heading = NOW
) -> SurveyView:
    """The interval so far, and how many samples more would halve it."""
    from wormbin.farm.recording.held_against import survey_view

    ledger = ledger_of(session)
    said = {"samples": "; ".join(samples), "area": sample_area}
    return survey_view(ledger.spoken.read(LOG_KINDS[Survey], said), ledger.bin(bin), session.units)


def preview_harvest(session: Session, bin: str, said: Mapping[str, str], heading: Heading = NOW) -> WhatIfView:
    """What a harvest would do to the bin and to its lot, and what would be asked about it; nothing is saved."""
    from dataclasses import replace

    from wormbin.farm.bins import as_laid, futures
    from wormbin.farm.lots import Lots
    from wormbin.farm.recording.asked_first import doubt

    ledger, asked = ledger_of(session), tuple[str, ...]()
    one, head, entries = ledger.read(bin, Kind.HARVEST, said, of_the_day(heading, session.asked_on))
    into, wrong = Lots(session).would_join(entries), ledger.line_id(head.replaces)
    scene = session.scene(one.key, entries[0].when.date())
    if wrong:
        scene = session.cache.without(scene, wrong)
    try:
        doubt(session, one, entries, wrong)
    except DoubtedError as doubted:
        asked = tuple(each.words for each in doubted.questions)
    view = as_laid(session, futures.written(scene, entries, ledger.words(entries[0])), session.asked_on)
    return replace(view, words=(*asked, *into, *view.words))


def troubles(session: Session, bin: str, signs: Mapping[str, str]) -> tuple[Cause, ...]:
    """The likely causes of the signs, by the fields of a check, ranked by what the log shows; nothing is saved."""
    from wormbin.farm.bins.causes import causes

    heading = of_the_day(NOW, session.asked_on)
    _, _, (entry,) = ledger_of(session).read(bin, Kind.CHECK, signs, heading)
    return causes(session.scene(bin), entry)


def forgotten(session: Session, bin: str) -> tuple[GapView, ...]:
    """Days without a line that are no absence, newest gap first."""
    from wormbin.farm.recording.gaps import forgotten

    scene = session.scene(bin)
    return forgotten(scene.bin.key, scene.entries, scene.settings, scene.on, scene.table)


def strike(session: Session, entry: str, why: str, by: str = "", *, ask: bool = False) -> Recorded:
    """Strike a line through; it stays, with the reason.

    A line that put another right lets that one stand again: with ``ask`` that is asked first (DoubtedError).
    """
    reason = tidy(why)
    if not reason:
        raise RefusedError(Problem("why", why, "the reason, in a few words", "wrong bin"))
    line = session.store.find_line(entry)
    right = _put_right_by(session, line)
    if right:
        raise RefusedError(
            Problem("entry", line.id, right, whole=f"That line was put right by {right}: strike {right}.")
        )
    again = _stands_again(session, line)
    if again and ask:
        from wormbin.farm.errors import Question

        raise DoubtedError((Question("entry", line.id, f"{again[:1].upper()}{again[1:]}. Strike {line.id}?"),))
    words = _said(session, line)
    session.store.strike(line.id, reason, tidy(by), session.clock())
    return Recorded((line.id,), f"struck through: {words} ({reason})" + (f"; {again}" if again else ""))


def _stands_again(session: Session, line: Line) -> str:
    """Which line stands again once this one is struck, and how to strike both; "" when none does."""
    if not line.replaces or line.struck is not None:
        return ""
    wrong = session.store.find_line(line.replaces)
    if wrong.struck is not None:
        return ""
    said = _said(session, wrong) or "a note"
    return f"without it line {wrong.id} stands again: {said}. If both are wrong, strike {wrong.id} as well"


def _put_right_by(session: Session, line: Line) -> str:
    """The id of the line that stands in the place of this one; "" when it stands itself or nothing does."""

    lines: Sequence[Line] = session.store.entries(line.bin) if isinstance(line, Entry) else session.store.lot_lines()
    return next((each.id for each in lines if each.replaces == line.id and each.struck is None), "")


def _said(session: Session, line: Line) -> str:
    """A line of either book in words."""
    from wormbin.farm.lots import Lots

    return logbook.line(session, line.id).words if isinstance(line, Entry) else Lots(session).line_words(line)


def undo(session: Session, by: str = "", *, ask: bool = False, agreed: str = "", here: str = "") -> Recorded:
    """Take the last change back: what it wrote is struck, what it struck stands again.

    With ``ask`` a change of many lines, of another bin than ``here`` or of an earlier day is asked about first
    (DoubtedError), until those words are ``agreed`` to.
    """
    if ask:
        _ask_undo(session, agreed, here)
    change = session.store.undo(tidy(by), session.clock())
    if change.struck and not change.wrote:
        return Recorded(change.ids, f"the strike is taken back, the line stands again: {_each(session, change.struck)}")
    if change.struck:
        stands = f"; as before stands: {_each(session, change.struck)}"
        return Recorded(change.ids, f"taken back ({change.did}): {_each(session, change.wrote)}{stands}")
    names = ", ".join(one.name for one in change.was)
    stands = f"; as before stands what is set of {names}" if names else ""
    return Recorded(change.ids, f"taken back ({change.did}): {_each(session, change.ids)}{stands}")


def _ask_undo(farm: Session, agreed: str, here: str) -> None:
    """Raise DoubtedError when undo would take back what nobody looks at, unless these very words were agreed to."""
    from wormbin.farm.errors import Question
    from wormbin.records.lots import MARK

    change = farm.store.last_change()
    if change is None:
        return
    lines = {each for each in change.ids if not each.endswith(MARK)}
    day, what = change.at.date(), _WHAT.get(change.did, "the last change")
    if len(lines) <= FEW:
        touched = {each.bin: farm.bin(each.bin).name for each in map(farm.store.find_line, lines)
                   if isinstance(each, Entry)} or {each.key: each.name for each in change.was}  # fmt: skip
        if [*touched] == [here] and day == farm.clock().date():
            return
        said = f"{', '.join(touched.values())}: {_each(farm, change.ids)}".strip(": ")
        words = f"This takes back {what} of {day.isoformat()}: {said}."
    else:
        held = sum(any(entry.id in lines for entry in log) for _, log in farm.logs)
        where = f" in {counted(held, 'bin')}" if held else ""
        words = f"This takes back {what} of {day.isoformat()} as a whole: {counted(len(lines), 'line')}{where}."
    if words != agreed:
        raise DoubtedError((Question("undo", str(len(lines)), words),))


def redo(session: Session, by: str = "") -> Recorded:
    """Do again what ``undo`` took back last, as long as nothing else was changed since."""
    change = session.store.redo(tidy(by), session.clock())
    if change.struck and not change.wrote:
        return Recorded(change.ids, f"struck through again: {_each(session, change.struck)}")
    return Recorded(change.ids, f"done again ({change.did}): {_each(session, change.wrote or change.ids)}")


def _each(session: Session, ids: Sequence[str]) -> str:
    """The lines of a change in words, the first three of them."""
    from wormbin.records.lots import MARK

    lines = [each for each in ids if not each.endswith(MARK)] or list(ids)
    said = "; ".join(_said(session, session.store.find_line(entry)) or "a note" for entry in lines[:3])
    return said + (f" and {len(lines) - 3} more" if len(lines) > 3 else "")
