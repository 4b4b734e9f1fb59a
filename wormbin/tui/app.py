"""The full-screen program: owns the desk, the themes and the way between screens; knows nothing of any bin."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Callable, Sequence
from datetime import date
from typing import TYPE_CHECKING, ClassVar, TypeVar

from textual.binding import Binding, BindingType

from wormbin.farm.errors import StoreError
from wormbin.farm.settings import change_setting, keepers, wrote_too
from wormbin.tui.desk import ASK, SAVE, Desk
from wormbin.tui.early_keys import EarlyKeys
from wormbin.tui.messages import FarmChanged
from wormbin.tui.themes import THEMES, theme_after

if TYPE_CHECKING:
    from textual.command import Provider
    from textual.driver import Driver
    from textual.filter import LineFilter
    from textual.screen import Screen

    from wormbin.farm.cache.rows import Front
    from wormbin.farm.session import Session

T = TypeVar("T")
DEMO = "apartment"
"""What the program answers when it is left for the demo, and the name of that."""
LOOK_AGAIN_SECONDS = 1.0
"""How often the store is asked whether somebody else wrote; within two seconds every screen shows it."""


def _place_commands() -> type[Provider]:
    from wormbin.tui.palette import PlaceCommands

    return PlaceCommands


class Wormbin(EarlyKeys[str]):
    """One farm on the screen. Screens ask the farm through ``ask``; writing comes back as ``EntryRecorded``."""

    TITLE = "wormbin"
    CSS_PATH = "styles.tcss"
    ENABLE_COMMAND_PALETTE = True
    COMMANDS: ClassVar[set[type[Provider] | Callable[[], type[Provider]]]] = {_place_commands}
    BINDINGS: ClassVar[list[BindingType]] = [
        # Function and control keys go before a form's own; letters never do.
        Binding("question_mark", "help", "help", key_display="?"),
        Binding("f1", "help", "help, from a form too", show=False, priority=True),
        Binding("f2", "next_theme", "next theme", show=False, priority=True),
        Binding("f3", "next_keeper", "who writes", show=False, priority=True),
        Binding("ctrl+p", "command_palette", "everything by name", show=False, priority=True),
        Binding("ctrl+q", "quit", "quit, from a form too", show=False, priority=True),
    ]

    def __init__(
        self,
        farm: Session | Callable[[], Session],
        *,
        on: date | None = None,
        ascii: bool = False,
        demo: str = "",
        front: Front | None = None,
    ) -> None:
        super().__init__()
        self.HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (78, "-normal"), (110, "-wide")]
        self.VERTICAL_BREAKPOINTS = [(0, "-short"), (22, "-middling"), (36, "-tall")]
        self.desk = Desk(farm, on)
        self.on = on
        self.ascii = ascii
        self.front = front
        self.units = front.units if front is not None else "metric"
        self.demo = demo
        self.by = os.environ.get("WORMBIN_KEEPER", "")
        self.begun = False
        self._told: set[str] = set()
        for theme in THEMES:
            self.register_theme(theme)
        self.theme = THEMES[0].name
        if front is not None:
            self.put_on(front.theme)

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """Our own colour names are known from the first moment, whichever theme is on."""
        return dict(THEMES[0].variables)

    def get_line_filters(self) -> Sequence[LineFilter]:
        """Textual's own, and plain letters where the terminal knows no others."""
        from wormbin.tui.ascii_filter import AsciiFilter

        return (*super().get_line_filters(), *([AsciiFilter()] if self.ascii else []))

    def get_driver_class(self) -> type[Driver]:
        """The platform's own driver, taught what to do when the terminal goes away."""
        from wormbin.tui.lost_terminal import outlasting

        return outlasting(super().get_driver_class())

    async def ask(self, job: Callable[[Session], T], rank: int = ASK) -> T:
        """Run a job on the farm's thread and await its answer."""
        return await self.desk.ask(job, rank)

    def get_default_screen(self) -> Screen[None]:
        """The round, or the only bin; filled at once when the front page still holds."""
        from wormbin.tui.screens.opening import default_screen

        return default_screen(self.front)

    def on_mount(self) -> None:
        """Once the first screen is painted, look at the farm."""
        self.call_after_refresh(self.run_worker, self._begin, exit_on_error=False)

    async def _begin(self) -> None:
        """Put on the theme that was chosen, go to where the farm wants one to be, and keep an eye on the store."""
        from wormbin.tui.screens.opening import begin

        try:
            await begin(self)
        except Exception as fault:
            self.tell_trouble(f"{type(fault).__name__}: {fault}", ours=True)
        self.begun = True
        self.set_interval(LOOK_AGAIN_SECONDS, self._look_again)

    async def take_settings(self) -> None:
        """Read how the farm is run, as far as it touches what is shown."""
        try:
            settings = await self.ask(lambda farm: farm.settings())
        except StoreError as error:
            self.tell_trouble(str(error), ours=False)
            return
        self.units = settings.units.value
        self.put_on(settings.theme)

    def put_on(self, theme: str) -> None:
        """Put on one of our themes, if it is one and not on already."""
        if theme != self.theme and theme in [each.name for each in THEMES]:
            self.theme = theme

    async def _look_again(self) -> None:
        with contextlib.suppress(StoreError):  # whoever looks at the store next says so, once
            if await self.ask(lambda farm: farm.changed()):
                for screen in self.screen_stack:
                    screen.post_message(FarmChanged())

    def ended_from_outside(self) -> None:
        """Somebody ends the program: leave as a person would."""
        self.call_later(self.action_quit)

    async def action_quit(self) -> None:
        """Keep what is half filled, finish every save, and leave."""
        for screen in self.screen_stack:
            keep = getattr(screen, "keep_draft", None)
            if keep is not None:
                await keep()
        self.exit()

    def leave_for_demo(self) -> None:
        """End, and let whoever opened the program open the demo."""
        self.exit(DEMO)

    def on_unmount(self) -> None:
        """Finish the saves."""
        self.desk.close()

    async def action_next_theme(self) -> None:
        """Go to the next theme and remember it."""
        await self.action_theme_named(theme_after(self.theme))

    async def action_theme_named(self, chosen: str) -> None:
        """Put on the theme of that name and remember it."""
        self.put_on(chosen)
        with contextlib.suppress(StoreError):
            await self.ask(lambda farm: change_setting(farm, "theme", chosen), SAVE)

    def tell_trouble(self, words: str, *, ours: bool) -> None:
        """Lay a trouble that matters over the screen, once; it stays until it is answered."""
        from wormbin.tui.screens.trouble import TroubleScreen

        if words not in self._told:
            self._told.add(words)
            self.push_screen(TroubleScreen(words, ours=ours), lambda _: self._told.discard(words))

    async def action_next_keeper(self) -> None:
        """Go to the next of those who write; their name stands on every line from now on."""
        from wormbin.tui.signing import next_signer

        self.by, words = await self.ask(lambda farm: next_signer(keepers(farm), wrote_too(farm), self.by))
        self.notify(words, markup=False)

    def action_help(self) -> None:
        """Show the help for the place one is in; once is enough."""
        from wormbin.tui.screens.help import HelpScreen

        if not isinstance(self.screen, HelpScreen):
            self.push_screen(HelpScreen.for_screen(self.screen, ascii=self.ascii))
