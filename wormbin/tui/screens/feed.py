"""The feeding form: what is in the bucket, and beside it what that would do to the bin, before anything is saved."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import Any, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widgets import Input, Static

from wormbin.farm import bins, feedings
from wormbin.farm.errors import HeldBackError
from wormbin.farm.heading import Heading
from wormbin.farm.recording.lines import record_feeding
from wormbin.farm.session import Session
from wormbin.farm.views.bin import Recorded
from wormbin.pages.feeding import allowance, bucket, feeding
from wormbin.pages.page import lines
from wormbin.problems import MissingError, Problem, RefusedError
from wormbin.tui.desk import SAVE
from wormbin.tui.form import FilledForm
from wormbin.tui.place import Hand, acting
from wormbin.tui.themes import lines_of
from wormbin.tui.widgets.fields import NameField, NameSuggester, WordField
from wormbin.tui.widgets.page_lines import PageLines

BEDDING_ALONE = "Bedding or water alone: Esc, then e."


class FeedForm(FilledForm):
    """Collects portions in the keeper's words; Enter puts one in the bucket, Enter on an empty line saves."""

    HELP = (
        "Type what is in the bucket, one thing a line: 300 g melon rind, 2 cups coffee grounds. Enter puts it in. "
        "The right arrow takes the name that is offered. At the right stands what the feeding would do. Enter on an "
        "empty line saves. Too much? Then it asks: Enter once more writes it down. ^O explains the numbers: what "
        "went in, formula, source."
    )
    KEYS = (("Enter", "put in; empty: save"), ("Tab", "next"))
    SIDE = "#after"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+l", "same_as_last", "same as last"),
        Binding("ctrl+b", "usual_bucket", "usual bucket"),
        Binding("ctrl+r", "take_out", "take out"),
        Binding("ctrl+t", "take_advice", "as advised"),
        Binding("ctrl+o", "open_sums", "numbers"),
    ]

    heading = "Feed"
    draft_name = "feed"

    def __init__(self, hand: Hand, **right: Any) -> None:
        super().__init__(hand, **right)
        self.key = hand.key
        self.bucket: list[str] = []
        self.preview: feedings.FeedingPreview | None = None
        self._anyway = False
        self._usual = -1

    def parts(self) -> ComposeResult:
        """The bucket at the left, what it does at the right."""
        feeds, beddings = (NameSuggester(partial(self.finish, role)) for role in ("feed", "bedding"))
        with Horizontal(id="pair"):
            with Vertical(id="bucket-side"):
                yield Static(id="bucket")
                yield from self.who()
                yield WordField("put in", "300 g melon rind", suggester=feeds, id="portion")
                yield WordField("bedding", "60 g cardboard", suggester=beddings, id="bedding")
                yield WordField("water", "0.5 L", id="water")
                yield WordField("note", "", id="note")
                if self.hand.compartments > 1:
                    yield WordField(f"part, 1 to {self.hand.compartments}", "1", id="part")
                yield WordField("not now?", "yesterday", id="when")
            with VerticalScroll(id="after", can_focus=False):
                yield PageLines(id="effect")

    async def on_mount(self) -> None:
        """Offer what was half filled; show how much may be fed at all."""
        await self.offer_draft()
        if self.replaces and len(self.bucket) > 1:
            self.say("Several things are in the bucket. ^R takes one out, to type what is right over it.")
        await self.offer_name(self.key, "feeding")
        self.look_again()

    def fill(self, fields: Mapping[str, str]) -> None:
        """Put back what was filled in before."""
        super().fill(fields)
        self.bucket = [words for words in re.split("[;\n] *", fields.get("bucket", "")) if words]
        if self.replaces and len(self.bucket) == 1 and not self.word("portion"):
            self._take_out()

    # the panel beside the bucket
    def look_again(self) -> None:
        """Ask what the bucket as it stands would do."""
        self.in_background(self._look, "preview")

    async def _look(self) -> None:
        typed, bedding, water = self.word("portion"), self.word("bedding"), self.word("water")
        beddings = [bedding] if bedding else []
        # What is half typed is left out until it can be understood, so that the panel never goes blank.
        tries = ([*self.bucket, typed] if typed else [], beddings, water), (self.bucket, beddings, water)
        for portions, with_bedding, with_water in (*tries, (self.bucket, [], "")):
            preview = await self._previewed(portions, with_bedding, with_water) if portions else None
            if preview is not None:
                self.preview = preview
                self.query_one("#bucket", Static).update(lines_of(lines(bucket(preview))))
                self.show_page(feeding(preview))
                return
        self.preview = None
        self.query_one("#bucket", Static).update(lines_of(lines(bucket(None))))
        await self._show_allowance()

    async def _previewed(
        self, portions: Sequence[str], bedding: Sequence[str], water: str
    ) -> feedings.FeedingPreview | None:
        now = replace(self.entry_heading(), when="")
        # A day that is half typed is taken for now, so that the panel never goes blank.
        for heading in (self.entry_heading(), now):
            try:
                return await self.ask(partial(_preview, self.key, portions, bedding, water, heading))
            except RefusedError:
                continue
        return None

    async def _show_allowance(self) -> None:
        """Before anything is in the bucket: how much may be fed at all."""
        if (view := await self.understood(lambda farm: bins.look(farm, self.key))) is not None:
            self.show_page(allowance(view))

    @on(Input.Changed)
    def changed(self) -> None:
        """The bedding or the water may have changed what the feeding does."""
        self._anyway = False
        self.look_again()

    @on(Input.Submitted)
    @acting
    async def submitted(self, event: Input.Submitted) -> None:
        """Put the line in the bucket; an empty line, or Enter in another field, saves."""
        if isinstance(event.input.parent, NameField):
            self.focus_next()
            return
        words = self.word("portion")
        if words:
            await self._put_in(words)
        else:
            await self._save()

    def _asked_once(self, missing: MissingError, recorded: Recorded | None) -> None:
        """What the word in the line means is kept now: the line goes in at once."""
        words = self.word("portion")
        if recorded is None or not words:
            super()._asked_once(missing, recorded)
        else:
            self.act(partial(self._put_in, words, f"Kept: {recorded.sentence}."))

    async def _put_in(self, words: str, kept: str = "") -> None:
        candidate = [*self.bucket, words]
        if await self._understood(candidate):
            self.bucket = candidate
            self.query_one("#portion", WordField).value = ""
            self.say(kept, role="good")
            self.look_again()

    async def _understood(self, portions: Sequence[str]) -> bool:
        """Whether they can be put in; else what is refused is said."""
        return await self.understood(lambda farm: feedings.preview(farm, self.key, portions)) is not None

    async def _save(self) -> None:
        bedding = [words for words in [self.word("bedding")] if words]
        water = self.word("water")
        anyway = self._anyway
        if not self.bucket:
            self.say("Nothing in the bucket yet. Example: 300 g melon rind.", BEDDING_ALONE)
            return
        portions, heading = list(self.bucket), await self.signed_heading()
        if heading is None:
            return
        try:
            recorded = await self.ask(
                lambda farm: record_feeding(
                    farm, self.key, portions, bedding=bedding, water=water, heading=heading, anyway=anyway
                ),
                SAVE,
            )
        except HeldBackError as held:
            self._anyway = True
            self.say(
                f"{held.preview.verdict}.", "Already in? Press Enter again to write it down. ^T puts in what is right."
            )
            return
        except RefusedError as refused:
            self.refuse(refused)
            return
        await self.saved(recorded)

    # one-key helps
    @acting
    async def action_same_as_last(self) -> None:
        """Fill the bucket with what was fed last time."""
        last = await self.ask(lambda farm: feedings.last_bucket(farm, self.key))
        if not last:
            self.say("Nothing has been fed in this bin yet.")
            return
        self.bucket = list(last)
        self.look_again()

    @acting
    async def action_usual_bucket(self) -> None:
        """Fill the bucket with the next of the usual ones."""
        buckets = (await self.ask(lambda farm: farm.settings())).buckets
        if not buckets:
            nothing = Problem("bucket", "", "what is in your usual bucket", "300 g melon rind")
            self.refuse(MissingError("bucket", "usual", nothing))
            return
        self._usual = (self._usual + 1) % len(buckets)
        self.bucket = list(buckets[self._usual].portions)
        self.say(f"Usual bucket: {buckets[self._usual].name}")
        self.look_again()

    @acting
    async def action_take_advice(self) -> None:
        """Scale the bucket to what may be fed, and take the bedding that is proposed."""
        preview = self.preview
        if preview is None:
            self.say(f"Nothing is in the bucket that could be cut down. {await self._up_to()}")
            return
        instead = await self.ask(lambda farm: feedings.advised_bucket(farm, preview))
        if not instead.portions:
            # An empty bucket could not be saved, and what was filled in would have to be typed again another day.
            self.say(
                f"{instead.words[:1].upper()}{instead.words[1:]}. What you filled in stays as it is.", BEDDING_ALONE
            )
            return
        self.bucket = list(instead.portions)
        self.query_one("#portion", WordField).value = ""
        self.query_one("#bedding", WordField).value = instead.bedding
        self.query_one("#water", WordField).value = instead.water
        self.say(instead.words)
        self._anyway = False
        self.look_again()

    async def _up_to(self) -> str:
        """How much may be fed today, in a sentence."""
        view = await self.ask(lambda farm: bins.look(farm, self.key))
        return f"Up to {view.feed_up_to_words} today." if view.feed_up_to_kg > 0 else "Feed nothing today."

    @acting
    async def action_take_out(self) -> None:
        """Take the last thing out of the bucket again; what is in the line goes back in, as the first."""
        words = self.word("portion")
        if self.bucket and (not words or await self._understood([words])):
            self.bucket[:0] = [words] if words else []
            self._take_out()
            self.look_again()

    def _take_out(self) -> None:
        """The last thing of the bucket stands in the line, and what is typed takes its place."""
        line = self.query_one("#portion", WordField)
        line.value = self.bucket.pop()
        line.input.focus()
        line.input.action_select_all()

    def action_open_sums(self) -> None:
        """Every number that the panel stands on: what is to be added, then the bin as it is now."""
        self.in_background(self._open_sums, "page")

    async def _open_sums(self) -> None:
        opened = self.preview.opened if self.preview is not None else ()
        now = await self.ask(lambda farm: bins.every_number(farm, self.key))
        every = [*opened, *(working for _, working in now)]
        self.open("sums", f"Feed {self.hand.name}: what to add, then the bin as it is now", every, of=self.hand.name)

    # leaving
    def fields(self) -> dict[str, str]:
        """What is filled in so far."""
        return {**super().fields(), **({"bucket": "; ".join(self.bucket)} if self.bucket else {})}


def _preview(
    key: str, portions: Sequence[str], bedding: Sequence[str], water: str, heading: Heading, farm: Session
) -> feedings.FeedingPreview:
    return feedings.preview(farm, key, portions, bedding=bedding, water=water, heading=heading)
