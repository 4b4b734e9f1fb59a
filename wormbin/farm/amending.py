"""A line of the log as the command that would write it, so that it can be said again and put right."""

from __future__ import annotations

from dataclasses import dataclass

from wormbin.farm.feeding_view import typed
from wormbin.farm.typed import said_when
from wormbin.measures import counted
from wormbin.problems import Problem, RefusedError
from wormbin.records.entries import (
    Bedding,
    Check,
    Draining,
    Entry,
    Feeding,
    Fluff,
    Harvest,
    Move,
    Note,
    Stocking,
    Survey,
    Watering,
    Weighing,
)
from wormbin.records.lots import Line


@dataclass(frozen=True, slots=True)
class WrongLine:
    """A line that is to be put right: the command with what it is about (bin or lot), and the words that it took.

    ``when`` reads back as its moment.
    """

    entry: str
    when: str
    note: str
    by: str
    command: tuple[str, ...]
    words: tuple[str, ...]


def wrong_line(line: Line) -> WrongLine:
    """A line of either book as a command. Refuses the second half of a move, and of a harvest into a lot."""
    if isinstance(line, Entry):
        command, words = command_words(line)
        return WrongLine(line.id, said_when(line), line.note, line.by, (command, line.bin), words)
    from wormbin.farm.lot_words import amendment

    command_and_lot, words = amendment(line)
    return WrongLine(line.id, said_when(line), line.note, line.by, command_and_lot, words)


def command_words(entry: Entry) -> tuple[str, tuple[str, ...]]:
    """The command and its words after the bin. Raises RefusedError for the receiving half of a move."""
    what = entry.what
    match what:
        case Feeding(portions) | Bedding(portions):
            words = tuple(f"{each.said or typed(each.kg)} {each.material}" for each in portions)
            return ("feed" if isinstance(what, Feeding) else "bedding"), words
        case Stocking(kg, _count, said):
            return "stock", (said or typed(abs(kg)), *(("--out",) if kg < 0 else ()))
        case Watering(kg, said):
            return "water", (said or typed(kg),)
        case Draining(kg, said):
            return "drain", (said or typed(kg),)
        case Check():
            return "check", ()
        case Weighing(kg, with_box, said):
            return "weigh", (said or typed(kg), *(("--with-box",) if with_box else ()))
        case Survey(samples):
            said_each = tuple(
                each.said
                or (typed(each.worms_kg) if each.worms_kg is not None else counted(each.worms_count or 0, "worm"))
                for each in samples
            )
            return "survey", (*said_each, f"--sample={samples[0].area_m2 * 1e4:g}cm2")
        case Move(kg, other, into, said):
            if into:
                raise RefusedError(
                    Problem("entry", entry.id, f"the line in the log of {other}, where the worms went out")
                )
            return "move", (other, said or typed(kg))
        case Harvest(kg, moisture, _worms, said, _lot):  # the lot stays as it is while it is not named
            wet = () if moisture is None else (f"--moisture={moisture * 100:g}",)
            stayed = () if what.left_behind is None else (f"--left-behind={what.left_behind * 100:g}%",)
            return "harvest", (said or typed(kg), *wet, *stayed)
        case Fluff():
            return "fluff", ()
        case Note():
            return "note", (entry.note,)
