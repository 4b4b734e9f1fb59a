"""What can be done to a bin from any screen that shows one: the same keys open the same forms everywhere."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual.binding import Binding, BindingType

from wormbin.farm import bins, recording, rounds
from wormbin.farm.errors import DoubtedError
from wormbin.problems import RefusedError
from wormbin.tui.desk import SAVE
from wormbin.tui.messages import EntryRecorded
from wormbin.tui.place import Hand, Place
from wormbin.tui.showing import Piece, said

if TYPE_CHECKING:
    from wormbin.farm.views.bin import Recorded
    from wormbin.farm.views.proposals import WhatIfView
    from wormbin.tui.papers import Paper


class BinActions(Place[None]):
    """A screen with a bin in hand. ``in_hand`` names it, ``last_words`` what its last check said."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("c", "check", "check"),
        Binding("f", "feed", "feed"),
        Binding("e", "write", "write more"),
        Binding("exclamation_mark", "emergency", "emergency", key_display="!"),
        Binding("w", "what_if", "what if", show=False),
        Binding("y", "away", "going away", show=False),
        Binding("t", "troubles", "troubles", show=False),
        Binding("k", "catch_up", "catch up after a gap", show=False),
        Binding("h", "harvests", "harvests", show=False),
        Binding("H", "castings", "castings: lots, stock, sales", show=False),
        Binding("x", "mix", "mix bench", show=False),
        Binding("g", "materials", "materials", show=False),
        Binding("p", "sheet", "weekly sheet, to print", show=False),
        Binding("comma", "settings", "keepers and settings", show=False),
        Binding("b", "start", "start a bin", show=False),
        Binding("I", "bring_in", "import log files", show=False),
        Binding("u", "undo", "undo the last change", show=False),
        Binding("U", "redo", "redo: do again what undo took back last", show=False),
    ]

    def in_hand(self) -> Hand | None:
        """The bin that the keys are about; None when there is none."""
        raise NotImplementedError

    def last_words(self) -> dict[str, str]:
        """What the last check of the bin in hand said, by field."""
        return {}

    def shown_what_if(self, view: WhatIfView | None) -> None:
        """A what-if was left to be drawn over the look-ahead; screens that show one take it."""

    # writing
    def action_check(self) -> None:
        """Open the quick check."""
        if (hand := self.in_hand()) is not None:
            from wormbin.tui.screens.check import CheckForm

            self.app.push_screen(CheckForm(hand, self.last_words()), self.written)

    def action_feed(self) -> None:
        """Open the feeding form."""
        if (hand := self.in_hand()) is not None:
            from wormbin.tui.screens.feed import FeedForm

            self.app.push_screen(FeedForm(hand), self.written)

    def action_write(self) -> None:
        """Ask which kind, then open its paper."""
        if self.in_hand() is not None:
            from wormbin.tui.screens.write import KindMenu

            self.app.push_screen(KindMenu(), self.open_paper)

    def open_paper(self, paper: Paper | None) -> None:
        """Open one kind's paper for the bin in hand; nothing for None."""
        if paper is None or (hand := self.in_hand()) is None:
            return
        if paper.title == "survey":
            from wormbin.tui.screens.survey import SurveyForm

            self.app.push_screen(SurveyForm(hand), self.written)
            return
        from wormbin.tui.screens.write import WriteForm

        self.app.push_screen(WriteForm(hand, paper), self.written)

    def written(self, recorded: Recorded | None) -> None:
        """Something was saved from here: say so to the screen."""
        if recorded is not None:
            hand = self.in_hand()
            self.post_message(EntryRecorded(hand.key if hand else "", recorded))

    async def action_undo(self, agreed: str = "") -> None:
        """Take the last change back; it is struck, not lost. One of many lines is asked about first."""
        by = self.wormbin.by
        try:
            recorded = await self.ask(lambda farm: recording.undo(farm, by, ask=True, agreed=agreed), SAVE)
        except DoubtedError as doubt:
            from wormbin.tui.screens.sure import SureScreen

            words = doubt.questions[0].words
            self.app.push_screen(SureScreen(words, "takes it back (U: again)"), partial(self._sure, words))
            return
        except RefusedError as refused:
            self.notify(str(refused), severity="warning", markup=False)
            return
        self.post_message(EntryRecorded("", recorded))

    def _sure(self, words: str, yes: bool | None) -> None:
        if yes:
            self.in_background(partial(self.action_undo, words))

    async def action_redo(self) -> None:
        """Do again what undo took back last."""
        by = self.wormbin.by
        try:
            recorded = await self.ask(lambda farm: recording.redo(farm, by), SAVE)
        except RefusedError as refused:
            self.notify(str(refused), severity="warning", markup=False)
            return
        self.post_message(EntryRecorded("", recorded))

    def action_troubles(self) -> None:
        """Tick what is seen; causes are ranked by what the log shows."""
        if (hand := self.in_hand()) is not None:
            from wormbin.tui.screens.troubles import TroublesForm

            self.app.push_screen(TroublesForm(hand), self.written)

    def action_catch_up(self) -> None:
        """Fill in forgotten days, as far as they are known."""
        if (hand := self.in_hand()) is not None:
            from wormbin.tui.screens.catch_up import CatchUpForm

            self.app.push_screen(CatchUpForm(hand), self.written)

    def action_start(self) -> None:
        """Start another bin."""
        from wormbin.tui.screens.start import StartForm

        self.app.push_screen(StartForm(), self.written)

    def action_bring_in(self) -> None:
        """Bring log files in."""
        from wormbin.tui.screens.bring_in import BringInForm

        self.app.push_screen(BringInForm(), self.written)

    # looking ahead
    def action_what_if(self) -> None:
        """Two futures side by side."""
        if (hand := self.in_hand()) is not None:
            from wormbin.tui.screens.what_if import WhatIfForm

            self.app.push_screen(WhatIfForm(hand), self.shown_what_if)

    def action_away(self) -> None:
        """Plan an absence."""
        if (hand := self.in_hand()) is not None:
            from wormbin.tui.screens.away import AwayForm

            self.app.push_screen(AwayForm(hand))

    def action_mix(self) -> None:
        """Work out a blend."""
        from wormbin.tui.screens.mix import MixBench

        self.app.push_screen(MixBench())

    def action_materials(self) -> None:
        """The material table."""
        from wormbin.tui.screens.materials import MaterialsScreen

        self.app.push_screen(MaterialsScreen())

    def action_settings(self) -> None:
        """How the farm is run, and who writes."""
        from wormbin.tui.screens.settings import SettingsScreen

        self.app.push_screen(SettingsScreen())

    # pages to read
    def action_emergency(self) -> None:
        """The five steps, before any sum."""
        self.in_background(self._emergency, "page")

    async def _emergency(self) -> None:
        from wormbin.pages.findings import emergency
        from wormbin.pages.page import lines
        from wormbin.tui.screens.reading import ReadingScreen

        hand = self.in_hand()
        steps = await self.ask(lambda farm: bins.emergency(farm, hand.key if hand else ""))
        self.app.push_screen(ReadingScreen("Emergency", lines(emergency(steps))))

    def action_harvests(self) -> None:
        """Every bin's harvest window and steps."""
        self.in_background(self._harvests, "page")

    async def _harvests(self) -> None:
        from wormbin.pages.harvests import harvests
        from wormbin.pages.page import lines
        from wormbin.tui.screens.reading import ReadingScreen

        rows = await self.ask(lambda farm: rounds.harvests(farm))
        self.app.push_screen(ReadingScreen("Harvests, soonest first", lines(harvests(rows))))

    def action_castings(self) -> None:
        """Castings after the harvest, lot by lot."""
        from wormbin.tui.screens.lots import LotsScreen

        self.app.push_screen(LotsScreen())

    def action_sheet(self) -> None:
        """The weekly sheet of the bin in hand."""
        if (hand := self.in_hand()) is not None:
            self.in_background(partial(self._sheet, hand), "page")

    async def _sheet(self, hand: Hand) -> None:
        from wormbin.tui.screens.reading import ReadingScreen

        lines = await self.ask(lambda farm: rounds.sheet(farm, hand.key))
        pieces: list[list[Piece]] = [[said(line)] for line in lines]
        self.app.push_screen(ReadingScreen(f"{hand.name}: weekly sheet", pieces, file=f"{hand.key}-sheet.txt"))
