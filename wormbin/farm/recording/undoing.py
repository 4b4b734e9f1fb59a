"""What is asked before a change of many lines is taken back: how many they are, of what, and in which bins."""

from __future__ import annotations

from wormbin.farm.errors import DoubtedError
from wormbin.farm.session import Session
from wormbin.farm.views.proposals import Question
from wormbin.measures import counted
from wormbin.records.moves import MARK

FEW = 5
"""A feeding with its bedding and its water, or a bin that was started, is taken back without a question."""
_WHAT = {"imported": "the import", "started": "the start of a bin"}


def ask_undo(farm: Session, agreed: str) -> None:
    """Raise DoubtedError when undo would take many lines back, unless these very words were ``agreed`` to."""
    change = farm.store.last_change()
    if change is None:
        return
    lines = {each for each in change.ids if not each.endswith(MARK)}
    if len(lines) <= FEW:
        return
    held = sum(any(entry.id in lines for entry in log) for _, log in farm.logs())
    where = f" in {counted(held, 'bin')}" if held else ""
    what = _WHAT.get(change.did, "the last change")
    day = change.at.date().isoformat()
    words = f"This takes back {what} of {day} as a whole: {counted(len(lines), 'line')}{where}."
    if words != agreed:
        raise DoubtedError((Question("undo", str(len(lines)), words),))
