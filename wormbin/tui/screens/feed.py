"""The feeding form: what is in the bucket, and beside it what that would do to the bin, before anything is saved."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widgets import Input, Static

from wormbin.drawing.marks import plain
from wormbin.farm.doorway import HeldBackError
from wormbin.farm.proposals import FeedingPreview, Heading
from wormbin.farm.views import Recorded
from wormbin.problems import RefusedError
from wormbin.tui.desk import SAVE
from wormbin.tui.place import Form
from wormbin.tui.preview_lines import bucket_lines, preview_lines
from wormbin.tui.showing import line_of, lines_of, said
from wormbin.tui.widgets.name_suggester import NameSuggester
from wormbin.tui.widgets.word_field import WordField


class FeedForm(Form[Recorded]):
    """Collects portions in the keeper's words; Enter puts one in the bucket, Enter on an empty line saves."""

    HELP = (
        "Type what is in the bucket, one thing a line: 300 g melon rind, 2 cups coffee grounds. Enter puts it in, the "
        "right arrow takes the name that is offered. At the right stands what the feeding would do. Enter on an empty "
        "line saves; a feeding that is too much is held back until you press Enter once more."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "leave"),
        Binding("ctrl+l", "same_as_last", "same as last time"),
        Binding("ctrl+b", "usual_bucket", "usual bucket"),
        Binding("ctrl+t", "take_advice", "feed this much instead"),
        Binding("ctrl+r", "take_out", "take the last thing out"),
    ]

    def __init__(self, key: str, name: str) -> None:
        super().__init__()
        self.key = key
        self._bin_name = name
        self.bucket: list[str] = []
        self.preview: FeedingPreview | None = None
        self._anyway = False
        self._leaving = False
        self._usual = -1

    def compose(self) -> ComposeResult:
        """The bucket at the left, what it does at the right."""
        names = NameSuggester(self._finish)
        with Vertical(classes="sheet"):
            yield Static(line_of([said(f"Feed: {self._bin_name}", "title")]))
            with Horizontal(id="pair"):
                with Vertical(id="bucket-side"):
                    yield Static(id="bucket")
                    yield WordField("put in", "300 g melon rind", suggester=names, id="portion")
                    yield WordField("bedding with it", "60 g shredded cardboard", suggester=names, id="bedding")
                    yield WordField("water with it", "0.5 L", id="water")
                    yield WordField("note", "", id="note")
                with VerticalScroll(id="after", can_focus=False):
                    yield Static(id="effect")
            yield Static(id="trouble", classes="trouble")
            yield Static(
                lines_of(
                    [
                        [("Enter put in; on an empty line: save   ^L same as last   ^B usual bucket", "dim")],
                        [("^T feed the advised amount   ^R take out   Esc leave", "dim")],
                    ]
                ),
                id="keys",
            )

    async def on_mount(self) -> None:
        """Offer what was half filled; show how much may be fed at all."""
        draft = await self.ask(lambda farm: dict(farm.draft(self._draft_name)))
        if draft:
            self.bucket = [words for words in draft.get("bucket", "").split("\n") if words]
            for name in ("portion", "bedding", "water", "note"):
                self.query_one(f"#{name}", WordField).value = draft.get(name, "")
            self._say("Half filled before: carry on, or Esc twice to drop it.")
        self.query_one("#portion", WordField).input.focus()
        self.look_again()

    @property
    def _draft_name(self) -> str:
        return f"feed-{self.key}"

    def _word(self, name: str) -> str:
        return self.query_one(f"#{name}", WordField).value

    async def _finish(self, words: str) -> str | None:
        return await self.ask(lambda farm: farm.complete_portion(words))

    def _say(self, *sentences: str) -> None:
        self.query_one("#trouble", Static).update(lines_of([said(plain(words), "watch")] for words in sentences))

    # the panel beside the bucket
    def look_again(self) -> None:
        """Ask what the bucket as it stands would do."""
        self.run_worker(self._look(), exclusive=True, group="preview", exit_on_error=False)

    async def _look(self) -> None:
        portions = [*self.bucket]
        bedding = [words for words in [self._word("bedding")] if words]
        water = self._word("water")
        try:
            preview = await self.ask(
                lambda farm: farm.preview_feeding(self.key, portions, bedding=bedding, water=water)
            )
        except RefusedError as refused:
            if self.preview is None or self.focused is None:
                self._say(*(problem.sentence() for problem in refused.problems))
            return
        self.preview = preview
        self.query_one("#bucket", Static).update(lines_of(bucket_lines(preview, self.bucket)))
        self.query_one("#effect", Static).update(lines_of(preview_lines(preview, ascii=self.wormbin.ascii)))

    @on(Input.Changed)
    def changed(self) -> None:
        """The bedding or the water may have changed what the feeding does."""
        self._leaving = self._anyway = False
        self.look_again()

    @on(Input.Submitted)
    async def submitted(self, event: Input.Submitted) -> None:
        """Put the line in the bucket; an empty line, or Enter in another field, saves."""
        event.stop()
        words = self._word("portion")
        if words:
            await self._put_in(words)
        else:
            await self._save()

    async def _put_in(self, words: str) -> None:
        candidate = [*self.bucket, words]
        try:
            await self.ask(lambda farm: farm.preview_feeding(self.key, candidate))
        except RefusedError as refused:
            self._say(*(problem.sentence() for problem in refused.problems))
            return
        self.bucket = candidate
        self.query_one("#portion", WordField).value = ""
        self._say("")
        self.look_again()

    async def _save(self) -> None:
        bedding = [words for words in [self._word("bedding")] if words]
        water, heading, anyway = self._word("water"), Heading(note=self._word("note")), self._anyway
        if not self.bucket and not bedding and not water:
            self._say("Nothing in the bucket yet. Example: 300 g melon rind")
            return
        portions = list(self.bucket)
        try:
            recorded = await self.ask(
                lambda farm: farm.record_feeding(
                    self.key, portions, bedding=bedding, water=water, heading=heading, anyway=anyway
                ),
                SAVE,
            )
        except HeldBackError as held:
            self._anyway = True
            self._say(
                plain(held.preview.verdict), "^T feeds the advised amount instead; Enter again saves it all the same."
            )
            return
        except RefusedError as refused:
            self._say(*(problem.sentence() for problem in refused.problems))
            return
        await self.ask(lambda farm: farm.drop_draft(self._draft_name), SAVE)
        self.dismiss(recorded)

    # one-key helps
    async def action_same_as_last(self) -> None:
        """Fill the bucket with what was fed last time."""
        last = await self.ask(lambda farm: farm.last_bucket(self.key))
        if not last:
            self._say("Nothing has been fed in this bin yet.")
            return
        self.bucket = list(last)
        self.look_again()

    async def action_usual_bucket(self) -> None:
        """Fill the bucket with the next of the usual ones."""
        buckets = (await self.ask(lambda farm: farm.settings())).buckets
        if not buckets:
            self._say(
                "No usual bucket is set. Example: wormbin settings bucket.sunday='300 g melon rind; 2 cups coffee'"
            )
            return
        self._usual = (self._usual + 1) % len(buckets)
        self.bucket = list(buckets[self._usual].portions)
        self._say(f"Usual bucket: {buckets[self._usual].name}")
        self.look_again()

    async def action_take_advice(self) -> None:
        """Scale the bucket to what may be fed, and take the bedding that is proposed."""
        preview = self.preview
        if preview is None or not self.bucket:
            return
        instead = await self.ask(lambda farm: farm.advised_bucket(preview))
        self.bucket = list(instead.portions)
        self.query_one("#bedding", WordField).value = instead.bedding
        self.query_one("#water", WordField).value = instead.water
        self._say(instead.words)
        self._anyway = False
        self.look_again()

    def action_take_out(self) -> None:
        """Take the last thing out of the bucket again."""
        if self.bucket:
            self.query_one("#portion", WordField).value = self.bucket.pop()
            self.look_again()

    # leaving
    def fields(self) -> dict[str, str]:
        """What is filled in so far."""
        found = {name: self._word(name) for name in ("portion", "bedding", "water", "note")}
        found["bucket"] = "\n".join(self.bucket)
        return {name: words for name, words in found.items() if words}

    async def action_leave(self) -> None:
        """Leave at once when nothing is filled in; else ask once."""
        if self.fields() and not self._leaving:
            self._leaving = True
            self._say("Not saved. Esc again drops what is filled in.")
            return
        await self.ask(lambda farm: farm.drop_draft(self._draft_name), SAVE)
        self.dismiss(None)

    async def keep_draft(self) -> None:
        """The program is ending: keep what is half filled for the next start."""
        if fields := self.fields():
            await self.ask(lambda farm: farm.save_draft(self._draft_name, fields), SAVE)
