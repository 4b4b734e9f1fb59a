"""A question answered by one key: the choices stand in a line, each with its key; nothing chosen means not said."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from textual.content import Content
from textual.events import Click, Key
from textual.geometry import Size
from textual.message import Message
from textual.widget import Widget

from wormbin.drawing.marks import width_of
from wormbin.tui.showing import Piece, line_of, said


@dataclass(frozen=True, slots=True)
class Choice:
    """One answer: the key that picks it, the word that is written down, and what is shown."""

    key: str
    value: str
    words: str


class ChoiceRow(Widget, can_focus=True):
    """A row of choices; ``several`` lets more than one be picked. Backspace takes the answer back.

    ``hands_on`` lets an answered row pass the focus to the next one, and with it keys that were typed faster than that.
    """

    DEFAULT_CSS = "ChoiceRow { height: auto; width: 1fr; }"

    class Picked(Message):
        """An answer was given or taken back."""

        def __init__(self, row: ChoiceRow) -> None:
            super().__init__()
            self.row = row

        @property
        def control(self) -> ChoiceRow:
            """The row."""
            return self.row

    class Unknown(Message):
        """A key that picks nothing; ``words`` say which do."""

        def __init__(self, row: ChoiceRow, words: str) -> None:
            super().__init__()
            self.row = row
            self.words = words

    def __init__(
        self, label: str, choices: Sequence[Choice], *, several: bool = False, hands_on: bool = False, room: int = 19,
        id: str | None = None,
    ) -> None:  # fmt: skip
        super().__init__(id=id)
        self.label = label
        self.choices = tuple(choices)
        self.several = several
        self._hands_on = hands_on and not several
        self._room = room
        self.last = ""
        self._picked: list[str] = []

    @property
    def value(self) -> str:
        """The words picked, comma between them; empty when nothing was said."""
        return ", ".join(self._picked)

    @value.setter
    def value(self, words: str) -> None:
        said = words.split(",") if self.several else [words]
        self._picked = [word.strip() for word in said if word.strip()]
        self.refresh(layout=True)

    def on_key(self, event: Key) -> None:
        """Pick by key, and hand over when the row does so."""
        focused = self.screen.focused
        if self._hands_on and focused is not None and focused is not self and event.is_printable:
            # Two keys of one read are both sent to the row that had the focus then: this one is for the next row.
            event.stop()
            event.prevent_default()
            focused.post_message(Key(event.key, event.character))
            return
        if event.key in ("backspace", "delete"):
            self._picked = []
        else:
            letter = event.character or ""
            choice = next((each for each in self.choices if each.key == letter), None)
            if choice is None:
                if event.is_printable and letter.isalnum():
                    keys = " ".join(each.key for each in self.choices)
                    self.post_message(self.Unknown(self, f"{self.label}: {letter} picks nothing here; keys: {keys}"))
                return
            self._answer(choice)
        event.stop()
        event.prevent_default()
        self.refresh(layout=True)
        self.post_message(self.Picked(self))

    def _answer(self, choice: Choice) -> None:
        self._pick(choice)
        if self._hands_on:
            self.screen.focus_next()

    def _pick(self, choice: Choice) -> None:
        if not self.several:
            self._picked = [choice.value]
        elif choice.value in self._picked:
            self._picked.remove(choice.value)
        else:
            self._picked.append(choice.value)

    def on_click(self, event: Click) -> None:
        """Pick by mouse."""
        self.focus()
        at, row = 0, 0
        for index, (text, _) in enumerate(self._cells()[: len(self.choices) + 1]):
            width = width_of(text)
            if at and at + width > max(self.size.width, 1):
                at, row = 0, row + 1
            if row == event.y and at <= event.x < at + width and index > 0:
                self._answer(self.choices[index - 1])
                self.refresh(layout=True)
                self.post_message(self.Picked(self))
                return
            at += width

    def _cells(self) -> list[Piece]:
        pieces: list[Piece] = [
            (f"{'>' if self.has_focus else ' '} {self.label:<{self._room}}", "strong" if self.has_focus else "")
        ]
        for choice in self.choices:
            on = choice.value in self._picked
            words = choice.key if choice.words == choice.key else f"{choice.key} {choice.words}"
            text = f"[{words}]" if on else f" {words} "
            pieces.append((text, "title" if on else "" if self.has_focus else "dim"))
        known = {choice.value for choice in self.choices}  # a line put right may say what no key picks
        return pieces + [said(f"[{words}]", "title") for words in self._picked if words not in known]

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """As many lines as the choices take in this width, known before the row has any."""
        return len(self._lines(width))

    def render(self) -> Content:
        """The label, the choices with their keys, and what was said last time."""
        return Content("\n").join([line_of(line) for line in self._lines(self.size.width)])

    def _lines(self, width: int) -> list[list[Piece]]:
        width = max(width, 20)
        lines: list[list[Piece]] = [[]]
        used = 0
        for piece in self._cells():
            if used and used + width_of(piece[0]) > width:
                lines.append([(" " * (self._room + 2), "")])
                used = self._room + 2
            lines[-1].append(piece)
            used += width_of(piece[0])
        if self.last and used + width_of(self.last) + 8 <= width:
            lines[-1].append(said(f"  last: {self.last}", "dim"))
        return lines

    def on_focus(self) -> None:
        """The row that listens is marked."""
        self.refresh()

    def on_blur(self) -> None:
        """And unmarked when it does not."""
        self.refresh()
