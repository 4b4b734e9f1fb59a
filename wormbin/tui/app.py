"""The full-screen program: owns the desk, the themes and the way between screens; knows nothing of any bin."""

from __future__ import annotations

import asyncio
import contextlib
import gc
import os
import signal
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, ClassVar, TypeVar

from textual.app import SystemCommand
from textual.binding import Binding, BindingType

from wormbin.farm import drafts
from wormbin.farm.errors import StoreError
from wormbin.records.farms import KEYS
from wormbin.tui.catalogue import draft_words, loaded, read_ahead, screen
from wormbin.tui.desk import ASK, SAVE, Desk, FarmChanged
from wormbin.tui.keyboard import Keyboard, Tidying, key_word
from wormbin.tui.themes import THEMES, theme_after

if TYPE_CHECKING:
    from textual.command import Provider
    from textual.driver import Driver
    from textual.filter import LineFilter
    from textual.screen import Screen

    from wormbin.farm.cache.rows import Front
    from wormbin.farm.errors import Flaw
    from wormbin.farm.session import Session

T = TypeVar("T")
DEMO = "apartment"
"""What the program answers when it is left for the demo, and the name of that."""
LOOK_AGAIN_SECONDS = 1.0
"""How often the store is asked whether somebody else wrote; within two seconds every screen shows it."""
TIDY_SECONDS = 1.0
DRAFTS_SECONDS = 8.0
LISTED = ("Keys", "Screenshot", "Theme")
"""The framework's own commands that the palette offers; the others stand there as ours."""


class Wormbin(Keyboard[str]):
    """One farm on the screen. Screens ask the farm through ``ask``; writing comes back as ``EntryRecorded``."""

    TITLE = "wormbin"
    CSS_PATH = "styles.tcss"
    ENABLE_COMMAND_PALETTE = True
    COMMANDS: ClassVar[set[type[Provider] | Callable[[], type[Provider]]]] = {
        *Keyboard.COMMANDS,
        lambda: loaded("palette:PlaceCommands"),
    }
    BINDINGS: ClassVar[list[BindingType]] = [
        # Function and control keys go before a form's own; letters never do.
        Binding("question_mark", "help", "help", key_display="?"),
        Binding("f1", "help", "help, from a form too", show=False, priority=True),
        Binding("f2", "next_theme", "next theme", show=False, priority=True),
        Binding("f3", "next_keeper", "who writes", show=False, priority=True),
        Binding("ctrl+p", "command_palette", "everything by name", show=False, priority=True),
        Binding("ctrl+z", "suspend_process", "back to the shell; fg returns", show=False, priority=True),
        Binding("ctrl+c,ctrl+backslash", "quit", "quit, and keep what is half filled", show=False, priority=True),
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
        self.notices_seen: set[Flaw] = set()
        self.on = on
        self.ascii = ascii
        self.front = front
        self.units = front.units if front is not None else "metric"
        self.demo = demo
        self.guess_first, self.voice = False, 0
        self.keys: Mapping[str, str] = {}
        self.names: tuple[str, ...] = ()
        self.by = os.environ.get("WORMBIN_KEEPER", "")
        self.begun = False
        self._told: set[str] = set()
        self._first_due = False
        theirs = tuple(self.available_themes)
        for theme in THEMES:
            self.register_theme(theme)
        self._theme_kept = self.theme = THEMES[0].name
        for name in theirs:
            self.unregister_theme(name)
        if front is not None:
            self.put_on(front.theme)

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """Our own colour names are known from the first moment, whichever theme is on."""
        return dict(THEMES[0].variables)

    def get_line_filters(self) -> Sequence[LineFilter]:
        """Textual's own, and plain letters where the terminal knows no others."""
        return (*super().get_line_filters(), *([loaded("terminal:AsciiFilter")()] if self.ascii else []))

    def get_driver_class(self) -> type[Driver]:
        """The platform's own driver, taught what to do when the terminal goes away."""
        driver: type[Driver] = loaded("terminal:outlasting")(super().get_driver_class(), self.ended_from_outside)
        return driver

    def get_system_commands(self, screen: Screen[object]) -> Iterable[SystemCommand]:
        """What the framework can do by itself, as far as no key of ours does it."""
        return (each for each in super().get_system_commands(screen) if each.title in LISTED)

    def get_key_display(self, binding: Binding) -> str:
        """A key as it stands on the keyboard."""
        return binding.key_display or key_word(binding.key)

    async def ask(self, job: Callable[[Session], T], rank: int = ASK) -> T:
        """Run a job on the farm's thread and await its answer."""
        return await self.desk.ask(job, rank)

    # the way between screens
    def get_default_screen(self) -> Screen[None]:
        """The lowest screen: the only bin when the front page knows of one alone, else the round, filled at once."""
        made: Screen[None]
        if self.front is not None and len(self.front.rows) == 1:
            (row,) = self.front.rows
            made = screen("bin", row.bin, row)
        else:
            made = screen("round", self.front)
        return made

    def on_mount(self) -> None:
        """Once the first screen is painted, look at the farm."""
        self.call_after_refresh(self.run_worker, self._begin, exit_on_error=False)

    async def _begin(self) -> None:
        """Put on the theme that was chosen, go to where the farm wants one to be, and keep an eye on the store."""
        if not gc.isenabled():
            # Nothing that the start has loaded need ever be looked at by the collector of unused objects.
            gc.freeze()
            gc.enable()
        self._listen_for_endings()
        try:
            await self.take_settings()
            read_ahead()
            self._first_due = self.front is None
            await self.lay_first()
            with contextlib.suppress(StoreError):
                await self._tell_of_drafts()
        except Exception as fault:
            self.tell_trouble(f"{type(fault).__name__}: {fault}", ours=True)
        self.begun = True
        self.set_interval(LOOK_AGAIN_SECONDS, self._look_again)
        self.set_interval(TIDY_SECONDS, Tidying(lambda: self.heard, lambda: len(self.screen_stack) == 1).look)

    async def first_screen(self) -> Screen[None] | None:
        """What to lay over an empty round once the farm is open: a welcome, the only bin, or nothing."""
        try:
            bins = [each for each in await self.ask(lambda farm: farm.bins()) if each.ended is None]
        except StoreError:
            return None  # the trouble lies over it already
        made: Screen[None] | None = None
        if len(bins) < 2:
            made = screen("bin", bins[0].key, name=bins[0].name) if bins else screen("welcome")
        return made

    async def lay_first(self) -> None:
        """Lay the first screen over the round, once; where a form was opened on that already, it is left first."""
        if self._first_due and len(self.screen_stack) == 1:
            self._first_due = False
            if (made := await self.first_screen()) is not None:
                await self.push_screen(made)

    async def _tell_of_drafts(self) -> None:
        """Say which forms were left half filled; each is filled again when it is opened."""
        forms = await self.ask(lambda farm: drafts.names(farm))
        if forms and not any(hasattr(each, "keep_draft") for each in self.screen_stack):
            names = {each.key: each.name for each in await self.ask(lambda farm: farm.bins())}
            told = (draft_words(form, names, {**KEYS, **self.keys}) for form in forms)
            self.notify("\n".join(told), markup=False, timeout=DRAFTS_SECONDS)

    async def _look_again(self) -> None:
        with contextlib.suppress(StoreError):  # whoever looks at the store next says so, once
            if await self.ask(lambda farm: farm.changed()):
                self.tell_changed()

    def tell_changed(self) -> None:
        """What every screen shows may be old."""
        for each in self.screen_stack:
            each.post_message(FarmChanged())

    def tell_trouble(self, words: str, *, ours: bool, heading: str = "") -> None:
        """Lay a trouble that matters over the screen, once; it stays until it is answered."""
        if not any(words in told for told in self._told):
            self._told.add(words)
            self.push_screen(screen("trouble", words, ours=ours, heading=heading), lambda _: self._told.discard(words))

    def action_help(self) -> None:
        """Show the help for the place one is in; once is enough."""
        if not isinstance(self.screen, loaded("screens.reading:HelpScreen")):
            self.push_screen(screen("help", self.screen, ascii=self.ascii))

    # how the farm is run, as far as it touches what is shown
    async def take_settings(self) -> None:
        """Read units and colours, and who writes."""
        try:
            settings, self.names = await self.ask(lambda farm: (farm.settings(), farm.farm().keepers))
        except StoreError as error:
            self.tell_trouble(str(error), ours=False)
            return
        self.units = settings.units.value
        self.guess_first = settings.guess_first
        self.keys = settings.keys
        self.set_keymap(dict(settings.keys))
        self.put_on(settings.theme)

    def put_on(self, theme: str) -> None:
        """Put on one of our themes, if it is one and not on already; it is the farm's, so that it need not be kept."""
        if theme in self.available_themes:
            self._theme_kept = self.theme = theme

    async def watch_theme(self, chosen: str) -> None:
        """Remember a theme that was picked, by whatever way."""
        if chosen != self._theme_kept:
            from wormbin.farm.settings import change_setting  # no start waits for it

            self._theme_kept = chosen
            with contextlib.suppress(StoreError):
                await self.ask(lambda farm: change_setting(farm, "theme", chosen), SAVE)

    def action_next_theme(self) -> None:
        """Go to the next theme."""
        self.theme = theme_after(self.theme)

    async def action_next_keeper(self) -> None:
        """Go to the next of those who write; their name stands on every line from now on."""
        from wormbin.farm.settings import keepers, wrote_too  # no start waits for it
        from wormbin.farm.words.names import next_signer

        self.by, words = await self.ask(lambda farm: next_signer(keepers(farm), wrote_too(farm), self.by))
        self.notify(words, markup=False)

    # leaving
    def _listen_for_endings(self) -> None:
        for name in ("SIGTERM", "SIGHUP", "SIGINT", "SIGQUIT"):
            if hasattr(signal, name):
                # Not every system's loop can listen to signals, nor one that does not run in the main thread.
                with contextlib.suppress(NotImplementedError, RuntimeError, ValueError):
                    asyncio.get_running_loop().add_signal_handler(getattr(signal, name), self.ended_from_outside)

    def ended_from_outside(self) -> None:
        """Somebody ends the program, or its terminal has gone: leave as a person would."""
        self.call_later(self.action_quit)

    async def action_quit(self) -> None:
        """Keep what is half filled, finish every save, and leave."""
        for each in self.screen_stack:
            keep = getattr(each, "keep_draft", None)
            if keep is not None:
                await keep()
        self.exit()

    def leave_for_demo(self) -> None:
        """End, and let whoever opened the program open the demo."""
        self.exit(DEMO)

    def on_unmount(self) -> None:
        """Finish the saves."""
        self.desk.close()
