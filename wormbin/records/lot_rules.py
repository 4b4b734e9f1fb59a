"""All that can be wrong with a line of the castings book, found in one pass."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from wormbin.problems import Problem
from wormbin.records.bins import Bin
from wormbin.records.entry_rules import lot_name_problems, moment_problems, place_problems
from wormbin.records.ids import ID_RULE, KEY_RULE, is_id, is_key
from wormbin.records.limits import NAME_LENGTH, NOTE_LENGTH, PERCENT, WORD_LENGTH, Problems, mass, text, within
from wormbin.records.lots import Intake, LotLine, LotWhat, Measured, Sale, Stepped, Use

MOST_LITRES = 1_000_000.0
MOST_MONEY = 1e9


def _readings(what: Stepped | Measured) -> Problems:
    yield from mass("mass", what.kg)
    yield from within("volume", what.litres, 0.0, MOST_LITRES, "12 L", (1.0, " L"), above=True)
    yield from within("moisture", what.moisture, 0.0, 1.0, "60 %", PERCENT)


def _what(what: LotWhat, bins: Sequence[Bin] | None) -> Problems:
    if isinstance(what, Intake):
        keys = None if bins is None else [each.key for each in bins]
        if not is_key(what.source) or (keys is not None and what.source not in keys):
            known = (
                KEY_RULE if keys is None else "one of your bins: " + (", ".join(sorted(keys)) or "there is none yet")
            )
            yield Problem("source", what.source, known, "kitchen")
        yield from mass("castings", what.kg)
        yield from within("moisture", what.moisture, 0.0, 1.0, "65 %", PERCENT)
    elif isinstance(what, Stepped | Measured):
        yield from _readings(what)
        if isinstance(what, Measured) and what.kg is None and what.litres is None and what.moisture is None:
            yield Problem("measured", "", "a mass, a volume or a moisture", "--mass 12kg")
    elif isinstance(what, Sale | Use):
        yield from mass("amount", what.kg)
        yield from text("for", what.purpose, NAME_LENGTH)
        if isinstance(what, Sale):
            yield from within("price", what.price, 0.0, MOST_MONEY, "24.50")
    yield from text("amount as said", what.said, NAME_LENGTH)


def lot_line_problems(line: LotLine, bins: Sequence[Bin] | None, now: datetime) -> tuple[Problem, ...]:
    """All that is wrong with a line: SI ranges, the lot's name, known bin, time, text lengths.

    ``bins`` are the bins that are known; None leaves that unchecked. ``now`` is aware. How much is in the lot is for
    the castings room to say, since it takes the whole book.
    """

    def found() -> Problems:
        if not is_id(line.id):
            yield Problem("entry", line.id, ID_RULE, "7k3q9x2mfa")
        if line.replaces and not is_id(line.replaces):
            yield Problem("replaces", line.replaces, ID_RULE, "7k3q9x2mfa")
        yield from lot_name_problems(line.lot)
        yield from moment_problems("when", line.when, now)
        yield from place_problems(line.when, line.day_only, line.order)
        yield from _what(line.what, bins)
        yield from text("by", line.by, WORD_LENGTH)
        yield from text("note", line.note, NOTE_LENGTH)
        if line.struck is not None:
            yield from text("why it was struck", line.struck.why, NOTE_LENGTH)
            yield from text("who struck it", line.struck.by, WORD_LENGTH)

    return tuple(found())
