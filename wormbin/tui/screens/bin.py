"""One bin: what to do now, the bin cut open beside its gauges; ahead; its log; any number opened."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING, ClassVar, cast

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.reactive import reactive
from textual.widgets import ContentSwitcher, Static

from wormbin.farm import bins, logbook, rounds, turns
from wormbin.problems import RefusedError
from wormbin.records.kinds.log import BY_KIND, Kind
from wormbin.tui.bin_place import BinPlace
from wormbin.tui.catalogue import screen
from wormbin.tui.desk import FILL
from wormbin.tui.place import Hand
from wormbin.tui.themes import line_of, said
from wormbin.tui.widgets.do_now import NowPlace
from wormbin.tui.widgets.key_line import KeyLine, TabLine
from wormbin.tui.widgets.page_lines import Row

if TYPE_CHECKING:
    from textual.widget import Widget

    from wormbin.farm.views.bin import BinView, LogLine, Recorded
    from wormbin.farm.views.proposals import WhatIfView
    from wormbin.farm.views.round import RoundRow
    from wormbin.figures import Working
    from wormbin.tui.widgets.charts import AheadPlace, Range
    from wormbin.tui.widgets.log_place import LogPlace
    from wormbin.tui.widgets.pictures import Gauges

TABS = (("now", "n", "now"), ("ahead", "a", "outlook"), ("log", "l", "log"), ("sums", "o", "numbers explained"))


class BinScreen(BinPlace):
    """Shows one ``BinView``; every change to the bin comes back as a new one."""

    HELP = (
        "One bin. What to do now stands first. Below it the bin cut open, and its gauges. A disc is a reading, a "
        "lozenge an estimate. The shaded part is where the true value lies 8 times in 10. The brackets show where to "
        "be. The arrows choose a gauge, and Enter explains its number. Outlook shows the days to come, log every "
        "line, numbers explained every sum."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("n", "tab('now')", "now", show=False),
        Binding("a", "tab('ahead')", "outlook"),
        Binding("l", "tab('log')", "log"),
        Binding("o", "tab('sums')", "numbers explained", show=False),
        Binding("d", "details", "all findings", show=False),
        Binding("plus,equals_sign", "zoom(-1)", "fewer days on the charts", show=False),
        Binding("minus", "zoom(1)", "more days on the charts", show=False),
        Binding("left", "pan(-1)", "earlier days", show=False),
        Binding("right", "pan(1)", "later days", show=False),
        Binding("m", "next_chart", "other charts", show=False),
        Binding("escape", "back", "back", show=False),
        Binding("q", "app.quit", "quit"),
    ]

    tab: reactive[str] = reactive("now", init=False)

    def __init__(self, key: str, row: RoundRow | None = None, *, name: str = "") -> None:
        super().__init__()
        self.key = key
        self._name_known = row.name if row is not None else name or key
        self._row = row
        self.view: BinView | None = None
        self.what_if: WhatIfView | None = None
        self._seen: Range | None = None
        self._turns = ""
        self._guessed = False
        self._numbers: Sequence[tuple[str, Working]] = ()

    def written(self, recorded: Recorded | None) -> None:
        """After a join go on to the bin that it all went into."""
        super().written(recorded)
        if recorded is not None and recorded.into:
            self.app.switch_screen(screen("bin", recorded.into))

    def compose(self) -> ComposeResult:
        """Head, tabs, and the place for what is to be done now; the other places come when they are gone to."""
        yield Static(id="head")
        yield Static(id="noticed")
        yield TabLine(TABS, self.tab, id="tabs")
        with ContentSwitcher(initial="now", id="places"):
            yield NowPlace(id="now")
        yield KeyLine()

    def on_mount(self) -> None:
        """Show what the round knows, and ask for the bin."""
        if self.wormbin.guess_first:
            self.query_one("#head", Static).update(line_of([said(f" {self._name_known}", "title")]))
            self._now().say("Guess first, then look …")
        elif self._row is not None:
            self._show_row(self._row)
        else:
            self.query_one("#head", Static).update(line_of([said(f" {self._name_known}", "title")]))
            self._now().say("Working out how this bin is …")
        self.call_after_refresh(self.reload)

    def _now(self) -> NowPlace:
        return self.query_one(NowPlace)

    def reload(self) -> None:
        """Ask for the bin anew; what is shown stays until it is there."""
        self.in_background(self._load, "load")

    async def _load(self) -> None:
        if self.wormbin.guess_first and self.view is None and not self._guessed:
            self._guessed = True
            from wormbin.farm import guesses  # no start waits for it

            if await self.ask(lambda farm: guesses.wanted(farm, self.key)):
                self.open("write", self.in_hand(), BY_KIND[Kind.GUESS], then=self._looks)
                return
        try:
            filling = await self.ask(lambda farm: rounds.filling(farm, only=self.key), FILL)
            await self.worked_out(filling)  # a bin that cannot be read is told of by the look that follows
            if self.view is None and filling.known:
                self._row = filling.known[0]
                self._show_row(self._row)
            view = await self.ask(lambda farm: bins.look(farm, self.key))
            fed = {view.bin.name: turns.is_fed(view, view.on)}
            self._turns = await self.ask(lambda farm: turns.today_words(farm, fed=fed))
        except RefusedError as refused:
            self._now().say(str(refused))
            await self.look_for_notices()
            return
        await self.look_for_notices()
        first, self.view = self.view is None, view
        await self._show_now(view)
        if first and self.tab == "now":
            self._now().listen()
        self._show_charts()
        if self.tab == "log":
            self._log().ask_again()
        elif self.tab == "sums":
            self.in_background(self._show_sums, "tab")

    def _looks(self, recorded: Recorded | None) -> None:
        """A guess was written, or left: now the figures come."""
        self.written(recorded)
        if recorded is None:
            self.reload()

    def _show_row(self, row: RoundRow) -> None:
        """What to do is known from the round before the pictures are worked out."""
        self.query_one("#head", Static).update(line_of([said(f" {row.name}", "title"), ("  working out …", "dim")]))
        self._now().show_row(row, ascii=self.wormbin.ascii)

    async def _show_now(self, view: BinView) -> None:
        from wormbin.pages.bin import head
        from wormbin.pages.page import lines

        program = self.wormbin
        ascii, units = program.ascii, program.units
        pieces = [(" ", ""), *lines([head(view)])[0]]
        if program.demo:
            pieces.append((f"  demo: {program.demo}", "watch"))
        if self._turns:
            pieces.append(said(f"  {self._turns}", "strong"))
        elif program.by:
            pieces.append(said(f"  signed: {program.by}", "dim"))
        self.query_one("#head", Static).update(line_of(pieces))
        await self._now().show_view(view, ascii=ascii, units=units)

    def in_hand(self) -> Hand:
        """This bin."""
        if self.view is None:
            return Hand(self.key, self._name_known, self._row.compartments if self._row else 1)
        return Hand(self.key, self.view.bin.name, self.view.bin.compartments)

    def last_words(self) -> dict[str, str]:
        """What the last check said."""
        return dict(self.view.last_words) if self.view is not None else {}

    # tabs
    @on(TabLine.Picked)
    def tab_picked(self, event: TabLine.Picked) -> None:
        """A click on a tab."""
        self.tab = event.code

    async def watch_tab(self) -> None:
        """Go to another place within the bin; it is furnished when it is first gone to."""
        places = self.query_one("#places", ContentSwitcher)
        if not places.query(f"#{self.tab}"):
            await places.add_content(_place(self.tab))
        places.current = self.tab
        self.query_one(TabLine).show(self.tab)
        if self.tab == "now":
            self._now().listen()
        elif self.tab == "sums":
            self.query_one("#sums").focus()
            self.in_background(self._show_sums, "tab")
        elif self.tab == "ahead":
            self.set_focus(None)
            self._show_charts()
        else:
            self._log().listen()
            self._log().ask_again()

    def _log(self) -> LogPlace:
        return cast("LogPlace", self.query_one("#log"))

    def _ahead(self) -> AheadPlace | None:
        return cast("AheadPlace | None", next(iter(self.query("#ahead")), None))

    @property
    def seen(self) -> Range:
        """The days that the charts show."""
        from wormbin.tui.widgets.charts import Range

        return self._seen or Range()

    def _see(self, seen: Range) -> None:
        self._seen = seen
        self._show_charts()

    def _show_charts(self) -> None:
        view, program = self.view, self.wormbin
        if view is None or not view.charts:
            return
        from wormbin.pages.futures import with_other
        from wormbin.tui.widgets.charts import Shown

        charts = with_other(view.charts, self.what_if)
        future = self.what_if.instead.title if self.what_if is not None else ""
        how = Shown(self.seen, program.ascii, program.units, future)
        for place in (self._now(), self._ahead()):
            if place is not None:
                place.show_charts(charts, view, how)

    def on_log_place_wanted(self, event: LogPlace.Wanted) -> None:
        """Other lines are to be shown."""
        self.in_background(partial(self._show_log, event.kind, event.word), "tab")

    async def _show_log(self, kind: str, word: str) -> None:
        try:
            lines = await self.ask(lambda farm: logbook.lines(farm, self.key, kind=kind, word=word))
        except RefusedError:
            return
        self._log().show_log(lines, ascii=self.wormbin.ascii)

    async def on_log_place_line_chosen(self, event: LogPlace.LineChosen) -> None:
        """Open a line, put it right, or strike it through."""
        from wormbin.pages.bin import log_line
        from wormbin.pages.page import lines

        line = event.line
        if event.what == "open":
            self.open("page", "A line of the log", lines(log_line(line, await self._kin(line))))
        elif not line.stands:
            self.notify("This line no longer counts: it was struck or put right already.", markup=False)
        elif event.what == "strike":
            self.open("strike", line, then=self.written)
        else:
            await self._put_right(line)

    async def _put_right(self, line: LogLine) -> None:
        """A line is put right in a form filled with its own words."""
        if (typed := await self.understood(lambda farm: logbook.typed_line(farm, line.entry))) is None:
            return
        kind, command = typed.kind, typed.kind.command
        name, how = ("write", (kind,)) if kind.page.key or command is None else (command.name, ())
        self.open(name, self.in_hand(), *how, fields=typed.fields, replaces=line.entry, then=self.written)

    async def _kin(self, line: LogLine) -> dict[str, LogLine]:
        """The lines that put this one right or that it puts right, by their ids."""
        wanted = {each for each in (line.replaced, line.replaces) if each}
        if not wanted:
            return {}
        try:
            return await self.ask(
                lambda farm: {each.entry: each for each in logbook.lines(farm, self.key) if each.entry in wanted}
            )
        except RefusedError:
            return {}

    async def _show_sums(self) -> None:
        from wormbin.pages.bin import learned
        from wormbin.pages.page import GAP, Heading, lines
        from wormbin.pages.sums import list_row
        from wormbin.tui.widgets.page_lines import Parts

        view, ascii = self.view, self.wormbin.ascii
        if view is None:
            return
        try:
            found = self._numbers = await self.ask(lambda farm: bins.every_number(farm, self.key))
        except RefusedError:
            return
        await self.query_one("#sums", Parts).show(
            lines([Heading("Every number of this bin", aside="  Enter opens one, and again what it is made of"), GAP]),
            lines([list_row(each, ascii=ascii) for _, each in found]), lines([GAP, *learned(view)]), ascii=ascii,
        )  # fmt: skip

    @on(Row.Chosen)
    def number_chosen(self, event: Row.Chosen) -> None:
        """Open one of all numbers."""
        self._explain(*self._numbers[event.index])

    def on_gauges_opened(self, event: Gauges.Opened) -> None:
        """Open one number."""
        self.in_background(partial(self._open_number, event.code), "page")

    async def _open_number(self, code: str) -> None:
        if (working := await self.understood(lambda farm: bins.working(farm, self.key, code))) is not None:
            self._explain(code, working)

    def _explain(self, code: str, working: Working) -> None:
        of = f"{self._name_known}, {self.view.on.isoformat()}" if self.view is not None else self._name_known
        self.open("sums", "A number explained", (working,), of=of, file=f"{self.key}-{code.replace('_', '-')}.html")

    # what a key does
    def action_tab(self, name: str) -> None:
        """Go to a place within the bin."""
        self.tab = name

    def action_zoom(self, by: int) -> None:
        """Show more or fewer days."""
        self._see(self.seen.zoomed(by))

    def action_pan(self, by: int) -> None:
        """Show earlier or later days."""
        self._see(self.seen.panned(by))

    def action_next_chart(self) -> None:
        """Show other quantities."""
        if (ahead := self._ahead()) is not None:
            ahead.turn()

    def shown_what_if(self, view: WhatIfView | None) -> None:
        """Draw the other future over the look-ahead."""
        self.what_if = view
        if view is not None:
            self.tab = "ahead"
        self._show_charts()

    def action_details(self) -> None:
        """All findings in full."""
        if self.view is not None:
            self.open_findings(self.view, self.view.bin.name)

    def action_back(self) -> None:
        """From a filter or a what-if to none, from a tab to now, from now to the round."""
        if self.tab == "log" and self._log().leave_filter():
            return
        if self.tab != "now":
            self.what_if = None
            self.tab = "now"
        elif self.app.screen_stack[0] is not self:
            self.dismiss(None)
        elif self.app.screen is self:
            self.open("round")  # the only bin was the first screen of all


def _place(name: str) -> Widget:
    if name == "ahead":
        from wormbin.tui.widgets.charts import AheadPlace

        return AheadPlace(id=name)
    if name == "log":
        from wormbin.tui.widgets.log_place import LogPlace

        return LogPlace(id=name)
    from wormbin.tui.widgets.page_lines import Parts

    return Parts(id=name)
