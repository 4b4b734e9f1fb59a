"""Log files brought in: it asks for the folder, says how far it is, and can be stopped before anything is saved."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from threading import Event
from typing import TYPE_CHECKING, Any, cast

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.message import Message
from textual.widgets import Input, Static

from wormbin.drawing.marks import plain
from wormbin.farm import log_files
from wormbin.farm.errors import StoppedError
from wormbin.problems import RefusedError
from wormbin.tui.desk import SAVE
from wormbin.tui.showing import line_of, lines_of, said
from wormbin.tui.widgets.word_field import WordField

if TYPE_CHECKING:
    from wormbin.farm.session import Session
    from wormbin.farm.views.bin import Recorded
    from wormbin.tui.place import Place

TELL_SECONDS = 0.2
"""How often an import says how far it is."""
MOST_PROBLEMS = 8


class BringIn(Vertical):
    """Says ``Brought`` when the files are in."""

    DEFAULT_CSS = "BringIn { height: auto; }"

    class Brought(Message):
        """Log files were brought in."""

        def __init__(self, recorded: Recorded) -> None:
            super().__init__()
            self.recorded = recorded

    def __init__(self, *, asks: bool = True) -> None:
        """Where it does not ask at once, the field comes by ``ask_folder``."""
        super().__init__()
        self._asks = asks
        self.reading = False
        self._lines = 0
        self._stop = Event()

    def compose(self) -> ComposeResult:
        """The folder, and how it goes."""
        field = WordField("folder with log files", "~/worms/log", id="folder")
        field.display = self._asks
        yield field
        yield Static(id="trouble", classes="trouble")

    def ask_folder(self) -> None:
        """Listen to the folder."""
        field = self.query_one("#folder", WordField)
        field.display = True
        field.input.focus()

    def stop(self) -> None:
        """Stop before anything is saved, where that still can be."""
        self._stop.set()

    @property
    def _place(self) -> Place[Any]:
        return cast("Place[Any]", self.screen)

    @on(Input.Submitted)
    def folder_said(self, event: Input.Submitted) -> None:
        """Bring the files in beside the keys."""
        event.stop()
        if not self.reading:
            self.reading = True
            self._place.in_background(partial(self._bring, Path(event.value.strip()).expanduser()))

    async def _bring(self, folder: Path) -> None:
        """Say how far it is; what is wrong in the files is listed and nothing is written."""
        trouble = self.query_one("#trouble", Static)
        self._stop.clear()
        self._lines = 0
        trouble.update(line_of([("Reading …   Esc stops it", "")]))
        tick = self.set_interval(TELL_SECONDS, self._tell)
        try:
            recorded = await self._place.ask(self._import(folder), SAVE)
        except RefusedError as refused:
            tick.stop()
            lines = [[said(plain(problem.sentence()), "watch")] for problem in refused.problems[:MOST_PROBLEMS]]
            if len(refused.problems) > MOST_PROBLEMS:
                lines.append([said(f"and {len(refused.problems) - MOST_PROBLEMS} more", "watch")])
            trouble.update(lines_of(lines))
            return
        finally:
            tick.stop()
            self.reading = False
        if recorded is None:
            trouble.update(line_of([("Stopped; nothing was saved.", "watch")]))
            return
        trouble.update(line_of([("Brought in.", "good")]))
        self.post_message(self.Brought(recorded))

    def _import(self, folder: Path) -> Callable[[Session], Recorded | None]:
        """The import as a job for the farm's thread, which listens for the stop until the first line is saved."""

        def heard(lines: int) -> None:
            self._lines = lines
            if self._stop.is_set():
                raise StoppedError

        def job(farm: Session) -> Recorded | None:
            try:
                return log_files.bring_in(farm, folder, heard=heard)
            except StoppedError:
                return None

        return job

    def _tell(self) -> None:
        words = "Stopping …" if self._stop.is_set() else f"{self._lines:,} lines read and checked …   Esc stops it"
        self.query_one("#trouble", Static).update(line_of([(words, "")]))
