"""The first start: nothing is written yet; start a bin, look at the demo, or bring log files in."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from threading import Event
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import Input, Static

from wormbin.drawing.cutaway import Cut, cutaway
from wormbin.drawing.marks import plain
from wormbin.drawing.picture import Picture
from wormbin.farm.errors import StoppedError
from wormbin.farm.views import Recorded
from wormbin.problems import RefusedError
from wormbin.tui.desk import SAVE
from wormbin.tui.place import Place
from wormbin.tui.showing import line_of, lines_of, said
from wormbin.tui.widgets.key_line import KeyLine
from wormbin.tui.widgets.picture_view import PictureView
from wormbin.tui.widgets.word_field import WordField

if TYPE_CHECKING:
    from wormbin.farm.doorway import Farmstead

TELL_SECONDS = 0.2
"""How often an import says how far it is."""
A_BIN = Cut(0.03, 0.08, 0.09, 0.0, 0.30, worms_kg_m2=4.0)
"""The bin in the picture: nobody's, a few months old, and well."""
WIDE = 64


class WelcomeScreen(Place[None]):
    """Three ways to begin; nothing is created before one of them is taken."""

    HELP = "There is no bin in this store yet. Start one, or bring in log files, or leave and run: wormbin demo"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("b", "start", "start a bin"),
        Binding("i", "bring_in", "import log files"),
        Binding("d", "demo", "look at the demo"),
        Binding("escape", "stay", "not now", show=False),
        Binding("q", "app.quit", "quit"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self._reading = False
        self._lines = 0
        self._stop = Event()

    def compose(self) -> ComposeResult:
        """A greeting and the three ways."""
        with Vertical(id="welcome"):
            yield Static(
                lines_of(
                    [
                        [("wormbin", "title"), ("   keeps a worm bin's log and says what to do, and how much", "")],
                        [],
                        [("  b  ", "key"), ("start a bin: its first bedding, water, worms and feedings", "strong")],
                        [("  d  ", "key"), ("look at the demo: one bin, five months of log, thrown away after", "")],
                        [("  i  ", "key"), ("bring in log files: bins.csv and log.csv in a folder", "")],
                        [("  ?  ", "key"), ("help, here and everywhere", "")],
                    ]
                )
            )
            field = WordField("folder with log files", "~/worms/log", id="folder")
            field.display = False
            yield field
            yield Static(id="trouble", classes="trouble")
            yield PictureView(self._draw, id="picture")
        yield KeyLine()

    def _draw(self, width: int, height: int) -> Picture:
        """A bin cut open, as every bin will be drawn."""
        return cutaway(A_BIN, min(width, WIDE), min(height, WIDE // 4), ascii=self.wormbin.ascii)

    def action_start(self) -> None:
        """The guided start."""
        from wormbin.tui.screens.start import StartForm

        self.app.push_screen(StartForm(), self._begun)

    def _begun(self, recorded: Recorded | None) -> None:
        if recorded is None:
            return
        self.in_background(self._open_bin)

    async def _open_bin(self) -> None:
        from wormbin.tui.screens.opening import next_screen

        screen = await next_screen(self.wormbin)
        self.dismiss(None)
        if screen is not None:
            await self.wormbin.push_screen(screen)

    def action_bring_in(self) -> None:
        """Ask for the folder."""
        field = self.query_one("#folder", WordField)
        field.display = True
        field.input.focus()

    @on(Input.Submitted)
    def folder_said(self, event: Input.Submitted) -> None:
        """Bring the files in beside the keys."""
        if not self._reading:
            self._reading = True
            self.in_background(partial(self._bring, Path(event.value.strip()).expanduser()))

    async def _bring(self, folder: Path) -> None:
        """Say how far it is; what is wrong in the files is listed and nothing is written; Esc stops it before that."""
        trouble = self.query_one("#trouble", Static)
        self._stop.clear()
        self._lines = 0
        trouble.update(line_of([("Reading …   Esc stops it", "")]))
        tick = self.set_interval(TELL_SECONDS, self._tell)
        try:
            recorded = await self.ask(self._import(folder), SAVE)
        except RefusedError as refused:
            tick.stop()
            lines = [[said(plain(problem.sentence()), "watch")] for problem in refused.problems[:8]]
            if len(refused.problems) > 8:
                lines.append([said(f"and {len(refused.problems) - 8} more", "watch")])
            trouble.update(lines_of(lines))
            return
        finally:
            tick.stop()
            self._reading = False
        if recorded is None:
            trouble.update(line_of([("Stopped; nothing was saved.", "watch")]))
            return
        trouble.update(line_of([("Brought in.", "good")]))
        self._begun(recorded)

    def _import(self, folder: Path) -> Callable[[Farmstead], Recorded | None]:
        """The import as a job for the farm's thread, which listens for the stop until the first line is saved."""

        def heard(lines: int) -> None:
            self._lines = lines
            if self._stop.is_set():
                raise StoppedError

        def job(farm: Farmstead) -> Recorded | None:
            try:
                return farm.import_folder(folder, heard=heard)
            except StoppedError:
                return None

        return job

    def _tell(self) -> None:
        words = "Stopping …" if self._stop.is_set() else f"{self._lines:,} lines read and checked …   Esc stops it"
        self.query_one("#trouble", Static).update(line_of([(words, "")]))

    def action_demo(self) -> None:
        """Leave this store as it is, and open the program on a throw-away copy of the demo."""
        self.wormbin.leave_for_demo()

    def action_stay(self) -> None:
        """Stop what is being brought in; else to the empty round."""
        if self._reading:
            self._stop.set()
        else:
            self.dismiss(None)
