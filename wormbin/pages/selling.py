"""What a seller needs on paper: worms to sell, the money, records for an inspector, the label of a bag."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import date
from decimal import Decimal

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
from wormbin.castings.money import Entered, Made
from wormbin.farm.herd import HerdPlan, HerdView
from wormbin.farm.inspection import LabelView, LotRecord
from wormbin.farm.money import AccountView, Span
from wormbin.farm.words.log import STEP_WORDS
from wormbin.measures import area, counted, mass, percent, temperature, volume
from wormbin.measures.units import UNITS
from wormbin.pages.lots import summed
from wormbin.pages.page import GAP, Block, Column, Heading, Sentence, Table, day
from wormbin.records.lots import LotStep
from wormbin.science.constants import SURVEY_HOLDS_DAYS

_WHENCE = (
    "Spare: above 1.6 kg/m2 (Ndegwa, Thompson & Das 2000), and at most a third at once (ours). "
    f"Without a survey in {SURVEY_HOLDS_DAYS} days the low end of the estimate counts."
)


def herd(view: HerdView, units: str) -> Iterator[Block]:
    """Every bin's worms, what it can spare, what is due."""
    columns = (
        Column("bin"), Column("worms", right=True), Column("8 times in 10", right=True, rank=2),
        Column(f"on {area(1.0, units)}", right=True, rank=1), Column("spare", right=True), Column("surveyed", rank=3),
        Column("due"),
    )  # fmt: skip
    yield Table(columns, tuple(
        (
            each.name, mass(each.worms_kg.p50, units),
            f"{mass(each.worms_kg.p10, units)} to {mass(each.worms_kg.p90, units)}", mass(each.kg_m2, units),
            mass(each.spare_kg, units) if each.spare_kg else "-",
            each.surveyed.isoformat() if each.surveyed else "never",
            ", ".join(word for word, due in (("survey", each.survey_due), ("split", each.crowded)) if due),
        )
        for each in view.rows
    ))  # fmt: skip
    yield GAP
    yield Sentence(f"{mass(sum(each.spare_kg for each in view.rows), units)} can be spared today", "strong")
    yield Sentence("split: more than 5 kg/m2 are crowded: sell, stock another bin, or move half into a new bed.", "dim")
    yield Sentence(_WHENCE, "dim")


def plan(view: HerdPlan, units: str) -> Iterator[Block]:
    """Worms by a day: out of which bin how many; what is missing."""
    fine = not view.missing_kg
    verdict = "the bins can spare them" if fine else f"{mass(view.missing_kg, units)} are missing"
    yield Sentence(f"{mass(view.kg, units)} of worms by {day(view.by)}: {verdict}", "strong")
    for each in view.takes:
        first = "; survey it first" if each.survey_first else ""
        yield Sentence(f"{mass(each.kg, units)}{first}", lead=f"{each.name}: ", lead_role="key", indent=2)
    if view.takes:
        yield Sentence(f'Sold, write: wormbin stock {view.takes[0].bin} "{mass(view.takes[0].kg, units)}" --out '
                       "--price 40 --who NAME", "dim")  # fmt: skip
    if not fine:
        yield Sentence("More only starves the beds: ask for a later day, sell less, or buy some in.", "watch")
    yield Sentence(_WHENCE, "dim")


NOT_BOOKS = "A help to reckon with, not an accounting program: costs export FILE.csv writes all of it out."
SHARES = "feed: given up to the harvest; general: bags, fees, hours of the year, by the kilograms harvested."


NO_MONEY = Sentence("No money was written down yet. Begin: wormbin costs add bags --price 24, or a price to a sale.")


def spans(view: AccountView, units: str) -> Iterator[Block]:
    """By year and by month, and what is in no lot yet."""
    if not view.entered:
        yield NO_MONEY
        return
    yield _head(view)
    yield GAP
    yield _table("year", view.years, units)
    yield GAP
    yield _table("month", view.months, units)
    yield GAP
    yield Sentence("What each lot costs: wormbin costs lots. " + NOT_BOOKS, "dim")


def entries(view: AccountView, units: str) -> Iterator[Block]:
    """Every amount by its day, with the id by which its line is amended or struck."""
    columns = (
        Column("day"), Column("what", rank=1), Column("name"), Column("", right=True, rank=2),
        Column("taken", right=True), Column("spent", right=True), Column("who", rank=3), Column("entry"),
    )  # fmt: skip
    yield Table(columns, tuple(_entry(each, units) for each in view.entered))


def _entry(each: Entered, units: str) -> tuple[str, ...]:
    much = mass(each.kg, units) if each.kg else f"{each.hours:g} h" if each.hours else ""
    amounts = (money(each.amount), "") if each.amount > 0 else ("", money(-each.amount))
    return (each.on.isoformat(), each.what, each.name, much, *amounts, each.who, f"#{each.entry}")


def _head(view: AccountView) -> Sentence:
    leaves = view.taken - view.spent
    words = f"taken {money(view.taken)}, spent {money(view.spent)}, leaves {money(leaves)}"
    hours = sum(each.hours or 0.0 for each in view.entered)
    own = f"; of what is spent {money(view.own_hours)} are your own {hours:g} h" if view.own_hours else ""
    return Heading(words + (f" {view.currency}" if view.currency else "") + own)


def money(amount: Decimal) -> str:
    """ "1234.50": an amount to the cent, the currency told once beside it."""
    return f"{amount:.2f}"


def _table(head: str, all_of: tuple[Span, ...], units: str) -> Table:
    columns = (Column(head), *(Column(name, right=True) for name in ("taken", "spent", "leaves")))
    columns = (*columns, Column("sold", right=True, rank=1))
    return Table(
        columns,
        tuple(
            (each.name, money(each.taken), money(each.spent), money(each.taken - each.spent), sold)
            for each, sold in zip(all_of, summed([each.sold_kg for each in all_of], units), strict=False)
        ),
    )


def lots(view: AccountView, units: str) -> Iterator[Block]:
    """What each lot cost, by what, what a finished kilogram of it costs, what it brought and leaves."""
    if not view.entered:
        yield NO_MONEY
        return
    yield _head(view)
    yield GAP
    unit = "lb" if units == "us" else "kg"
    columns = (
        Column("lot"), Column("finished", right=True, rank=1), Column("feed", right=True, rank=3),
        Column("own", right=True, rank=3), Column("general", right=True, rank=3), Column("cost", right=True, rank=2),
        Column(f"a {unit}", right=True), Column("taken", right=True), Column("leaves", right=True),
        Column(f"a {unit} sold", right=True, rank=1),
    )  # fmt: skip
    *finished, together = summed([each.finished_kg for each in view.lots], units)
    rows = tuple(_lot(each, kg, unit) for each, kg in zip(view.lots, finished, strict=True))
    total = [sum((pick(each) for each in view.lots), Decimal(0)) for pick in _SUMMED]
    last = ("together", together)
    yield Table(columns, (*rows, (*last, *map(money, total[:4]), "", *map(money, total[4:]), "")))
    if view.rest:
        yield GAP
        yield Sentence("spent, and in no lot so far:", "dim")
        for name, amount in view.rest:
            yield Sentence(f"{money(amount)}  {name}", indent=2)
    yield GAP
    yield Sentence(f"{SHARES} A {unit} sold leaves what it brought less what one cost.", "dim")


_SUMMED: tuple[Callable[[Made], Decimal], ...] = (
    lambda each: each.feed, lambda each: each.own, lambda each: each.general, lambda each: each.cost,
    lambda each: each.taken, lambda each: each.leaves,
)  # fmt: skip


def _lot(each: Made, finished: str, unit: str) -> tuple[str, ...]:
    per = "-" if each.per_kg is None else money(each.per_kg * Decimal(repr(UNITS[unit].factor)))
    amounts = (each.feed, each.own, each.general, each.cost)
    finished += "" if each.ready else " to cure"
    left = each.leaves_per_kg
    sold = "-" if left is None else money(left * Decimal(repr(UNITS[unit].factor)))
    return each.lot, finished, *map(money, amounts), per, money(each.taken), money(each.leaves), sold


def bins(view: AccountView) -> Iterator[Block]:
    """What each bin took, a lot's sales by what came into it, and what was spent on it."""
    columns = (Column("bin"), *(Column(name, right=True) for name in ("taken", "spent", "leaves")))
    rows = tuple((name, money(taken), money(spent), money(taken - spent)) for name, taken, spent in view.bins)
    yield Table(columns, rows)
    yield Sentence("Taken: a lot's sales by what each bin brought to it, and its worms. Spent: its feed, and costs of "
                   "its own.", "dim")  # fmt: skip


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
