"""Records for others: a bed or a lot against the guidance for organic growers, gaps marked; and a bag's label."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from wormbin.castings.inspection import (
    FLOW_DAYS,
    GAP_DAYS,
    LAYERS_DAYS,
    MONTHS,
    OUTDOOR_MONTHS,
    SOURCE,
    BedDay,
    BedRecord,
)
from wormbin.farm.inspection import LabelView, LotRecord
from wormbin.farm.words.log import STEP_WORDS
from wormbin.measures import counted, mass, percent, temperature, volume
from wormbin.pages.days import day
from wormbin.pages.page import GAP, Block, Column, Heading, Sentence, Table
from wormbin.records.lots import LotStep

GUIDANCE = "Guidance, not certification: ask your certifier."
ASKED = (
    f"Asked by {SOURCE}: thin layers every 1 to {LAYERS_DAYS} days, 70-90 % moisture. {MONTHS} months in an indoor "
    f"container or wedge, {FLOW_DAYS} days in continuous flow, {OUTDOOR_MONTHS} months in an outdoor windrow. "
    f"A gap is more than {GAP_DAYS} days without a reading (ours)."
)


def bed(record: BedRecord, units: str, *, days: bool = True) -> Iterator[Block]:
    """A bed's record: what the guidance asks for, what was read, what is missing; then every day."""
    span = f"  {day(record.first)} to {day(record.last)}"
    yield Heading(f"{record.name} ({record.bin}), {record.method.value}", aside=span)
    yield from _summary(record, units)
    if days:
        yield GAP
        columns = (
            Column("day"), Column("fed", right=True), Column("after", right=True), Column("moisture", right=True),
            Column("read by", rank=1), Column("temperature", right=True), Column(""),
        )  # fmt: skip
        yield Table(columns, tuple(_cells(each, units, record) for each in record.days))
        yield GAP
        yield Sentence(ASKED, "dim")
        yield Sentence(GUIDANCE, "strong")


def _summary(record: BedRecord, units: str) -> Iterator[Block]:
    held = (record.last - record.first).days
    enough = "" if held >= record.days_asked else f"; ! {record.days_asked} are asked for"
    yield Sentence(f"{counted(held, 'day')} from the first day to the last{enough}", lead="time: ", indent=2)
    fed, late = record.fed, record.late
    longest = max((each.since_days or 0 for each in fed), default=0)
    words = f"fed on {counted(len(fed), 'day')}, {mass(sum(each.fed_kg for each in fed), units)}"
    words += f"; longest without {counted(longest, 'day')}" if longest else ""
    words += f"; ! {counted(len(late), 'time')} more than {LAYERS_DAYS} days apart" if late else ""
    yield Sentence(words, lead="layers: ", indent=2)
    read, outside = record.read, record.outside
    words = f"read on {counted(len(read), 'day')}"
    if wet := [each.moisture for each in read if each.moisture is not None]:
        words += f", {percent(min(wet))} to {percent(max(wet))}"
    words += f"; ! outside 70-90 % on {counted(len(outside), 'day')}" if outside else ""
    felt = sum(bool(each.felt) for each in record.days)
    words += f"; squeezed by hand on {counted(felt, 'day')}, which is a look and no measurement" if felt else ""
    yield Sentence(words + _gaps(record.gaps(read)), lead="moisture: ", indent=2)
    warm = [each.temp_c for each in record.warm if each.temp_c is not None]
    words = f"read on {counted(len(warm), 'day')}"
    words += f", {temperature(min(warm), units)} to {temperature(max(warm), units)}" if warm else ""
    yield Sentence(words + _gaps(record.gaps(record.warm)), lead="temperature: ", indent=2)


def _gaps(gaps: Sequence[tuple[date, date]]) -> str:
    if not gaps:
        return "; no gap"
    first, last = max(gaps, key=lambda gap: gap[1] - gap[0])
    return f"; ! {counted(len(gaps), 'gap')}, the longest {day(first)} to {day(last)}"


def _cells(each: BedDay, units: str, record: BedRecord) -> tuple[str, ...]:
    sign = "! late" if each in record.late else ""
    sign += " ! outside" if each in record.outside else ""
    return (
        each.on.isoformat(),
        mass(each.fed_kg, units) if each.fed_kg else "",
        "" if each.since_days is None else counted(each.since_days, "day"),
        "" if each.moisture is None else percent(each.moisture),
        each.moisture_by or (f"squeeze: {each.felt}" if each.felt else ""),
        "" if each.temp_c is None else temperature(each.temp_c, units),
        sign.strip(),
    )


def lot(record: LotRecord, units: str) -> Iterator[Block]:
    """A lot's record: its beds up to the harvest, its loads, its own lines."""
    view = record.page.lot
    yield Heading(f"Lot {view.name}", aside=f"  {STEP_WORDS[view.step]} since {day(view.step_on)}")
    yield Sentence(f"{mass(view.harvested_kg, units)} harvested from {', '.join(view.bins)}", indent=2)
    yield GAP
    for each in record.beds:
        yield from bed(each, units, days=False)
        yield GAP
    yield Heading("Feedstock by load", "strong")
    if not record.loads:
        yield Sentence("! no load is written down for what these beds were given", indent=2)
    for fact in record.loads:
        words = f"{mass(fact.kg, units)} {fact.material} from {fact.supplier or '! nobody named'}"
        words += f"; treated: {fact.treated or '! nobody said'}" + (
            f"; composted hot: {fact.heat}" if fact.heat else ""
        )
        words += ("" if fact.sure else "; perhaps") + ("; ! turned out bad" if fact.bad else "")
        yield Sentence(words, lead=f"{fact.load}: ", lead_role="key", indent=2)
    yield GAP
    yield Heading("From the harvest on", "strong")
    for line in record.page.lines:
        words = line.words + (f" [{line.by}]" if line.by else "")
        yield Sentence(words, lead=f"{day(line.on)}  ", aside=f" #{line.entry}", indent=2)
    yield GAP
    yield Sentence(ASKED, "dim")
    yield Sentence(GUIDANCE, "strong")


def label(view: LabelView, units: str) -> Iterator[Block]:
    """A bag's label, between two lines to cut along; below it what is no part of it."""
    yield Sentence("- " * 30)
    yield Heading("Worm castings (vermicompost)")
    yield Sentence(f"Lot {view.lot}    packed {day(view.packed)}")
    about = "" if view.litres_read else "about "
    yield Sentence(f"Net {mass(view.kg, units)} when packed, {about}{volume(view.litres, units)}")
    if view.made_of:
        yield Sentence(f"Made by worms from: {'; '.join(name.lower() for name in view.made_of)}")
    yield Sentence("Keep damp and cool. Wash hands after use; a mask if it is dusty.")
    yield Sentence("- " * 30)
    for name in view.bad:
        yield Sentence(
            f"load {name} behind this lot turned out bad: do not sell it before it is cleared", "act", lead="! "
        )
    if view.step is not LotStep.STOCK:
        words = f"the lot is {STEP_WORDS[view.step]}: weigh and label its bags once it is in stock"
        yield Sentence(words, "act", lead="! ")
    if not view.sized:
        yield Sentence(
            f'All of it is taken as one bag. For smaller ones: wormbin castings label "{view.lot}" --size "2 kg", or '
            'wormbin settings measure "bag 2 kg"',
            "watch",
        )
    yield Sentence("No nutrient claim stands on it: those need registration. What a label must and may say is local "
                   "law: ask the office for agriculture where you sell.", "dim")  # fmt: skip
