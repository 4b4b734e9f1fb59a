"""The full-screen program: owns the desk, the themes and the way between screens; knows nothing of any bin."""

from __future__ import annotations

import os
import signal
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import ClassVar, TypeVar

from textual.app import App
from textual.binding import Binding, BindingType

from wormbin.farm.doorway import Clock, Farmstead, local_clock
from wormbin.tui.desk import ASK, Desk
from wormbin.tui.messages import FarmChanged
from wormbin.tui.themes import THEMES

T = TypeVar("T")
LOOK_AGAIN_SECONDS = 1.0
"""How often the store is asked whether somebody else wrote; within two seconds every screen shows it."""


class Wormbin(App[None]):
    """One farm on the screen. Screens ask the farm through ``ask``; writing comes back as ``EntryRecorded``."""

    TITLE = "wormbin"
    CSS_PATH = "styles.tcss"
    ENABLE_COMMAND_PALETTE = True
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("question_mark,f1", "help", "help", key_display="?"),
        Binding("f2", "next_theme", "theme", show=False),
        Binding("ctrl+q", "quit", "quit", show=False),
    ]

    def __init__(self, farm: Farmstead, *, on: date | None = None, ascii: bool = False, demo: str = "") -> None:
        super().__init__()
        self.HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (78, "-normal"), (110, "-wide")]
        self.VERTICAL_BREAKPOINTS = [(0, "-short"), (22, "-middling"), (36, "-tall")]
        self.farmstead = farm
        self.desk = Desk(farm)
        self.on = on
        self.ascii = ascii
        self.units = "metric"
        self.demo = demo
        for theme in THEMES:
            self.register_theme(theme)

    async def ask(self, job: Callable[[Farmstead], T], rank: int = ASK) -> T:
        """Run a job on the farm's thread and await its answer."""
        return await self.desk.ask(job, rank)

    async def on_mount(self) -> None:
        """Put on the theme that was chosen, open the first screen, and keep an eye on the store."""
        from wormbin.tui.screens.opening import first_screen

        settings = await self.ask(lambda farm: farm.settings())
        wanted, self.units = settings.theme, settings.units.value
        names = [theme.name for theme in THEMES]
        self.theme = wanted if wanted in names else names[0]
        for screen in await first_screen(self):
            await self.push_screen(screen)
        self.set_interval(LOOK_AGAIN_SECONDS, self._look_again)
        for name in ("SIGTERM", "SIGHUP"):
            if hasattr(signal, name):
                import asyncio

                asyncio.get_running_loop().add_signal_handler(getattr(signal, name), self._ended_from_outside)

    async def _look_again(self) -> None:
        if await self.ask(lambda farm: farm.changed()):
            self.screen.post_message(FarmChanged())

    def _ended_from_outside(self) -> None:
        self.run_worker(self.action_quit(), exclusive=False)

    async def action_quit(self) -> None:
        """Keep what is half filled, finish every save, and leave."""
        for screen in self.screen_stack:
            keep = getattr(screen, "keep_draft", None)
            if keep is not None:
                await keep()
        self.exit()

    def on_unmount(self) -> None:
        """Finish the saves."""
        self.desk.close()

    def action_next_theme(self) -> None:
        """Go to the next theme and remember it."""
        names = [theme.name for theme in THEMES]
        at = names.index(self.theme) if self.theme in names else -1
        self.theme = names[(at + 1) % len(names)]
        chosen = self.theme
        self.run_worker(self.ask(lambda farm: farm.change_setting("theme", chosen)), exit_on_error=False)

    def action_help(self) -> None:
        """Show the help for the place one is in."""
        from wormbin.tui.screens.help import HelpScreen

        self.push_screen(HelpScreen.for_screen(self.screen))


def run(folder: Path, *, on: date | None = None, clock: Clock = local_clock, demo: str = "") -> int:
    """Open the full-screen program on a store; the exit status."""
    plain = os.environ.get("WORMBIN_ASCII", "") not in ("", "0")
    app = Wormbin(Farmstead(folder, clock=clock), on=on, ascii=plain, demo=demo)
    app.run()
    return app.return_code or 0
