"""What every form does alike: it keeps what is half filled, asks before that is dropped, and says what was refused.

A form is never emptied by a refusal, a resize, a second look or the end of the program.
"""

from __future__ import annotations

from asyncio import Event
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, ClassVar

from textual.binding import Binding, BindingType
from textual.widgets import Static

from wormbin.farm import drafts
from wormbin.farm.errors import DoubtedError
from wormbin.farm.views.bin import Recorded
from wormbin.problems import RefusedError
from wormbin.tui.desk import SAVE
from wormbin.tui.place import Form
from wormbin.tui.showing import Piece, lines_of, said

if TYPE_CHECKING:
    from wormbin.farm.session import Session
    from wormbin.tui.widgets.choice_row import ChoiceRow

HALF_FILLED = "Half filled before: carry on, or Esc twice to drop it."
KEEPS = "Enter again keeps it; or change it."
NOT_SAVED = "Not saved. Esc again drops what is filled in; Enter goes on."


class FilledForm(Form[Recorded]):
    """A form that ends with something saved. ``draft_name`` is where it is kept when it is left half filled."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "leave", "leave")]
    draft_name = ""
    _leaving = False
    _asked_of: Mapping[str, str] | None = None

    def fields(self) -> dict[str, str]:
        """What is filled in so far, by field; empty when nothing is."""
        raise NotImplementedError

    def fill(self, fields: Mapping[str, str]) -> None:
        """Put back what was filled in before."""
        raise NotImplementedError

    async def offer_draft(self) -> bool:
        """Fill in what was left half filled, and say so; whether there was any."""
        draft = await self.ask(lambda farm: dict(drafts.read(farm, self.draft_name)))
        if draft:
            self.fill({**draft, **self.fields()})  # what was typed before it came stands
            self.say(HALF_FILLED)
        return bool(draft)

    def say(self, *sentences: str) -> None:
        """What is wrong or asked, until the next thing is said."""
        lines: list[list[Piece]] = [[said(words, "watch")] for words in sentences if words]
        self.query_one("#trouble", Static).update(lines_of(lines))

    def refuse(self, refused: RefusedError) -> None:
        """Say all that was refused, each by the label that its line has here."""
        self.say(*(replace(each, field=self.label_of(each.field)).sentence() for each in refused.problems))

    def label_of(self, field: str) -> str:
        """What a line is called in this form; a field that has no line here keeps its name."""
        name = field.replace("-", "_").replace(" ", "_")
        for line in self.query(f"#{name}") if name.isidentifier() else ():
            return str(getattr(line, "label", field))
        return field

    async def save(self, write: Callable[[Session], Recorded], way: str = KEEPS) -> None:
        """Save, and leave; or say what was refused, or ask about what can hardly be and tell the ``way`` on."""
        try:
            recorded = await self.ask(write, SAVE)
        except DoubtedError as doubt:
            self.doubted(doubt, way)
        except RefusedError as refused:
            self.refuse(refused)
        else:
            await self.saved(recorded)

    def doubted(self, doubt: DoubtedError, way: str = KEEPS) -> None:
        """Ask about what can hardly be; Enter on the same words keeps it."""
        self._asked_of = self.fields()
        self.say(*(each.words for each in doubt.questions), way)

    @property
    def asks(self) -> bool:
        """Whether what can hardly be is asked about: not for the same words a second time."""
        return self._asked_of != self.fields()

    def on_choice_row_unknown(self, event: ChoiceRow.Unknown) -> None:
        """No key is swallowed in silence."""
        self.say(event.words)

    def gone_on(self) -> None:
        """Something was typed or picked: a question about leaving no longer stands."""
        self._leaving = False

    async def settled(self) -> None:
        """Let keys that were typed before an Enter reach their rows, in the order of the rows.

        An Enter that the form itself listens to overtakes them, since it never waits in a row's own queue.
        """
        for row in self.focus_chain:
            reached = Event()
            if row.call_later(reached.set):
                await reached.wait()

    async def saved(self, recorded: Recorded) -> None:
        """It is in the log: nothing is left to keep."""
        await self.ask(lambda farm: drafts.drop(farm, self.draft_name), SAVE)
        self.dismiss(recorded)

    async def action_leave(self) -> None:
        """Leave at once when nothing is filled in; else ask once."""
        if self.fields() and not self._leaving:
            self._leaving = True
            self.say(NOT_SAVED)
            return
        await self.ask(lambda farm: drafts.drop(farm, self.draft_name), SAVE)
        self.dismiss(None)

    async def keep_draft(self) -> None:
        """The program is ending: keep what is half filled for the next start."""
        if fields := self.fields():
            await self.ask(lambda farm: drafts.save(farm, self.draft_name, fields), SAVE)
