"""A bin for the wall: how it is, whose turn it is, what to do, when it is fed next; renews itself and asks nothing."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.widgets import Static

from wormbin.drawing.marks import level_mark
from wormbin.drawing.tiles import large
from wormbin.farm import bins, guesses, turns
from wormbin.problems import RefusedError
from wormbin.tui.desk import FILL, FarmChanged
from wormbin.tui.place import Hand, Place
from wormbin.tui.showing import line_of, lines_of, said
from wormbin.tui.widgets.key_line import KeyLine
from wormbin.tui.widgets.page_lines import PageLines
from wormbin.tui.widgets.pictures import CutPicture, PictureView

if TYPE_CHECKING:
    from collections.abc import Sequence

    from wormbin.farm.views.bin import BinView

RENEW_SECONDS = 60.0
"""So that a new day comes up by itself; what is written comes up at once."""
STEPS = 3


class WallScreen(Place[None]):
    """One ``BinView`` in large, or several side by side; Escape alone leaves it."""

    HELP = "For the wall: level, whose turn it is, what to do, the next feeding. It renews itself. Esc leaves it."
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,q", "leave", "leave")]

    def __init__(self, *hands: Hand) -> None:
        super().__init__()
        self.keys = tuple(hand.key for hand in hands)

    def compose(self) -> ComposeResult:
        """One bin: the level in large letters, the words, the bin cut open. Several: a column each, cut open below."""
        yield Static(id="head")
        yield PictureView(id="wall-level") if len(self.keys) == 1 else Static(id="wall-today")
        with Horizontal():
            if len(self.keys) == 1:
                yield Vertical(Static(id="wall-words"), id="wall-side")
                yield CutPicture(id="wall-cut")
            else:
                for number in range(len(self.keys)):
                    yield Vertical(PageLines(id=f"wall-{number}"), CutPicture(id=f"cut-{number}"), classes="wall-one")
        yield KeyLine()

    def on_mount(self) -> None:
        """Show it, and again every minute."""
        self.renew()
        self.set_interval(RENEW_SECONDS, self.renew)

    def on_farm_changed(self, _: FarmChanged) -> None:
        """Somebody wrote."""
        self.renew()

    def renew(self) -> None:
        """Ask for the bins anew."""
        self.in_background(self._load, "load")

    async def _load(self) -> None:
        try:
            views = [await self.ask(partial(bins.look, bin=key), FILL) for key in self.keys]
            fed = {view.bin.name: turns.is_fed(view, view.on) for view in views}
            whose = await self.ask(lambda farm: turns.today_words(farm, fed=fed), FILL)
            # Until today's guess is written nobody reads it off the drawing, the level or the steps.
            hidden = [
                self.wormbin.guess_first and await self.ask(partial(guesses.wanted, bin=key)) for key in self.keys
            ]
        except RefusedError as refused:
            self.query_one("#head", Static).update(line_of([said(str(refused), "watch")]))
            return
        if len(views) == 1:
            self._show_one(views[0], whose, guess=hidden[0])
        else:
            self._show_several(views, whose, hidden)

    def _show_one(self, view: BinView, whose: str, *, guess: bool) -> None:
        from wormbin.pages.bin import today, wall
        from wormbin.pages.days import day
        from wormbin.pages.page import lines

        ascii, level = self.wormbin.ascii, view.level
        mark = "" if guess else f"{level_mark(level, word=False, ascii=ascii)} "
        self.query_one("#head", Static).update(
            line_of([(f" {mark}", level.value), said(view.bin.name, "title"), (f"  {day(view.on)}", "strong")])
        )
        self.query("#wall-cut, #wall-level").set(display=not guess)
        self.query_one("#wall-level", PictureView).show(
            lambda width, _height: large(level.value, level.value, width, ascii=ascii)
        )
        self.query_one("#wall-words", Static).update(lines_of(lines([*today(whose), *wall(view, STEPS, guess=guess)])))
        self._show_cut("#wall-cut", view)

    def _show_several(self, views: Sequence[BinView], whose: str, hidden: Sequence[bool]) -> None:
        from wormbin.pages.bin import today, wall
        from wormbin.pages.days import day
        from wormbin.pages.page import lines

        self.query_one("#head", Static).update(line_of([(f" {day(views[0].on)}", "strong")]))
        self.query_one("#wall-today", Static).update(lines_of(lines(today(whose))))
        for number, (view, guess) in enumerate(zip(views, hidden, strict=True)):
            mark = "" if guess else level_mark(view.level, ascii=self.wormbin.ascii)
            named = [said(view.bin.name, "title"), (f"  {mark}", view.level.value)]
            self.query_one(f"#wall-{number}", PageLines).show([named, [], *lines(wall(view, STEPS, guess=guess))])
            self._show_cut(f"#cut-{number}", view)
            self.query_one(f"#cut-{number}").display = not guess

    def _show_cut(self, place: str, view: BinView) -> None:
        picture, us = self.query_one(place, CutPicture), self.wormbin.units == "us"
        picture.show_cut(view.cut, ascii=self.wormbin.ascii, us=us, length_m=view.bin.length_m)

    def action_leave(self) -> None:
        """Back to what was there."""
        self.dismiss(None)
