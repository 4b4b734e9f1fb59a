"""All that can be wrong with a line of the log, found in one pass."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from datetime import date, datetime, timedelta

from wormbin.problems import Problem
from wormbin.records.bins import Bin
from wormbin.records.entries import (
    Bedding,
    Check,
    Draining,
    Entry,
    Feeding,
    Harvest,
    Move,
    Note,
    Portion,
    Stocking,
    Survey,
    Watering,
    Weighing,
)
from wormbin.records.ids import ID_RULE, KEY_RULE, is_id, is_key
from wormbin.records.limits import (
    FIRST_YEAR,
    LOT_LENGTH,
    LOT_RULE,
    MOST_BEHIND,
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


def _portions(what: str, portions: Sequence[Portion], materials: Collection[str] | None) -> Problems:
    if not portions:
        yield Problem(what, "", "at least one material with its amount", "300 g melon rind")
    for portion in portions:
        name = portion.material or what
        yield from mass(f"amount of {name}", portion.kg)
        yield from within(f"moisture of {name}", portion.moisture, 0.0, 1.0, "65 %", PERCENT)
        yield from text("amount as said", portion.said, NAME_LENGTH)
        if not portion.material:
            yield Problem("material", "", "the name of a material", "coffee-grounds")
        elif materials is not None and portion.material not in materials:
            yield Problem("material", portion.material, "a material of the table or one of your own", "coffee-grounds")


HEAP_M = 0.10
"""How far contents may be heaped above the rim of a box and stay in it (ours)."""
_DEEPEST_M = 3.0


def _depth(contents_m: float | None, box_m: float | None) -> Problems:
    """One problem when contents are deeper than anybody's box, or than this one (with its trays) and a small heap."""
    name, cm = "depth of the contents", (100.0, " cm")
    found = tuple(within(name, contents_m, 0.0, _DEEPEST_M, "18 cm", cm))
    yield from found
    if found or contents_m is None or box_m is None or contents_m <= box_m + HEAP_M + 1e-9:
        return
    deepest, box, heap = (shown(each, *cm) for each in (box_m + HEAP_M, box_m, HEAP_M))
    allowed = f"0 to {deepest}, as the box is {box} deep and a heap stands at most {heap} above its rim"
    yield Problem(name, shown(contents_m, *cm), allowed, "18 cm")


def _check(what: Check, note: str, bin_depth_m: float | None) -> Problems:
    yield from within("moisture", what.moisture, 0.0, 1.0, "82 %", PERCENT)
    yield from within("temperature", what.temp_c, -20.0, 70.0, "21 °C", (1.0, " °C"))
    yield from within("left of the last feeding", what.left, 0.0, 1.0, "30 %", PERCENT)
    yield from _depth(what.contents_m, bin_depth_m)
    yield from within("pH", what.ph, 0.0, 14.0, "7.1")
    yield from text("smell", what.smell, WORD_LENGTH)
    if len(what.seen) > MOST_SEEN:
        yield Problem("seen", f"{len(what.seen)} things", f"up to {MOST_SEEN}", "mites")
    for each in what.seen:
        yield from text("seen", each, WORD_LENGTH)
    readings = (what.moisture, what.squeeze, what.temp_c, what.left, what.contents_m, what.ph)
    if all(each is None for each in readings) and not (what.smell or what.seen or note):
        yield Problem("check", "", "at least one thing that was seen or measured", "--squeeze damp")


def _survey(what: Survey, surface_m2: float | None) -> Problems:
    if not what.samples:
        yield Problem("samples", "", "at least one sample with its area and worms", "46 g in 225 cm2")
    for number, sample in enumerate(what.samples, 1):
        name = f"sample {number}"
        highest = surface_m2 if surface_m2 else 100.0
        yield from within(f"area of {name}", sample.area_m2, 0.0, highest, "225 cm2", (10_000.0, " cm2"), above=True)
        yield from mass(f"worms in {name}", sample.worms_kg, above=False)
        yield from count(f"worms in {name}", sample.worms_count, least=0)
        if sample.worms_kg is None and sample.worms_count is None:
            yield Problem(f"worms in {name}", "", "a mass or a count of worms", "46 g")


def _move(entry: Entry, what: Move, bins: Collection[str] | None) -> Problems:
    yield from mass("worms moved", what.worms_kg)
    if what.other == entry.bin:
        yield Problem("other bin", what.other, "a bin other than the one that the worms come from", "attic")
    elif not is_key(what.other) or (bins is not None and what.other not in bins):
        yield Problem("other bin", what.other, _known(bins), "attic")


def _known(bins: Collection[str] | None) -> str:
    if bins is None:
        return KEY_RULE
    return "one of your bins: " + ", ".join(sorted(bins)) if bins else "one of your bins, and there is none yet"


def _what(entry: Entry, one: Bin | None, bins: Collection[str] | None, materials: Collection[str] | None) -> Problems:
    what = entry.what
    if isinstance(what, Feeding):
        yield from _portions("feed", what.portions, materials)
    elif isinstance(what, Bedding):
        yield from _portions("bedding", what.portions, materials)
    elif isinstance(what, Check):
        yield from _check(what, entry.note, one.depth_m * _stacked(one) if one else None)
    elif isinstance(what, Stocking):
        yield from mass("worms", abs(what.worms_kg) if math.isfinite(what.worms_kg) else what.worms_kg)
        yield from count("worms", what.worms_count)
    elif isinstance(what, Watering | Draining):
        yield from mass("water", what.kg)
    elif isinstance(what, Weighing):
        yield from mass("weight", what.kg)
    elif isinstance(what, Survey):
        yield from _survey(what, one.surface_m2 if one else None)
    elif isinstance(what, Move):
        yield from _move(entry, what, bins)
    elif isinstance(what, Harvest):
        yield from mass("castings", what.castings_kg)
        yield from within("moisture", what.moisture, 0.0, 1.0, "65 %", PERCENT)
        yield from mass("worms lost", what.worms_out_kg, above=False)
        yield from within("castings left behind", what.left_behind, 0.0, MOST_BEHIND, "30 %", PERCENT)
        if what.lot:
            yield from lot_name_problems(what.lot)
    elif isinstance(what, Note):
        yield from _note(what, entry)
    yield from text("amount as said", getattr(what, "said", ""), NAME_LENGTH)


def _note(what: Note, entry: Entry) -> Problems:
    first, last = what.unknown_from, what.unknown_until
    if first is None and last is None:
        if not entry.note:
            yield Problem("note", "", "some words", "moved the bin into the shade")
    elif first is None or last is None:
        missing = "unknown from" if first is None else "unknown until"
        yield Problem(missing, "", "the first and the last day of which nothing is known", "2026-03-02")
    elif not date(FIRST_YEAR, 1, 1) <= first <= last <= entry.when.date():
        days = f"{first.isoformat()} to {last.isoformat()}"
        allowed = f"days from {FIRST_YEAR} on up to the day of the line, the first one first"
        yield Problem("unknown days", days, allowed, "2026-03-02 to 2026-03-20")


def place_problems(when: datetime, day_only: bool, order: int) -> Problems:
    """What is wrong with a line's place in its book: at noon when nobody said a time, and counted from 1."""
    if day_only and when.time() != NOON:
        yield Problem("when", when.isoformat(), "12:00 in a line whose time nobody said", "2026-03-02T12:00:00+01:00")
    if not 0 <= order <= MOST_LINES:
        yield Problem("order", str(order), f"a whole number from 1 to {MOST_LINES:,}", "17")


def lot_name_problems(name: str) -> Problems:
    """What is wrong with the name of a lot."""
    if not name or len(name) > LOT_LENGTH or name[0] == "-":
        yield Problem("lot", name[:60], LOT_RULE, "spring-26")


def _stacked(one: Bin) -> int:
    return 1 if one.sideways else one.compartments


def moment_problems(field: str, moment: datetime, now: datetime) -> Problems:
    """What is wrong with the moment of a line; ``now`` is aware."""
    example = "2026-03-02T18:10"
    if moment.utcoffset() is None:
        yield Problem(field, moment.isoformat(), "a time with its offset from UTC", "2026-03-02T18:10+01:00")
    elif moment.year < FIRST_YEAR:
        yield Problem(field, moment.isoformat(timespec="minutes"), f"a day from {FIRST_YEAR} on", example)
    elif moment > now + timedelta(days=1):
        latest = (now + timedelta(days=1)).date().isoformat()
        yield Problem(field, moment.isoformat(timespec="minutes"), f"a day up to tomorrow, {latest}", example)


def entry_problems(
    entry: Entry, bins: Sequence[Bin] | None, now: datetime, materials: Collection[str] | None = None
) -> tuple[Problem, ...]:
    """All that is wrong with a line: SI ranges, known bin, compartment, time, text lengths.

    ``bins`` and ``materials`` (keys) are what is known; None leaves that unchecked. ``now`` is aware.
    """

    def found() -> Problems:
        keys = None if bins is None else [each.key for each in bins]
        one = next((each for each in bins or () if each.key == entry.bin), None)
        if not is_id(entry.id):
            yield Problem("entry", entry.id, ID_RULE, "7k3q9x2mfa")
        if entry.replaces and not is_id(entry.replaces):
            yield Problem("replaces", entry.replaces, ID_RULE, "7k3q9x2mfa")
        if not is_key(entry.bin) or (keys is not None and entry.bin not in keys):
            yield Problem("bin", entry.bin, _known(keys), "kitchen")
        yield from moment_problems("when", entry.when, now)
        yield from place_problems(entry.when, entry.day_only, entry.order)
        highest = one.compartments if one is not None else 5
        if not 0 <= entry.compartment <= highest:
            yield Problem("compartment", str(entry.compartment), f"a number from 1 to {highest}", "1")
        yield from _what(entry, one, keys, materials)
        yield from text("by", entry.by, WORD_LENGTH)
        yield from text("note", entry.note, NOTE_LENGTH)
        if entry.struck is not None:
            yield from text("why it was struck", entry.struck.why, NOTE_LENGTH)
            yield from text("who struck it", entry.struck.by, WORD_LENGTH)

    return tuple(found())
