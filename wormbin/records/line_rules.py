"""All that can be wrong with a line of either book, found in one pass: each field by what it holds, then the whole."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import Any

from wormbin.problems import Problem
from wormbin.records.bins import Bin
from wormbin.records.entries import LOG_KINDS, Check, Comparison, Entry, Guess, Move, Note, Portion, Sample
from wormbin.records.ids import ID_RULE, KEY_RULE, is_id, is_key
from wormbin.records.kinds.castings import LOT_KINDS, Cost, Heat, Measured, Order
from wormbin.records.kinds.fields import Description, Field, Of
from wormbin.records.limits import (
    FAR_OFF,
    FIRST_YEAR,
    LOT_LENGTH,
    LOT_RULE,
    MOST_LINES,
    MOST_SEEN,
    NAME_LENGTH,
    NOON,
    NOTE_LENGTH,
    PERCENT,
    WORD_LENGTH,
    Problems,
    count,
    mass,
    shown,
    text,
    within,
)
from wormbin.records.lots import Line, LotLine, described

HEAP_M = 0.10
"""How far contents may be heaped above the rim of a box and stay in it (ours)."""


@dataclass(frozen=True, slots=True)
class _Known:
    """What a line is held against; None leaves it unchecked. ``bin`` is the line's own, where it is known."""

    kind: Description[Any]
    bin: Bin | None
    bins: Collection[str] | None
    materials: Collection[str] | None


def _amount(field: Field, value: float | None, _known: _Known) -> Problems:
    return mass(field.called, value, above=not field.nothing)


def _worms(field: Field, value: float | None, known: _Known) -> Problems:
    return mass(field.called, abs(value) if known.kind.outwards and value else value, above=not field.nothing)


def _portions(field: Field, portions: Sequence[Portion], known: _Known) -> Problems:
    if not portions:
        yield Problem(field.called, "", "at least one thing with its amount", field.example)
    for portion in portions:
        name = portion.material or field.called
        yield from mass(f"amount of {name}", portion.kg)
        yield from within(f"moisture of {name}", portion.moisture, 0.0, 1.0, "65 %", PERCENT)
        yield from text("amount as said", portion.said, NAME_LENGTH)
        if not portion.material:
            yield Problem("material", "", "the name of a material", "coffee-grounds")
        elif known.materials is not None and portion.material not in known.materials:
            yield Problem("material", portion.material, "a material of the table or one of your own", "coffee-grounds")


def _samples(field: Field, samples: Sequence[Sample], known: _Known) -> Problems:
    if not samples:
        yield Problem(field.called, "", "at least one sample with its area and worms", "46 g in 225 cm2")
    highest = (known.bin.surface_m2 if known.bin else 0.0) or 100.0
    for number, sample in enumerate(samples, 1):
        name = f"sample {number}"
        yield from within(f"area of {name}", sample.area_m2, 0.0, highest, "225 cm2", (10_000.0, " cm2"), above=True)
        yield from mass(f"worms in {name}", sample.worms_kg, above=False)
        yield from count(f"worms in {name}", sample.worms_count, least=0)
        yield from text("amount as said", sample.said, NAME_LENGTH)
        if sample.worms_kg is None and sample.worms_count is None:
            yield Problem(f"worms in {name}", "", "a mass or a count of worms", "46 g")


def _number(scale: tuple[float, str], *, above: bool = False) -> _Rule:
    def rule(field: Field, value: float | None, _known: _Known) -> Problems:
        low, high = field.low or 0.0, field.high or 0.0
        return within(field.called, value, low, high, field.example, scale, above=above)

    return rule


def _words(field: Field, words: Sequence[str], _known: _Known) -> Problems:
    if len(words) > MOST_SEEN:
        yield Problem(field.called, f"{len(words)} things", f"up to {MOST_SEEN}", field.example)
    for each in words:
        yield from text(field.called, each, WORD_LENGTH)


def _bin(field: Field, key: str, known: _Known) -> Problems:
    if not key and field.at not in known.kind.required:
        return
    if not is_key(key) or (known.bins is not None and key not in known.bins):
        yield Problem(field.called, key, _one_of(known.bins), "attic")


def _bins(field: Field, keys: Sequence[str], known: _Known) -> Problems:
    if not keys or len(set(keys)) != len(keys):
        yield Problem(field.called, ", ".join(keys), "one or more other bins, each once", field.example)
    for key in keys:
        yield from _bin(field, key, known)


def _lot(_field: Field, name: str, _known: _Known) -> Problems:
    if name:
        yield from lot_name_problems(name)


_Rule = Callable[[Field, Any, _Known], Problems]
_RULES: Mapping[Of, _Rule] = {
    Of.MASS: _amount, Of.WATER: _amount, Of.CASTINGS: _amount, Of.OUT_OF_LOT: _amount, Of.WORMS: _worms,
    Of.PORTIONS: _portions, Of.PORTION: _amount, Of.SAMPLES: _samples, Of.WORDS: _words, Of.BIN: _bin,
    Of.BINS: _bins, Of.LOT: _lot,
    Of.VOLUME: _number((1.0, " L"), above=True), Of.LENGTH: _number((100.0, " cm")), Of.SHARE: _number(PERCENT),
    Of.TEMPERATURE: _number((1.0, " °C")), Of.NUMBER: _number((1.0, "")),
    Of.WORD: lambda field, words, _known: text(field.called, words, int(field.high or WORD_LENGTH)),
}  # fmt: skip
"""The rule for what a field holds; what has none here is held by its type, or by the rules of its kind below."""


_EVERY: tuple[Description[Any], ...] = (*LOG_KINDS.values(), *LOT_KINDS.values())
_OF_KIND: Mapping[type[Any], Sequence[tuple[_Rule, Field]]] = {
    kind.what: [(_RULES[each.of], each) for each in kind.fields if each.at and each.of in _RULES] for kind in _EVERY
}


def _check(line: Line, what: Check, known: _Known) -> Problems:
    if known.bin is not None:
        yield from _heap(what.contents_m, known.bin.depth_m * (1 if known.bin.sideways else known.bin.compartments))
    if replace(what, moisture_by=None) == Check() and not line.note:
        yield Problem("check", "", "at least one thing that was seen or measured", "--squeeze damp")


def _heap(contents_m: float | None, box_m: float) -> Problems:
    """One problem when contents are deeper than their box (with its trays) and a small heap, and not only mistyped."""
    field = next(each for each in described(Check()).fields if each.at == "contents_m")
    if contents_m is None or not box_m + HEAP_M + 1e-9 < contents_m <= (field.high or 0.0):
        return
    cm = (100.0, " cm")
    deepest, box, heap = (shown(each, *cm) for each in (box_m + HEAP_M, box_m, HEAP_M))
    allowed = f"0 to {deepest}. The box is {box} deep, and a heap stands up to {heap} above its rim"
    yield Problem(field.called, shown(contents_m, *cm), allowed, field.example)


def _move(line: Line, what: Move, _known: _Known) -> Problems:
    if isinstance(line, Entry) and what.other == line.bin:
        yield Problem("other bin", what.other, f"another bin than {line.bin}", "attic")


def _note(line: Line, what: Note, _known: _Known) -> Problems:
    first, last = what.unknown_from, what.unknown_until
    if first is None and last is None:
        if not line.note:
            yield Problem("note", "", "some words", "moved the bin into the shade")
    elif first is None or last is None:
        missing = "unknown from" if first is None else "unknown until"
        yield Problem(missing, "", "the first and the last day that you do not know", "2026-03-02")
    elif not date(FIRST_YEAR, 1, 1) <= first <= last <= line.when.date():
        days = f"{first.isoformat()} to {last.isoformat()}"
        allowed = f"days from {FIRST_YEAR} up to the day of the line, the first one first"
        yield Problem("unknown days", days, allowed, "2026-03-02 to 2026-03-20")


def _guess(_line: Line, what: Guess, _known: _Known) -> Problems:
    if what == Guess():
        yield Problem("guess", "", "a moisture, worms or a day", "--moisture 75")
    if what.harvest is not None and not FIRST_YEAR <= what.harvest.year <= FAR_OFF.year:
        yield Problem("harvest", what.harvest.isoformat(), f"a day from {FIRST_YEAR} to {FAR_OFF.year}", "2026-12-10")


def _comparison(line: Line, what: Comparison, _known: _Known) -> Problems:
    if isinstance(line, Entry) and line.bin in what.others:
        yield Problem("other bins", line.bin, f"other bins than {line.bin}", "leaves")
    if not what.question:
        yield Problem("question", "", "what it is to answer, in a few words", "does paper beat leaves?")
    if not line.when.date() < what.until <= FAR_OFF.date():
        allowed = f"a day after its first, {line.when.date().isoformat()}"
        yield Problem("until", what.until.isoformat(), allowed, "2026-12-18")


def _measured(_line: Line, what: Measured, _known: _Known) -> Problems:
    if what.kg is None and what.litres is None and what.moisture is None:
        yield Problem("measured", "", "a mass, a volume or a moisture", "--mass 12kg")


def _order(line: Line, what: Order, _known: _Known) -> Problems:
    last = line.when.date() + timedelta(days=2 * 366)
    if not line.when.date() <= what.due <= last:
        yield Problem("due", what.due.isoformat(), f"a day from the order's on to {last.isoformat()}", "2026-05-01")


def _heat(_line: Line, what: Heat, _known: _Known) -> Problems:
    if what.temp_c is None and not what.turned:
        yield Problem("pile", "", "a temperature, or that it was turned", "--temp 58C")


def _cost(_line: Line, what: Cost, _known: _Known) -> Problems:
    if what.price is None and what.hours is None:
        yield Problem("cost", "", "money spent, or hours", "--price 24")
    if what.bin and what.of_lot:
        yield Problem("cost", what.of_lot, "a bin or a lot that it was for, not both", what.bin)


_ACROSS: Mapping[type[Any], Callable[[Line, Any, _Known], Problems]] = {
    Check: _check,
    Comparison: _comparison,
    Move: _move,
    Note: _note,
    Guess: _guess,
    Measured: _measured,
    Heat: _heat,
    Order: _order,
    Cost: _cost,
}
"""The rules that hold across the fields of a kind."""


def _what(line: Line, known: _Known) -> Problems:
    what = line.what
    for rule, field in _OF_KIND[type(what)]:
        yield from rule(field, getattr(what, field.at), known)
    if (across := _ACROSS.get(type(what))) is not None:
        yield from across(line, what, known)
    yield from count("worms", getattr(what, "worms_count", None))
    yield from text("amount as said", getattr(what, "said", ""), NAME_LENGTH)


def _one_of(bins: Collection[str] | None) -> str:
    if bins is None:
        return KEY_RULE
    return "one of your bins: " + ", ".join(sorted(bins)) if bins else "one of your bins. There is none yet"


def lot_name_problems(name: str) -> Problems:
    """What is wrong with the name of a lot."""
    if not name or len(name) > LOT_LENGTH or name[0] == "-":
        yield Problem("lot", name[:60], LOT_RULE, "spring-26")


def _moment(moment: datetime, now: datetime) -> Problems:
    """What is wrong with the moment of a line; ``now`` is aware."""
    example = "2026-03-02T18:10"
    if moment.utcoffset() is None:
        yield Problem("when", moment.isoformat(), "a time with its offset from UTC", "2026-03-02T18:10+01:00")
    elif moment.year < FIRST_YEAR:
        yield Problem("when", moment.isoformat(timespec="minutes"), f"a day from {FIRST_YEAR} on", example)
    elif moment > now + timedelta(days=1):
        latest = (now + timedelta(days=1)).date().isoformat()
        yield Problem("when", moment.isoformat(timespec="minutes"), f"a day up to tomorrow, {latest}", example)


def _place(line: Line) -> Problems:
    """What is wrong with a line's place in its book: at noon when nobody said a time, and counted from 1."""
    if line.day_only and line.when.time() != NOON:
        read = line.when.isoformat()
        yield Problem("when", read, "12:00 in a line whose time nobody said", "2026-03-02T12:00:00+01:00")
    if not 0 <= line.order <= MOST_LINES:
        yield Problem("order", str(line.order), f"a whole number from 1 to {MOST_LINES:,}", "17")


def line_problems(
    line: Line, bins: Sequence[Bin] | None, now: datetime, materials: Collection[str] | None = None
) -> tuple[Problem, ...]:
    """All that is wrong with a line: SI ranges, known bin, compartment or lot, time, text lengths.

    ``bins`` and ``materials`` (keys) are what is known; None leaves that unchecked. ``now`` is aware. How much is in a
    lot is for the castings room to say, since it takes the whole book.
    """

    def found() -> Problems:
        keys = None if bins is None else [each.key for each in bins]
        one = None
        if not is_id(line.id):
            yield Problem("entry", line.id, ID_RULE, "7k3q9x2mfa")
        if line.replaces and not is_id(line.replaces):
            yield Problem("replaces", line.replaces, ID_RULE, "7k3q9x2mfa")
        if isinstance(line, LotLine):
            yield from lot_name_problems(line.lot)
        else:
            one = next((each for each in bins or () if each.key == line.bin), None)
            if not is_key(line.bin) or (keys is not None and line.bin not in keys):
                yield Problem("bin", line.bin, _one_of(keys), "kitchen")
        yield from _moment(line.when, now)
        yield from _place(line)
        if isinstance(line, Entry):
            highest = one.compartments if one is not None else 5
            if not 0 <= line.compartment <= highest:
                yield Problem("compartment", str(line.compartment), f"a number from 1 to {highest}", "1")
        yield from _what(line, _Known(described(line.what), one, keys, materials))
        yield from text("by", line.by, WORD_LENGTH)
        yield from text("note", line.note, NOTE_LENGTH)
        if line.struck is not None:
            yield from text("why it was struck", line.struck.why, NOTE_LENGTH)
            yield from text("who struck it", line.struck.by, WORD_LENGTH)

    return tuple(found())
