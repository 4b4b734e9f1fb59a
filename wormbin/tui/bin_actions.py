"""What can be done to a bin from any screen that shows one: the same keys open the same forms everywhere."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import Binding, BindingType

from wormbin.farm.views import HarvestRow, Recorded
from wormbin.problems import RefusedError
from wormbin.tui.bin_lines import harvest_lines
from wormbin.tui.desk import SAVE
from wormbin.tui.messages import EntryRecorded
from wormbin.tui.papers import Paper
from wormbin.tui.place import Place
from wormbin.tui.showing import Piece, said


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
        Binding("h", "harvests", "harvests", show=False),
        Binding("x", "mix", "mix bench", show=False),
        Binding("g", "materials", "materials", show=False),
        Binding("comma", "settings", "settings", show=False),
        Binding("b", "start", "start a bin", show=False),
        Binding("u", "undo", "undo the last change", show=False),
    ]

    def in_hand(self) -> tuple[str, str] | None:
        """Key and name of the bin that the keys are about; None when there is none."""
        raise NotImplementedError

    def last_words(self) -> dict[str, str]:
        """What the last check of the bin in hand said, by field."""
        return {}

    def action_check(self) -> None:
        """Open the quick check."""
        if (bin := self.in_hand()) is not None:
            from wormbin.tui.screens.check import CheckForm

            self.app.push_screen(CheckForm(*bin, self.last_words()), self._written)

    def action_feed(self) -> None:
        """Open the feeding form."""
        if (bin := self.in_hand()) is not None:
            from wormbin.tui.screens.feed import FeedForm

            self.app.push_screen(FeedForm(*bin), self._written)

    def action_write(self) -> None:
        """Ask which kind, then open its paper."""
        from wormbin.tui.screens.write import KindMenu

        self.app.push_screen(KindMenu(), self._kind_picked)

    def _kind_picked(self, paper: Paper | None) -> None:
        if paper is not None and (bin := self.in_hand()) is not None:
            from wormbin.tui.screens.write import WriteForm

            self.app.push_screen(WriteForm(*bin, paper), self._written)

    def _written(self, recorded: Recorded | None) -> None:
        if recorded is not None:
            bin = self.in_hand()
            self.post_message(EntryRecorded(bin[0] if bin else "", recorded))

    def action_emergency(self) -> None:
        """The five steps, before any sum."""
        self.run_worker(self._emergency(), exclusive=True, group="page", exit_on_error=False)

    async def _emergency(self) -> None:
        from wormbin.tui.screens.reading import ReadingScreen

        bin = self.in_hand()
        steps = await self.ask(lambda farm: farm.emergency(bin[0] if bin else ""))
        lines: list[list[Piece]] = [
            [("They are dying, leaving, or it stinks. Do these now, in this order:", "act")],
            [],
        ]
        for number, step in enumerate(steps, 1):
            lines += [[(f"{number}  ", "act"), said(step)], []]
        lines.append([("Then write down what you saw: c opens the check.", "dim")])
        self.app.push_screen(ReadingScreen("Emergency", lines))

    def action_harvests(self) -> None:
        """Every bin's harvest window and steps."""
        self.run_worker(self._harvests(), exclusive=True, group="page", exit_on_error=False)

    async def _harvests(self) -> None:
        from wormbin.tui.screens.reading import ReadingScreen

        rows: tuple[HarvestRow, ...] = await self.ask(lambda farm: farm.harvests())
        lines: list[list[Piece]] = []
        for row in rows:
            lines += [[said(row.name, "strong")], *harvest_lines(row.harvest), []]
        self.app.push_screen(ReadingScreen("Harvests, soonest first", lines or [[("No bin yet.", "dim")]]))

    def action_undo(self) -> None:
        """Take the last change back; it is struck, not lost."""
        self.run_worker(self._undo(), exit_on_error=False)

    async def _undo(self) -> None:
        try:
            recorded = await self.ask(lambda farm: farm.undo(), SAVE)
        except RefusedError as refused:
            self.notify(str(refused), severity="warning", markup=False)
            return
        self.post_message(EntryRecorded("", recorded))

    def action_start(self) -> None:
        """Start another bin."""
        from wormbin.tui.screens.start import StartForm

        self.app.push_screen(StartForm(), self._written)
