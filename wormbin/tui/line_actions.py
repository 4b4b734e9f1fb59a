"""The form that puts a line of the log right, or strikes it through."""

from __future__ import annotations

from wormbin.farm import logbook
from wormbin.farm.views.bin import LogLine
from wormbin.records.entries import Kind
from wormbin.tui.filled_form import FilledForm
from wormbin.tui.place import Hand, Place


async def line_form(place: Place[None], hand: Hand, line: LogLine, what: str) -> FilledForm:
    """The form for ``what`` is to be done with a line; a line is put right in a form filled with its own words."""
    if what == "strike":
        from wormbin.tui.screens.strike import StrikeForm

        return StrikeForm(line)
    typed = await place.ask(lambda farm: logbook.typed_line(farm, line.entry))
    if line.kind is Kind.CHECK:
        from wormbin.tui.screens.check import CheckForm

        return CheckForm(hand, fields=typed.fields, replaces=line.entry)
    if line.kind is Kind.FEEDING:
        from wormbin.tui.screens.feed import FeedForm

        return FeedForm(hand, fields=typed.fields, replaces=line.entry)
    from wormbin.tui.papers import paper_of
    from wormbin.tui.screens.write import WriteForm

    return WriteForm(hand, paper_of(line.kind), fields=typed.fields, replaces=line.entry)
