"""One bin: what to do now, the bin cut open beside its gauges; ahead; its log; any number opened."""

from __future__ import annotations

from functools import partial
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.reactive import reactive
from textual.widgets import ContentSwitcher, Footer, Static

from wormbin.drawing.chart import chart_key
from wormbin.farm.proposals import WhatIfView
from wormbin.farm.views import BinView, Dated, RoundRow
from wormbin.problems import RefusedError
from wormbin.tui.bin_actions import BinActions
from wormbin.tui.bin_lines import dates_line, finding_lines, harvest_lines, head_pieces, log_line_lines
from wormbin.tui.future_lines import overlays
from wormbin.tui.messages import EntryRecorded, FarmChanged
from wormbin.tui.place import Hand
from wormbin.tui.showing import Piece, line_of, lines_of, said
from wormbin.tui.widgets.chart_wall import ChartWall
from wormbin.tui.widgets.charts import Range
from wormbin.tui.widgets.cut import CutPicture
from wormbin.tui.widgets.do_now import DoNow
from wormbin.tui.widgets.gauges import Gauges
from wormbin.tui.widgets.log_place import LogPlace
from wormbin.tui.widgets.page_lines import PageLines
from wormbin.tui.widgets.tab_line import TabLine
from wormbin.tui.working_lines import working_lines

TABS = (("now", "n", "now"), ("ahead", "a", "ahead"), ("log", "l", "log"), ("sums", "o", "numbers opened"))


class BinScreen(BinActions):
    """Shows one ``BinView``; every change to the bin comes back as a new one."""

    HELP = (
        "One bin. What to do now stands first. Below it the bin cut open, and its gauges: a disc is a reading, a "
        "lozenge is worked out; the shaded part is where the true value lies eight times in ten, the brackets are the "
        "band to be in. The arrows choose a gauge, Enter opens its number to the sum behind it. Ahead shows the days "
        "to come, log every line, numbers opened every sum."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("n", "tab('now')", "now", show=False),
        Binding("a", "tab('ahead')", "ahead"),
        Binding("l", "tab('log')", "log"),
        Binding("o", "tab('sums')", "numbers opened", show=False),
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
    seen: reactive[Range] = reactive(Range(), init=False)

    def __init__(self, key: str, row: RoundRow | None = None) -> None:
        super().__init__()
        self.key = key
        self._row = row
        self.view: BinView | None = None
        self.what_if: WhatIfView | None = None

    def compose(self) -> ComposeResult:
        """Head, tabs, and one place for each tab."""
        yield Static(id="head")
        yield TabLine(TABS, self.tab, id="tabs")
        with ContentSwitcher(initial="now", id="places"):
            with Vertical(id="now"):
                yield DoNow(id="do")
                with Horizontal(id="pair"):
                    yield CutPicture(id="cut")
                    with Vertical(id="side"):
                        yield Gauges(id="gauges")
                        yield Static(id="dates")
                yield ChartWall(at_most=2, id="now-charts")
            with Vertical(id="ahead"):
                yield ChartWall(id="charts")
                yield Static(id="castings")
                yield Static(id="chart-key")
            yield LogPlace(id="log")
            with VerticalScroll(id="sums"):
                yield PageLines(id="workings")
        yield Footer(show_command_palette=False)

    def on_mount(self) -> None:
        """Ask for the bin."""
        self.query_one("#do", DoNow).clear("Working out how this bin is …")
        self.query_one(Gauges).focus()
        self.reload()

    def reload(self) -> None:
        """Ask for the bin anew; what is shown stays until it is there."""
        self.in_background(self._load, "load")

    async def _load(self) -> None:
        day = self.wormbin.on
        try:
            if self.view is None:
                if self._row is None:
                    self._row = await self.ask(
                        lambda farm: next((r for r in farm.rows(day) if r.bin == self.key), None)
                    )
                if self._row is not None:
                    self._show_row(self._row)
            self.view = await self.ask(lambda farm: farm.look(self.key, day))
        except RefusedError as refused:
            self.query_one("#do", DoNow).clear(str(refused))
            return
        self._show_now(self.view)
        self._show_tab()

    def _show_row(self, row: RoundRow) -> None:
        """What to do is known from the round before the pictures are worked out."""
        self.query_one("#head", Static).update(line_of([said(f" {row.name}", "title"), ("  working out …", "dim")]))
        worst = row.findings[0] if row.findings else None
        self.query_one("#do", DoNow).show(
            title="do now" if row.do else "nothing to do now",
            level=row.level,
            headline=row.headline,
            do=row.do,
            why=worst.why if worst else "",
            sure=worst.sure if worst else "",
            more=max(len(row.findings) - 1, 0),
            ascii=self.wormbin.ascii,
        )

    def _show_now(self, view: BinView) -> None:
        program = self.wormbin
        ascii, units = program.ascii, program.units
        self.query_one("#head", Static).update(line_of(head_pieces(view, program.demo, program.by, ascii=ascii)))
        worst = view.findings[0] if view.findings else None
        self.query_one("#do", DoNow).show(
            title="do now" if view.do_now or view.emergency else "nothing to do now",
            level=view.level,
            headline=view.headline,
            do=view.emergency or view.do_now,
            why=worst.why if worst else "",
            sure=worst.sure if worst else "",
            more=max(len(view.findings) - 1, 0),
            ascii=ascii,
        )
        self.query_one(CutPicture).show_cut(view.cut, ascii=ascii, us=units == "us")
        self.query_one(Gauges).show_gauges(view.gauges, ascii=ascii, units=units)
        self.query_one("#dates", Static).update(lines_of(dates_line(view)))
        self.query_one("#now-charts", ChartWall).show_charts(
            view.charts[:2], self.seen, ascii=ascii, units=units, over=self._over()
        )

    def in_hand(self) -> Hand:
        """This bin."""
        if self.view is None:
            return Hand(self.key, self.key)
        return Hand(self.key, self.view.bin.name, self.view.bin.compartments)

    def last_words(self) -> dict[str, str]:
        """What the last check said."""
        return dict(self.view.last_words) if self.view is not None else {}

    # tabs
    @on(TabLine.Picked)
    def tab_picked(self, event: TabLine.Picked) -> None:
        """A click on a tab."""
        self.tab = event.code

    def watch_tab(self) -> None:
        """Go to another place within the bin."""
        self.query_one("#places", ContentSwitcher).current = self.tab
        self.query_one(TabLine).show(self.tab)
        if self.tab == "now":
            self.query_one(Gauges).focus()
        elif self.tab == "sums":
            self.query_one("#sums").focus()
        elif self.tab == "ahead":
            self.set_focus(None)
        else:
            self.query_one(LogPlace).listen()
        self._show_tab()

    def watch_seen(self) -> None:
        """Other days are to be seen."""
        self._show_charts()

    def _show_tab(self) -> None:
        if self.view is None:
            return
        if self.tab == "ahead":
            self._show_charts()
        elif self.tab == "log":
            self.query_one(LogPlace).ask_again()
        elif self.tab == "sums":
            self.in_background(self._show_sums, "tab")

    def _over(self) -> dict[str, tuple[Dated, ...]]:
        return overlays(self.what_if) if self.what_if is not None else {}

    def _show_charts(self) -> None:
        view = self.view
        if view is None or not view.charts:
            return
        program = self.wormbin
        for name, charts in (("#charts", view.charts), ("#now-charts", view.charts[:2])):
            self.query_one(name, ChartWall).show_charts(
                charts, self.seen, ascii=program.ascii, units=program.units, over=self._over()
            )
        self.query_one("#castings", Static).update(line_of([(" castings ", "dim"), said(view.harvest.words, "strong")]))
        words = " + - days  arrows pan  m others  w what if   "
        width = max(self.size.width - len(words) - 1, 1)
        self.query_one("#chart-key", Static).update(
            line_of([(words, "dim"), (chart_key(width, ascii=program.ascii), "dim")])
        )

    @on(LogPlace.Wanted)
    def log_wanted(self, event: LogPlace.Wanted) -> None:
        """Other lines are to be shown."""
        self.in_background(partial(self._show_log, event.kind, event.word), "tab")

    async def _show_log(self, kind: str, word: str) -> None:
        try:
            lines = await self.ask(lambda farm: farm.log(self.key, kind=kind, word=word))
        except RefusedError:
            return
        self.query_one(LogPlace).show_log(lines, ascii=self.wormbin.ascii)

    @on(LogPlace.LineChosen)
    async def line_chosen(self, event: LogPlace.LineChosen) -> None:
        """Open a line, put it right, or strike it through."""
        from wormbin.tui.line_actions import line_form

        if event.what == "open":
            from wormbin.tui.screens.reading import ReadingScreen

            self.app.push_screen(ReadingScreen("A line of the log", log_line_lines(event.line)))
            return
        if not event.line.stands:
            self.notify("This line no longer counts: it was struck or put right already.", markup=False)
            return
        try:
            form = await line_form(self, self.in_hand(), event.line, event.what)
        except RefusedError as refused:
            self.notify(str(refused), severity="warning", markup=False)
            return
        self.app.push_screen(form, self.written)

    async def _show_sums(self) -> None:
        view, on = self.view, self.wormbin.on
        if view is None:
            return
        lines: list[list[Piece]] = []
        for code in [gauge.code for gauge in view.gauges]:
            try:
                working = await self.ask(lambda farm, code=code: farm.working(self.key, code, on))  # type: ignore[misc]
            except RefusedError:
                continue
            lines += working_lines(working)
        lines.append([("What the log has taught about this bin", "title")])
        lines += [[said(f"   {words}")] for words in view.learned]
        for doubt in view.doubts:
            lines.append([("   ? ", "questioned"), said(doubt.words)])
        self.query_one("#workings", PageLines).show(lines)

    @on(Gauges.Opened)
    def gauge_opened(self, event: Gauges.Opened) -> None:
        """Open one number."""
        self.in_background(partial(self._open_number, event.code), "page")

    async def _open_number(self, code: str) -> None:
        from wormbin.tui.screens.reading import ReadingScreen

        on = self.wormbin.on
        try:
            working = await self.ask(lambda farm: farm.working(self.key, code, on))
        except RefusedError as refused:
            self.notify(str(refused), markup=False)
            return
        self.app.push_screen(ReadingScreen("A number opened", working_lines(working)))

    # what a key does
    def action_tab(self, name: str) -> None:
        """Go to a place within the bin."""
        self.tab = name

    def action_zoom(self, by: int) -> None:
        """Show more or fewer days."""
        self.seen = self.seen.zoomed(by)

    def action_pan(self, by: int) -> None:
        """Show earlier or later days."""
        self.seen = self.seen.panned(by)

    def action_next_chart(self) -> None:
        """Show other quantities."""
        self.query_one("#charts", ChartWall).turn()

    def shown_what_if(self, view: WhatIfView | None) -> None:
        """Draw the other future over the look-ahead."""
        self.what_if = view
        if view is not None:
            self.tab = "ahead"
        self._show_charts()

    def action_details(self) -> None:
        """All findings in full."""
        if self.view is not None:
            from wormbin.tui.screens.reading import ReadingScreen

            lines = finding_lines(self.view.findings, ascii=self.wormbin.ascii) + harvest_lines(self.view.harvest)
            self.app.push_screen(ReadingScreen(f"{self.view.bin.name}: every finding", lines))

    def action_back(self) -> None:
        """From a filter or a what-if to none, from a tab to now, from now to the round."""
        if self.tab == "log" and self.query_one(LogPlace).leave_filter():
            return
        if self.tab != "now":
            self.what_if = None
            self.tab = "now"
        else:
            self.dismiss(None)

    def on_farm_changed(self, _: FarmChanged) -> None:
        """Somebody else wrote."""
        self.reload()

    def on_entry_recorded(self, event: EntryRecorded) -> None:
        """Say what was saved, and look again."""
        self.notify(event.recorded.sentence, markup=False)
        for words in event.recorded.warnings:
            self.notify(words, severity="warning", markup=False)
        self.reload()
