"""Made-up bins and entries that the door lets in, for round trips through files."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone
from typing import Any

from hypothesis import assume, strategies as st

from wormbin.problems import RefusedError
from wormbin.records.bins import NOTHING_MORE, Bin
from wormbin.records.door import admit_entry, admit_lot_line
from wormbin.records.entries import (
    Bedding,
    Check,
    Draining,
    Entry,
    Feeding,
    Fluff,
    Harvest,
    MoistureBy,
    Note,
    Portion,
    Sample,
    Squeeze,
    Stocking,
    Strike,
    Survey,
    Watering,
    Weighing,
)
from wormbin.records.ids import content_id
from wormbin.records.kinds.castings import Bad, Cost, Heat, Left, Load, Opened, Piled, PileWay, Released
from wormbin.records.limits import NOON
from wormbin.records.lots import LotLine, LotStep, Measured, Sale, Stepped, Use

NOW = datetime(2026, 6, 1, 12, tzinfo=UTC)
KITCHEN = Bin("kitchen", "Kitchen", 0.6, 0.4, 0.3, date(2026, 1, 1), compartments=3)
ATTIC = Bin("attic", "Attic “box”", None, None, 0.3, date(2026, 1, 1), area_m2=0.2)
BINS = (KITCHEN, ATTIC)

# Text that spreadsheets and parsers trip over, mixed with anything else.
NASTY = st.sampled_from(
    ["=1+1", "+x", "-x", "@a", "'=1", "''", "a,b", 'say "hi"', "two\nlines", "[b]x[/b]", "ünïcode 🪱", "ש", "'", "\\;,"]
)
TEXT = NASTY | st.text(st.characters(exclude_categories=["Cs"]), max_size=15)
KG = st.floats(1e-4, 5000)
MATERIAL = st.sampled_from(["rabbit-manure", "straw"])
SHARE = st.floats(0, 1)
MOMENTS = st.datetimes(
    min_value=datetime(2026, 1, 2),  # noqa: DTZ001 - hypothesis wants bounds without an offset
    max_value=datetime(2026, 5, 30),  # noqa: DTZ001
    timezones=st.integers(-14 * 60, 14 * 60).map(lambda minutes: timezone(timedelta(minutes=minutes))),
)
PORTIONS = st.lists(
    st.builds(Portion, st.sampled_from(["coffee-grounds", "newspaper", "melon-rind"]), KG, TEXT, st.none() | SHARE),
    min_size=1,
    max_size=3,
).map(tuple)
CHECKS = st.builds(
    Check, SHARE, st.sampled_from(MoistureBy), st.none() | st.sampled_from(Squeeze), st.none() | st.floats(-20, 70),
    st.none() | SHARE, st.none() | st.floats(0, 0.3), TEXT, st.lists(TEXT.filter(str.strip), max_size=3).map(tuple),
    st.none() | st.floats(0, 14),
)  # fmt: skip
SAMPLES = st.builds(
    Sample, st.floats(0.001, 0.05), KG | st.just(0.0), st.none() | st.integers(0, 500), TEXT
) | st.builds(Sample, st.floats(0.001, 0.05), st.none(), st.integers(0, 500), TEXT)
DAYS = st.dates(date(1990, 1, 1), date(1999, 12, 31))
WHATS: st.SearchStrategy[Any] = st.one_of(
    st.builds(Feeding, PORTIONS),
    st.builds(Bedding, PORTIONS),
    CHECKS,
    st.builds(Stocking, KG | KG.map(lambda kg: -kg), st.none() | st.integers(1, 1000), TEXT),
    st.builds(Watering, KG, TEXT),
    st.builds(Draining, KG, TEXT),
    st.builds(Weighing, KG, st.booleans(), TEXT),
    st.builds(Survey, st.lists(SAMPLES, min_size=1, max_size=3).map(tuple)),
    st.builds(Harvest, KG, st.none() | SHARE, st.none() | KG, TEXT),
    st.just(Fluff()),
    st.just(Note()),
    st.tuples(DAYS, DAYS).map(lambda days: Note(min(days), max(days))),
)
LOOSE = st.dictionaries(st.sampled_from(["colour", "x"]), TEXT | st.floats(-9, 9) | st.booleans(), max_size=2)


@st.composite
def entries(draw: st.DrawFn) -> Entry:
    """One entry as the door keeps it."""
    what = draw(WHATS)
    note = draw(TEXT)
    if isinstance(what, Note) and not note.strip():
        note = "words"
    loose = draw(LOOSE)
    made = Entry(
        id=content_id({"id": draw(st.uuids())}, 0),
        bin="kitchen",
        when=draw(MOMENTS),
        what=what,
        by=draw(TEXT),
        note=note,
        compartment=draw(st.integers(0, 3)),
        struck=draw(st.none() | st.builds(Strike, TEXT, TEXT, MOMENTS)),
        extra=loose or NOTHING_MORE,
        order=draw(st.integers(0, 10**12)),
    )
    if draw(st.booleans()):
        made = replace(made, when=datetime.combine(made.when, NOON, made.when.tzinfo), day_only=True)
    try:
        kept = admit_entry(made, BINS, NOW)
    except RefusedError:
        assume(False)  # a note of unseen letters is none
        raise
    # What is not seen is not written: words that were nothing but unseen letters.
    assume(not isinstance(kept.what, Check) or "" not in kept.what.seen)
    return kept


LOT_WHATS: st.SearchStrategy[Any] = st.one_of(
    st.builds(Stepped, st.sampled_from(LotStep), st.none() | KG, st.none() | KG, st.none() | SHARE, TEXT),
    st.builds(Measured, KG, st.none() | KG, st.none() | SHARE, TEXT),
    st.builds(Sale, KG, TEXT, st.none() | st.floats(0, 1e6), TEXT, TEXT),
    st.builds(Use, KG, TEXT, TEXT),
    st.builds(Load, MATERIAL, KG, TEXT, st.none() | st.floats(0, 1e6), st.none() | SHARE, TEXT, TEXT),
    st.builds(Opened),
    st.builds(Left, KG, TEXT),
    st.builds(Bad, TEXT),
    st.builds(Piled, MATERIAL, KG, st.sampled_from(PileWay), TEXT),
    st.builds(Heat, st.floats(-20, 95), st.booleans()),
    st.builds(Released, MATERIAL, KG, TEXT),
    st.builds(Cost, st.floats(0, 1e6), st.none() | st.floats(0, 1e4), st.sampled_from(["", "kitchen"])),
    st.builds(Cost, st.floats(0, 1e6), of_lot=st.sampled_from(["", "spring"])),
)


@st.composite
def lot_lines(draw: st.DrawFn) -> LotLine:
    """One line of the castings book as the door keeps it."""
    made = LotLine(
        id=content_id({"id": draw(st.uuids())}, 0),
        lot=draw(st.sampled_from(["spring", "=1+1", "'x", "ünïcode 🪱", "two words"])),
        when=draw(MOMENTS),
        what=draw(LOT_WHATS),
        by=draw(TEXT),
        note=draw(TEXT),
        struck=draw(st.none() | st.builds(Strike, TEXT, TEXT, MOMENTS)),
        extra=draw(LOOSE) or NOTHING_MORE,
        order=draw(st.integers(0, 10**12)),
    )
    if draw(st.booleans()):
        made = replace(made, when=datetime.combine(made.when, NOON, made.when.tzinfo), day_only=True)
    return admit_lot_line(made, BINS, NOW)


LOTS = st.lists(lot_lines(), max_size=8, unique_by=lambda line: line.id)
LOGS = st.lists(entries(), max_size=8, unique_by=lambda entry: entry.id)
