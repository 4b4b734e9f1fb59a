"""The first start: nothing is written yet; start a bin, look at the demo, or bring log files in."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical

from wormbin.drawing.cutaway import Cut, cutaway
from wormbin.drawing.picture import Picture
from wormbin.drawing.strata import Section
from wormbin.farm.views.bin import Recorded
from wormbin.tui.place import Place
from wormbin.tui.widgets.key_line import KeyLine
from wormbin.tui.widgets.page_lines import PageLines
from wormbin.tui.widgets.pictures import PictureView

A_BIN = Cut((Section(1, 0.03, 0.08, 0.09, 0.0, 4.0),), 0.30)
"""The bin in the picture: nobody's, a few months old, and well."""
WIDE = 64


class WelcomeScreen(Place[None]):
    """Three ways to begin; nothing is created before one of them is taken."""

    HELP = "There is no bin in this store yet. Start one, or bring in log files, or leave and run: wormbin demo"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("b", "go('start')", "start a bin"),
        Binding("i", "go('bring_in')", "import log files"),
        Binding("d", "demo", "look at the demo"),
        Binding("escape", "stay", "not now", show=False),
        Binding("q", "app.quit", "quit"),
    ]

    def compose(self) -> ComposeResult:
        """A greeting and the three ways."""
        with Vertical(id="welcome"):
            yield PageLines(
                [
                    [("wormbin", "title"), ("   keeps a worm bin's log and says what to do, and how much", "")],
                    [],
                    [("  b  ", "key"), ("start a bin: its first bedding, water, worms and feedings", "strong")],
                    [("  d  ", "key"), ("look at the demo: one bin, five months of log, thrown away after", "")],
                    [("  i  ", "key"), ("bring in log files: bins.csv and log.csv in a folder", "")],
                    [("  ?  ", "key"), ("help, here and everywhere", "")],
                ]
            )
            yield PictureView(self._draw, id="picture")
        yield KeyLine()

    def _draw(self, width: int, height: int) -> Picture:
        """A bin cut open, as every bin will be drawn."""
        return cutaway(A_BIN, min(width, WIDE), min(height, WIDE // 4), ascii=self.wormbin.ascii)

    def action_go(self, name: str) -> None:
        """The guided start, or log files brought in."""
        self.open(name, then=self._begun)

    def _begun(self, recorded: Recorded | None) -> None:
        if recorded is not None:
            self.in_background(self._open_bin)

    async def _open_bin(self) -> None:
        """There are bins now."""
        screen = await self.wormbin.first_screen()
        self.dismiss(None)
        if screen is not None:
            await self.wormbin.push_screen(screen)

    def action_demo(self) -> None:
        """Leave this store as it is, and open the program on a throw-away copy of the demo."""
        self.wormbin.leave_for_demo()

    def action_stay(self) -> None:
        """To the empty round."""
        self.dismiss(None)
