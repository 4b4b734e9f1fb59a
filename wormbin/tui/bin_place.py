"""A place with a bin in hand: the same keys open the same forms from every screen that shows one."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual.binding import BindingType
from textual.widgets import Static

from wormbin.farm.errors import DoubtedError
from wormbin.problems import RefusedError
from wormbin.tui.desk import SAVE, EntryRecorded, FarmChanged
from wormbin.tui.keyboard import bound
from wormbin.tui.place import Hand, Place
from wormbin.tui.themes import line_of, said

if TYPE_CHECKING:
    from collections.abc import Callable

    from wormbin.farm.errors import Flaw
    from wormbin.farm.session import Session
    from wormbin.farm.views.bin import BinView, Recorded
    from wormbin.farm.views.proposals import WhatIfView
    from wormbin.farm.views.round import RoundRow
    from wormbin.records.kinds.fields import Description
    from wormbin.records.kinds.log import Kind

OF_A_BIN = ("check", "feed", "survey", "troubles", "catch_up", "what_if", "hand_out", "pupil")
"""The screens that are about the bin in hand."""


class BinPlace(Place[None]):
    """``in_hand`` names the bin, ``last_words`` what its last check said."""

    BINDINGS: ClassVar[list[BindingType]] = [
        bound("go('check')", "check"),
        bound("go('feed')", "feed"),
        bound("write", "write more"),
        bound("page('emergency')", "emergency", key_display="!"),
        bound("go('what_if')", "what if", show=False),
        bound("together('away')", "going away", show=False),
        bound("go('troubles')", "troubles", show=False),
        bound("go('catch_up')", "catch up after a gap", show=False),
        bound("page('harvests')", "harvests", show=False),
        bound("go('hand_out')", "change, close, hand over; report and lesson files", show=False),
        bound("page('compare')", "bins side by side", show=False),
        bound("go('castings')", "castings: lots, stock, sales", show=False),
        bound("go('week')", "the week's work", show=False),
        bound("go('mix')", "mix bench", show=False),
        bound("go('materials')", "materials", show=False),
        bound("page('sheet')", "weekly sheet, to print", show=False),
        bound("page('bed')", "record for an inspector", show=False),
        bound("go('pupil')", "pupils' check, in pictures", show=False),
        bound("together('wall')", "a view for the wall", show=False),
        bound("page('many')", "readings of many, by day", show=False),
        bound("page('guesses')", "what was guessed, and what came", show=False),
        bound("notices", "what was noticed about the files", show=False),
        bound("go('turns')", "whose turn it is: the rota", show=False),
        bound("go('settings')", "keepers and settings", show=False),
        bound("go('start')", "start a bin", show=False),
        bound("go('bring_in')", "import log files", show=False),
        bound("undo", "undo the last change", show=False),
        bound("redo", "redo: do again what undo took back last", show=False),
    ]

    _noticed: tuple[Flaw, ...] = ()

    def in_hand(self) -> Hand | None:
        """The bin that the keys are about; None when there is none."""
        raise NotImplementedError

    def about(self) -> tuple[str, str]:
        """The bin in hand, and its name."""
        hand = self.in_hand()
        return (hand.key, hand.name) if hand is not None else ("", "")

    def last_words(self) -> dict[str, str]:
        """What the last check of the bin in hand said, by field."""
        return {}

    def shown_what_if(self, view: WhatIfView | None) -> None:
        """A what-if was left to be drawn over the look-ahead; screens that show one take it."""

    def open_findings(self, of: BinView | RoundRow, name: str) -> None:
        """All findings of a bin in full, and its harvest."""
        from wormbin.pages.findings import every_finding
        from wormbin.pages.page import lines
        from wormbin.pages.round import harvest

        self.open("page", f"{name}: every finding", lines([*every_finding(of.findings), *harvest(of.harvest)]))

    def reload(self) -> None:
        """Ask the farm anew."""
        raise NotImplementedError

    def on_farm_changed(self, _: FarmChanged) -> None:
        """Somebody else wrote."""
        self.reload()

    def on_entry_recorded(self, event: EntryRecorded) -> None:
        """Say what was saved, and look again."""
        self.notify(event.recorded.sentence, markup=False)
        for words in event.recorded.warnings:
            self.warn(words)
        self.reload()

    def written(self, recorded: Recorded | None) -> None:
        """Something was saved from here: say so to the screen."""
        if recorded is not None:
            self.post_message(EntryRecorded(recorded))

    # what the store noticed
    async def look_for_notices(self) -> None:
        """Ask what was noticed about the files, and say so."""
        self._noticed = await self.ask(lambda farm: farm.logs.notices())
        self.show_noticed()

    def show_noticed(self) -> None:
        """That there is something to read stands below the head until it was seen."""
        from wormbin.pages.round import notice_line

        news = [flaw for flaw in self._noticed if flaw not in self.wormbin.notices_seen]
        line = self.query_one("#noticed", Static)
        line.display = bool(news)
        line.update(line_of([said(notice_line(news), "watch")]) if news else "")

    def action_notices(self) -> None:
        """What was noticed about the files, and what to do; asked anew, since a page may still be worked out."""
        self.in_background(self._open_notices, "page")

    async def _open_notices(self) -> None:
        from wormbin.pages.page import lines
        from wormbin.pages.round import notices

        await self.ask(lambda farm: farm.store)  # a start that need not work anything out leaves it closed
        await self.look_for_notices()
        if not self._noticed:
            self.notify("Nothing was noticed about the files so far.", markup=False)
            return
        self.wormbin.notices_seen.update(self._noticed)
        self.show_noticed()
        self.open("page", "Noticed about the files", lines([*notices(self._noticed)]))

    # forms and benches
    def action_go(self, name: str) -> None:
        """Open the form of that name, for the bin in hand where it is about one."""
        hand = self.in_hand()
        if name not in OF_A_BIN:
            self.open(name, then=self.written)
        elif hand is not None:
            last = (self.last_words(),) if name == "check" else ()
            self.open(name, hand, *last, then=self.shown_what_if if name == "what_if" else self.written)

    def hands(self) -> tuple[Hand, ...]:
        """The bins that a page for all of them is about."""
        hand = self.in_hand()
        return (hand,) if hand is not None else ()

    def action_together(self, name: str) -> None:
        """Open what is for all bins at once, where there are only a few."""
        if hands := self.hands():
            self.open(name, *hands)

    def action_write(self) -> None:
        """Ask which kind, then open its form."""
        if self.in_hand() is not None:
            self.open("kinds", then=self.open_kind)

    def open_kind(self, kind: Description[Kind] | None) -> None:
        """Open one kind's form for the bin in hand; nothing for None."""
        if kind is None or (hand := self.in_hand()) is None:
            return
        if kind.kind.value == "survey":
            self.action_go("survey")
        else:
            self.open("write", hand, kind, then=self.written)

    async def action_undo(self, agreed: str = "") -> None:
        """Take the last change back; it is struck, not lost. What the bin in hand does not show is asked about."""
        from wormbin.farm import recording  # no start waits for it

        by, here = self.wormbin.by, self.about()[0]
        try:
            await self._change(lambda farm: recording.undo(farm, by, ask=True, agreed=agreed, here=here))
        except DoubtedError as doubt:
            words = doubt.questions[0].words
            self.open("sure", words, "takes it back (U: again)", then=partial(self._sure, words))

    def _sure(self, words: str, yes: bool | None) -> None:
        if yes:
            self.in_background(partial(self.action_undo, words))

    async def action_redo(self) -> None:
        """Do again what undo took back last."""
        from wormbin.farm import recording  # no start waits for it

        by = self.wormbin.by
        await self._change(lambda farm: recording.redo(farm, by))

    async def _change(self, change: Callable[[Session], Recorded]) -> None:
        try:
            self.written(await self.ask(change, SAVE))
        except RefusedError as refused:
            self.warn(str(refused))
