"""A line of the log as the command that would write it, so that it can be said again and put right."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from wormbin.farm.words.spoken import Spoken
from wormbin.farm.words.typed import said_when, typed_line
from wormbin.problems import Problem, RefusedError
from wormbin.records.entries import Entry, Kind, Move
from wormbin.records.lots import Line

_COMMANDS: Mapping[Kind, tuple[str, tuple[str, ...]]] = {
    Kind.STOCKING: ("stock", ("worms",)), Kind.BEDDING: ("bedding", ("portions",)), Kind.FEEDING: ("feed", ("bucket",)),
    Kind.WATERING: ("water", ("amount",)), Kind.DRAINING: ("drain", ("amount",)), Kind.CHECK: ("check", ()),
    Kind.WEIGHING: ("weigh", ("amount",)), Kind.SURVEY: ("survey", ("samples",)), Kind.MOVE: ("move", ("to", "worms")),
    Kind.FLUFF: ("fluff", ()), Kind.NOTE: ("note", ("words",)), Kind.HARVEST: ("harvest", ("castings",)),
}  # fmt: skip
"""The command of each kind, and the fields of its form that stand in it without the name of an option."""
_OPTIONS = {"area": "sample", "box": "with_box", "part": "compartment"}
"""The options that are not called like the field of the form."""
_PARTED = {"bucket": "\n", "portions": ";", "samples": ";"}


@dataclass(frozen=True, slots=True)
class WrongLine:
    """A line that is to be put right: the command with what it is about (bin or lot), the words that it took, its
    options by their names (a switch that was on is "yes"), with when, by whom and the note among them.

    ``when`` reads back as its moment.
    """

    entry: str
    command: tuple[str, ...]
    words: tuple[str, ...]
    options: Mapping[str, str]

    @property
    def when(self) -> str:
        """Its moment, as it would be typed."""
        return self.options["when"]


def wrong_line(line: Line, spoken: Spoken, units: str) -> WrongLine:
    """A line of either book as a command. Refuses the second half of a move, and of a harvest into a lot."""
    if not isinstance(line, Entry):
        from wormbin.farm.words.lots import amendment

        command, words, options = amendment(line, units)
        head = {"when": said_when(line), "by": line.by, "note": line.note}
        return WrongLine(line.id, command, words, {name: said for name, said in {**options, **head}.items() if said})
    if isinstance(line.what, Move) and line.what.into:
        raise RefusedError(
            Problem("entry", line.id, f"the line in the log of {line.what.other}, where the worms went out")
        )
    name, plain = _COMMANDS[line.kind]
    said = dict(typed_line(line, spoken, units).fields)
    words = tuple(
        part.strip() for field in plain for part in said.pop(field, "").split(_PARTED.get(field, "\0")) if part.strip()
    )
    options = {_OPTIONS.get(field, field): each for field, each in said.items() if each != "no"}
    return WrongLine(line.id, (name, line.bin), words, options | ({"by": line.by} if line.by else {}))
