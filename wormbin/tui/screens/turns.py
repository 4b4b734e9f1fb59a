"""The rota of a month: another month, who is away, who stands in, each by a key; printed as it is shown."""

from __future__ import annotations

from datetime import timedelta
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import Input

from wormbin.farm import turns
from wormbin.pages.page import lines
from wormbin.pages.school import rota
from wormbin.problems import RefusedError
from wormbin.tui.desk import SAVE, FarmChanged
from wormbin.tui.screens.reading import ReadingScreen
from wormbin.tui.widgets.fields import WordField
from wormbin.tui.widgets.page_lines import PageLines

if TYPE_CHECKING:
    from wormbin.farm.views.turns import RotaView

AWAY, SWAP = "a", "s"
ASKED = {
    AWAY: ("who is away", "ana: today", turns.set_away),
    SWAP: ("who stands in", "2026-12-07: ana instead of ben", turns.swap),
}
"""By its key: the label, an example, and what writes it."""


class TurnsScreen(ReadingScreen):
    """One month at a time."""

    HELP = "Whose turn it is. Left and right go from month to month. p writes the month to a file, to print."
    KEYS = (("← →", "month"),)
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "month(-1)", "month before", show=False, priority=True),
        Binding("right", "month(1)", "next month", show=False, priority=True),
        Binding(AWAY, f"say_who('{AWAY}')", "away"),
        Binding(SWAP, f"say_who('{SWAP}')", "stand in"),
    ]

    def __init__(self) -> None:
        super().__init__("Whose turn it is", ())
        self._month: RotaView | None = None
        self._asked = ""

    def parts(self) -> ComposeResult:
        """The page, and a line for who is away or stands in."""
        yield from super().parts()
        for key, (label, example, _) in ASKED.items():
            field = WordField(label, example, id=f"say-{key}")
            field.display = False
            yield field

    def on_mount(self) -> None:
        """This month."""
        super().on_mount()
        self.in_background(partial(self._show, ""), "page")

    async def _show(self, month: str) -> None:
        view = await self.ask(lambda farm: turns.month(farm, month))
        self._month = view
        self._lines, self._file = lines(rota(view)), f"turns-{view.first:%Y-%m}.txt"
        self.query_one(PageLines).show(self._lines)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """In a line that is typed the arrows move in it."""
        return not (action == "month" and isinstance(self.focused, Input))

    async def action_month(self, by: int) -> None:
        """The month before or after."""
        if self._month is not None:
            day = self._month.last + timedelta(days=1) if by > 0 else self._month.first - timedelta(days=1)
            await self._show(f"{day:%Y-%m}")

    def action_say_who(self, key: str) -> None:
        """Ask for the words."""
        self._asked = key
        for each in ASKED:
            self.query_one(f"#say-{each}").display = each == key
        self.query_one(f"#say-{key}", WordField).input.focus()

    def action_leave(self) -> None:
        """Out of the line first, then back to what was there."""
        if self._asked:
            self._away_with_line()
        else:
            super().action_leave()

    def _away_with_line(self) -> None:
        self.query_one(f"#say-{self._asked}").display = False
        self._asked = ""
        self.query_one("#page").focus()

    @on(Input.Submitted)
    async def said(self, event: Input.Submitted) -> None:
        """Write it, and show the month as it is now."""
        if not self._asked:
            return
        event.stop()
        event.prevent_default()  # the line below is for the name of a file
        words, writes = event.value, ASKED[self._asked][2]
        try:
            recorded = await self.ask(lambda farm: writes(farm, words), SAVE)
        except RefusedError as refused:
            self.refuse(refused)
            return
        event.input.value = ""
        for screen in self.app.screen_stack:
            screen.post_message(FarmChanged())
        self._away_with_line()
        self.say(recorded.sentence, role="good")
        if self._month is not None:
            await self._show(f"{self._month.first:%Y-%m}")
