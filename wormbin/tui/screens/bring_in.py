"""Log files brought in: it asks for the folder, says how far it is, and can be stopped before anything is saved."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from threading import Event
from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input

from wormbin.farm import log_files
from wormbin.farm.errors import StoppedError
from wormbin.farm.views.bin import Recorded
from wormbin.problems import RefusedError
from wormbin.tui.desk import SAVE
from wormbin.tui.place import Form
from wormbin.tui.widgets.fields import WordField

if TYPE_CHECKING:
    from wormbin.farm.session import Session

TELL_SECONDS = 0.2
"""How often an import says how far it is."""
MOST_PROBLEMS = 8


class BringInForm(Form[Recorded]):
    """One line: the folder. Answers what was brought in."""

    HELP = (
        "Name a folder with log files: bins.csv and log.csv, as an export writes them. Every line is checked before "
        "the first is saved. What is wrong is listed with its place. Esc stops it while it reads."
    )
    heading = "Import log files"
    KEYS = (("Enter", "read them"),)
    SHEET = "middling snug"

    def __init__(self) -> None:
        super().__init__()
        self._reading = False
        self._read = 0
        self._stop = Event()

    def parts(self) -> ComposeResult:
        """The folder, how it goes, the keys."""
        yield WordField("folder with log files", "~/worms/log", id="folder")

    @on(Input.Submitted)
    def folder_said(self, event: Input.Submitted) -> None:
        """Bring the files in beside the keys."""
        event.stop()
        if not self._reading:
            self._reading = True
            self.in_background(partial(self._bring, Path(event.value.strip()).expanduser()))

    async def _bring(self, folder: Path) -> None:
        """Say how far it is; what is wrong in the files is listed and nothing is written."""
        self._stop.clear()
        self._read = 0
        self.say("Reading …   Esc stops it", role="")
        tick = self.set_interval(TELL_SECONDS, self._tell)
        try:
            recorded = await self.ask(self._import(folder), SAVE)
        except RefusedError as refused:
            words = [problem.sentence() for problem in refused.problems]
            more = [f"and {len(words) - MOST_PROBLEMS} more"] if len(words) > MOST_PROBLEMS else []
            self.say(*words[:MOST_PROBLEMS], *more)
            return
        finally:
            tick.stop()
            self._reading = False
        if recorded is None:
            self.say("Stopped; nothing was saved.")
        else:
            self.dismiss(recorded)

    def _import(self, folder: Path) -> Callable[[Session], Recorded | None]:
        """The import as a job for the farm's thread, which listens for the stop until the first line is saved."""

        def heard(lines: int) -> None:
            self._read = lines
            if self._stop.is_set():
                raise StoppedError

        def job(farm: Session) -> Recorded | None:
            try:
                return log_files.bring_in(farm, folder, heard=heard)
            except StoppedError:
                return None

        return job

    def _tell(self) -> None:
        words = "Stopping …" if self._stop.is_set() else f"{self._read:,} lines read and checked …   Esc stops it"
        self.say(words, role="")

    def action_leave(self) -> None:
        """Stop what is being read; else leave."""
        if self._reading:
            self._stop.set()
        else:
            self.dismiss(None)
