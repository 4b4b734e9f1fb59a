"""Catching up after forgotten days: what was likely fed is offered day by day; what is not known stays not known."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.events import Key
from textual.widgets import Static

from wormbin.drawing.marks import plain
from wormbin.farm import recording
from wormbin.farm.recording.gaps import GapView
from wormbin.farm.recording.lines import record_caught_up, record_not_known
from wormbin.tui.form import FilledForm
from wormbin.tui.place import Hand, acting
from wormbin.tui.themes import Piece, line_of, said
from wormbin.tui.widgets.fields import WordField
from wormbin.tui.widgets.line_list import LineList


class CatchUpForm(FilledForm):
    """Space ticks a day on which the bucket was given; ``^N`` writes that nothing is known."""

    HELP = (
        "These days have no line. Space ticks the days on which you gave the bucket above. Enter writes them all at "
        "once. Nobody knows? ^N writes a note that says so. The estimates are then wider, and these days are not "
        "asked about again. Strike the note, and they are. The newest days come first: Left goes to older ones, "
        "Right back."
    )
    KEYS = (("Space", "tick"),)
    AUTO_FOCUS = "LineList"
    SHEET = "middling"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "save", "write the ticked days", priority=True),
        Binding("ctrl+n", "not_known", "nothing is known of these days"),
        Binding("left", "other_days(1)", "older days"),
        Binding("right", "other_days(-1)", "newer days"),
    ]

    heading = "Catching up"
    draft_name = "catch-up"

    def __init__(self, hand: Hand) -> None:
        super().__init__(hand)
        self.gaps: tuple[GapView, ...] = ()
        self.at = 0
        self.ticked: set[int] = set()

    @property
    def gap(self) -> GapView | None:
        """The days looked at; None when none are missing."""
        return self.gaps[self.at] if self.gaps else None

    def parts(self) -> ComposeResult:
        """What the gap is, the bucket, the days."""
        yield Static(id="about")
        yield WordField("given each day", "300 g melon rind", id="bucket")
        yield LineList(self._line, id="lines")

    async def on_mount(self) -> None:
        """Ask which days are missing."""
        if (gaps := await self.understood(lambda farm: recording.forgotten(farm, self.hand.key))) is None:
            return
        self.gaps = gaps
        if not gaps:
            self.query_one("#about", Static).update(line_of([("No days are missing from this log.", "good")]))
            return
        self._look_at(0)
        await self.offer_draft()

    def _look_at(self, place: int) -> None:
        """Show the days of one gap, with the bucket that was usual then."""
        self.at, gap = place, self.gaps[place]
        self.ticked = set()
        ways = [
            words for words, there in (("Left older", place + 1 < len(self.gaps)), ("Right newer", place > 0)) if there
        ]
        which = f" ({place + 1} of {len(self.gaps)}: {', '.join(ways)})" if ways else ""
        self.query_one("#about", Static).update(line_of([said(gap.words + which)]))
        self.query_one("#bucket", WordField).value = gap.bucket
        self.query_one(LineList).show(len(gap.days), 0)

    def action_other_days(self, step: int) -> None:
        """To the older or newer days that are missing; what is ticked here is written or unticked first."""
        place = self.at + step
        if self.ticked:
            self.say("Write the ticked days first (Enter), or untick them (Space).")
        elif 0 <= place < len(self.gaps):
            self.say("")
            self._look_at(place)
        elif self.gaps:
            self.say("No older days are missing." if step > 0 else "No newer days are missing.")

    def _line(self, index: int, width: int) -> list[Piece]:
        if self.gap is None or index >= len(self.gap.days):
            return []
        day = self.gap.days[index]
        on = index in self.ticked
        tick = "[x]" if on else "[ ]"
        words = "feeding day" if day in self.gap.likely else ""
        return [
            (f" {tick} {day:%a} {day.isoformat()}  ", "strong" if on else ""),
            (plain(words, max(width - 22, 0)), "dim"),
        ]

    def on_key(self, event: Key) -> None:
        """Space ticks."""
        if event.key == "space" and self.focused is self.query_one(LineList) and self.gap is not None:
            event.stop()
            lines = self.query_one(LineList)
            self.ticked ^= {lines.cursor}
            self.gone_on()
            lines.action_move(1)
            lines.refresh()

    def fields(self) -> dict[str, str]:
        """The ticked days."""
        if not self.ticked or self.gap is None:
            return {}
        days = [self.gap.days[at].isoformat() for at in sorted(self.ticked)]
        return {"days": " ".join(days), "bucket": self.word("bucket")}

    def fill(self, fields: Mapping[str, str]) -> None:
        """Tick again what was ticked before."""
        if self.gap is None:
            return
        days = fields.get("days", "").split()
        for place, gap in enumerate(self.gaps):
            if found := {at for at, day in enumerate(gap.days) if day.isoformat() in days}:
                self._look_at(place)
                self.ticked = found
                break
        self.query_one("#bucket", WordField).value = fields.get("bucket", self.gap.bucket)
        self.query_one(LineList).refresh()

    @acting
    async def action_save(self) -> None:
        """Write a feeding for each ticked day: all of them or none."""
        if self.gap is None or not self.ticked:
            self.say("No day is ticked: Space ticks one.")
            return
        days = [self.gap.days[at] for at in sorted(self.ticked)]
        words, by = self.word("bucket"), self.wormbin.by
        await self.save(lambda farm: record_caught_up(farm, self.hand.key, days, words, by))

    @acting
    async def action_not_known(self) -> None:
        """Write that nothing is known of these days."""
        if (gap := self.gap) is None:
            return
        by = self.wormbin.by
        await self.save(lambda farm: record_not_known(farm, self.hand.key, gap, by))
