"""Castings after the harvest: lots, where they came from and went, stock, yields, plans, what a use takes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from wormbin.castings.origin import Yield
from wormbin.castings.plan import LIKELY
from wormbin.farm.views.lots import (
    DeliveryView,
    Given,
    LotPage,
    LotView,
    NeedView,
    PlanView,
    PromiseView,
    StockView,
    UseView,
    WentView,
)
from wormbin.farm.words.log import STEP_WORDS
from wormbin.measures import area, counted, mass, percent, told, volume
from wormbin.measures.dates import time_words
from wormbin.measures.printing import figure
from wormbin.measures.units import GALLON_L, UNITS
from wormbin.pages.page import ARROW, GAP, Block, Column, Heading, Sentence, Table, day

MOST_RESERVE = 8
"""So many bins that a plan does not need are named."""


def lots(views: Sequence[LotView], units: str) -> Iterator[Block]:
    """Every lot: step, mass, room, moisture, what went out."""
    for view in views:
        yield from _lot(view, units)
    if not views:
        yield Sentence('There is no lot yet. Begin one: wormbin harvest kitchen "4.5 kg" --lot spring-26')


def _lot(view: LotView, units: str) -> Iterator[Block]:
    yield Heading(view.name, aside=f"  {STEP_WORDS[view.step]} since {day(view.step_on)}")
    parts, figures = [f"harvested {{}} from {', '.join(view.bins)}"], [view.harvested_kg]
    for said, kg in (("sold", view.sold_kg), ("used", view.used_kg)):
        if kg:
            parts.append(f"{said} {{}}")
            figures.append(-kg)
    if abs(view.changed_kg) >= 0.0005:
        parts.append(f"{{}} {'less' if view.changed_kg < 0 else 'more'} by the scale")
        figures.append(view.changed_kg)
    if len(figures) > 1:
        parts.append("leaves {}")
        figures.append(-view.kg)
    amounts = closing(figures, units)
    left = amounts[-1] if len(figures) > 1 else mass(view.kg, units)
    there = f"{left} in it ({_room(view, units)}), moisture {_wet(view)}" if view.kg else "empty"
    yield Sentence(there, indent=2)
    closed = (part.replace("{}", amount, 1) for part, amount in zip(parts, amounts, strict=True))
    yield Sentence("; ".join(closed), indent=2)
    if view.short:
        yield Sentence(view.short, "act", lead="! ", lead_role="act", indent=2)
    if view.called_back:
        yield Sentence(f"called back: {view.called_back}", "act", lead="! ", lead_role="act", indent=2)


def facts(view: LotView, units: str, width: int) -> str:
    """A lot's moisture, room, day, what was sold of it and the money taken: as many as ``width`` has room for."""
    sold = f"sold {mass(view.sold_kg, units)}" if view.sold_kg else ""
    taken = f"{view.taken:.2f} taken" if view.taken else ""
    wet = "" if view.moisture is None else f"{_wet(view)} moist"
    since = view.step_on.isoformat()
    words = ""
    for said in (f"{wet:>15}", f"{_room(view, units):>14}", f"  {since}", f"{sold:>13}", f"{taken:>16}"):
        if len(words + said) > width:
            break
        words += said
    return words


def closing(kg: Sequence[float], units: str, most_places: int = 3) -> list[str]:
    """Amounts that add up to nothing, all in one unit and to so many places that what is printed adds up, too.

    ``kg`` is signed; what is printed is not. What cannot close in ``most_places`` is printed to so many.
    """
    most = max(map(abs, kg))
    name = ("lb" if most >= UNITS["lb"].factor else "oz") if units == "us" else ("kg" if most >= 1 else "g")
    sizes = [each / UNITS[name].factor for each in kg]
    places, rounded = 0, sizes
    for places in range(1, most_places + 1):
        rounded = [round(each, places) for each in sizes]
        near = all(abs(said - size) <= 0.02 * abs(size) for said, size in zip(rounded, sizes, strict=True))
        if near and (len(kg) == 1 or abs(sum(rounded)) < 10**-places / 2):
            break
    return [f"{abs(each):.{places}f}".rstrip("0").rstrip(".") + f" {name}" for each in rounded]


def summed(kg: Sequence[float], units: str, most_places: int = 3) -> list[str]:
    """Amounts and, last, their sum, as they add up when they are printed."""
    return closing([*kg, -sum(kg)], units, most_places) if any(kg) else [mass(each, units) for each in (*kg, 0.0)]


def _room(view: LotView, units: str, *, gallons: bool = False) -> str:
    room = f"{figure(view.litres / GALLON_L)} gal" if gallons else volume(view.litres, units)
    return ("" if view.litres_read else "about ") + room


def _wet(view: LotView) -> str:
    if view.moisture is None:
        return "not read"
    return ("" if view.moisture_read else "about ") + percent(view.moisture)


def lot(page: LotPage, units: str) -> Iterator[Block]:
    """A lot opened: where it came from, its lines, what to mind when it is sold."""
    yield from _lot(page.lot, units)
    yield GAP
    yield Heading("Where it came from", "strong")
    for each in page.origins:
        whence = f" from {each.name} ({each.bin}), {day(each.on)}"
        yield Sentence(f"{mass(each.kg, units)} ({percent(each.share)}){whence}", indent=2)
        for title, given in (("fed", each.feeds), ("bedding", each.beddings)):
            if given:
                yield Sentence(f"{title} since {day(each.since)}: {_listed(given, units)}", "dim", indent=4)
        if each.loads:
            said = (f"{mass(one.kg, units)} {one.load}{'' if one.sure else ' (perhaps)'}" for one in each.loads)
            yield Sentence(f"of loads: {', '.join(said)}", "dim", indent=4)
    yield GAP
    yield Heading("Its lines", "strong")
    for line in page.lines:
        after = f"struck through ({line.why})" if line.struck else f"{mass(max(0.0, line.after_kg), units)} in it then"
        words = f"{line.words}; {after}" + (f" [{line.by}]" if line.by else "") + (f" {line.note}" if line.note else "")
        yield Sentence(words, lead=f"{day(line.on)}  ", aside=f" #{line.entry}", indent=2)
    yield GAP
    if any(line.entry.endswith("~") for line in page.lines):
        yield Sentence("An id with ~ is the lot's half of a harvest: put that harvest right, and it follows.", "dim")
        yield GAP
    yield Heading("Before it is sold or given away", "strong")
    for words in page.cautions:
        yield Sentence(words, "dim", lead="- ", indent=2)


def _listed(given: Sequence[Given], units: str) -> str:
    return ", ".join(f"{mass(each.kg, units)} {each.name.lower()}" for each in given)


def went(bin: str, found: Sequence[WentView], units: str) -> Iterator[Block]:
    """Where a bin's castings went."""
    for each in found:
        words = f"{mass(each.kg, units)} into {each.lot.name} ({percent(each.share)} of it), now {each.lot.words}"
        yield Sentence(words, lead=f"{day(each.on)}  ")
    if not found:
        yield Sentence(f"No castings of {bin} went into a lot.")


def stock(view: StockView, units: str) -> Iterator[Block]:
    """What is ready to go, and what is on its way."""
    gallons = units == "us" and any(each.litres >= GALLON_L for each in view.lots)
    *amounts, together = summed([each.kg for each in view.lots], units)
    for each, amount in zip(view.lots, amounts, strict=True):
        room = _room(each, units, gallons=gallons)
        words = f"{amount} ({room}), moisture {_wet(each)}, since {day(each.step_on)}"
        mark = "! called back  " if each.called_back else ""
        yield Sentence(words, lead=f"{each.name}  {mark}", lead_role="act" if mark else "dim")
    total = f"in stock: {together}, about {volume(view.litres, units)}" if view.lots else "nothing is in stock"
    if back := sum(each.kg for each in view.lots if each.called_back):
        total += f", {mass(back, units)} of it called back"
    yield Sentence(f"{total}; on its way: {mass(view.waiting_kg, units)}")


def yields(views: Sequence[Yield], units: str) -> Iterator[Block]:
    """What every bin gave for what it was given."""
    told = [view for view in views if view.until is not None]
    castings, feed = summed([*map(_castings, told)], units), summed([*map(_feed, told)], units, 1)
    given = dict(zip((*(view.bin for view in told), ""), zip(castings, feed, strict=True), strict=True))

    def cells(view: Yield) -> tuple[str, ...]:
        if view.until is None:
            return (view.name, "0", *("-",) * 6, "no harvest yet")
        per_m2 = ("-" if each is None else mass(each, units) for each in (view.per_m2, view.per_m2_year))
        per_feed = "-" if view.per_feed is None else figure(view.per_feed)
        finished = "-" if view.feed_per_finished is None else figure(view.feed_per_finished)
        return (view.name, str(view.harvests), *given[view.bin], per_feed, finished, *per_m2, view.until.isoformat())

    heads = ("harvests", "castings", "feed", "per feed", "for 1", f"on {area(1.0, units)}", "a year")
    columns = (Column("bin"), *(Column(head, right=True, rank=rank) for head, rank in zip(heads, _RANKS, strict=True)))
    yield Table((*columns, Column("up to", rank=4)), (*(cells(view) for view in views), _together(told, given[""])))
    yield Sentence(
        "Wet castings by fresh food as it went in, up to the last harvest. Castings of bedding are not in it."
        " For 1: food by weight for one of finished castings, of lots in stock."
    )


_RANKS = (3, 0, 0, 0, 2, 1, 1)


def _castings(view: Yield) -> float:
    return view.castings_kg


def _feed(view: Yield) -> float:
    return view.feed_kg


def _together(told: Sequence[Yield], given: Sequence[str]) -> tuple[str, ...]:
    """The last row: what all bins gave, and were given."""
    castings, feed = sum(map(_castings, told)), sum(map(_feed, told))
    finished = [view for view in told if view.feed_per_finished]
    out = sum(view.feed_kg / (view.feed_per_finished or 1.0) for view in finished)
    per = (
        figure(castings / feed) if feed else "-",
        figure(sum(view.feed_kg for view in finished) / out) if out else "-",
    )
    harvests = str(sum(view.harvests for view in told))
    return ("together", harvests, *given, *per, "", "", "")


def orders(views: Sequence[PromiseView], units: str, left_out: Sequence[str] = ()) -> Iterator[Block]:
    """What is promised, the soonest first: how each stands, and how likely it can be kept."""
    if not views:
        yield Sentence('Nothing is promised. Write down an order: wormbin orders add cafe-may "20 kg" --due 2026-05-01')
        return
    columns = (
        Column("due"), Column("order"), Column("buyer", rank=1), Column("promised"),
        Column("sold on it", right=True, rank=2), Column("stands"),
    )  # fmt: skip
    yield Table(columns, tuple(_promise(each, units) for each in views))
    yield from _not_counted(left_out)
    yield from _beyond(views)
    yield Sentence(
        "A sale is taken off the order that it names (--for) or its buyer's (--buyer), the soonest first.", "dim"
    )
    yield Sentence("Likely: that what is there by then is enough for all that is promised up to then.", "dim")
    if any(map(_of_worms, views)):
        yield Sentence(f"{WORMS} Sell them: wormbin stock BIN “500 g” --out --who BUYER", "dim")


def _not_counted(words: Sequence[str]) -> Iterator[Sentence]:
    return (Sentence(said, "act", lead="! ", lead_role="act") for said in words)


def _beyond(views: Sequence[PromiseView]) -> Iterator[Sentence]:
    """What the list does not reach to: standing orders go on, and what is likely so far ahead the plan tells."""
    for name, days in {each.order: each.every_days for each in views if each.every_days}.items():
        yield Sentence(f"{name} goes on after these, every {counted(round(days), 'day')}.", "dim")
    if unsure := (*at_risk(views), *(each for each in views if _too_far(each))):
        by = f"wormbin castings plan --kg 0 --by {unsure[0].due.isoformat()}"
        yield Sentence(f"What {unsure[0].order} asks for, and what would make it likely: {by}", "watch")


def at_risk(views: Sequence[PromiseView]) -> tuple[PromiseView, ...]:
    """What is promised and not likely to be there in time."""
    return tuple(each for each in views if each.likelihood is not None and each.likelihood < LIKELY)


def _too_far(each: PromiseView) -> bool:
    return each.stand == "open" and each.likelihood is None and not _of_worms(each)


def order(views: Sequence[PromiseView], units: str, left_out: Sequence[str] = ()) -> Iterator[Block]:
    """The deliveries of one order, the soonest first, a few lines each."""
    for each in views:
        *_, buyer, kg, sold, stands = _promise(each, units)
        yield Heading(kg, aside=f" by {day(each.due)}" + (f" to {buyer}" if buyer else ""))
        yield Sentence(f"{stands}; sold on it: {sold}" if each.taken_kg else stands, indent=2)
    yield from _not_counted(left_out)
    yield from _beyond(views)
    if any(map(_of_worms, views)):
        yield Sentence(WORMS, "dim")


WORMS = "Worms have no likely here: wormbin worms tells what each bin can spare."


def _of_worms(each: PromiseView) -> bool:
    return each.product == "worms" and each.stand == "open"


def _promise(each: PromiseView, units: str) -> tuple[str, ...]:
    stands = f"{each.stand} {each.taken_on.isoformat()}" if each.taken_on and not each.open_kg else each.stand
    short = f"{stands}, {mass(each.open_kg, units)} short" if each.stand == "missed" else stands
    sold = mass(each.taken_kg, units) if each.taken_kg else "-"
    likely = "" if each.likelihood is None else f", {odds_words(each.likelihood)}"
    much = mass(each.kg, units) + ("" if each.product == "screened" else f" {each.product}")
    return each.due.isoformat(), each.order, each.buyer, much, sold, short + likely


def odds_words(likelihood: float) -> str:
    """A chance as people say it: "about 8 times in 10"."""
    chance = round(likelihood * 10)
    return "all but certain" if chance == 10 else "hardly" if chance == 0 else f"about {chance} times in 10"


def plan(view: PlanView, units: str) -> Iterator[Block]:
    """A plan: whether it will be enough, what each bin brings, what it asks for and when, what that stands on."""
    odds = odds_words(view.likelihood)
    beside = f" beside {mass(view.promised_kg, units)} promised by then" if view.promised_kg else ""
    much = f"{mass(view.kg, units)} of finished castings" if view.kg else "What is promised"
    beside = f" ({mass(view.promised_kg, units)})" if not view.kg else beside
    yield Sentence(f"{much} by {day(view.by)}{beside}: {odds}", "strong")
    for words in view.instead:
        yield Sentence(words, lead="or ", indent=2)
    if view.came is not None:
        yield GAP
        yield from _came(view, units)
    if view.weeks:
        yield GAP
        yield _weeks(view.weeks, units)
    if view.begin:
        yield GAP
        yield Heading("This week", "strong")
        for words in view.begin:
            yield Sentence(words, lead="- ", indent=2)
    yield GAP
    needed = [each for each in view.bins if each.bin in view.needed]
    others = [each for each in view.bins if each.bin not in view.needed and (each.ready > 0 or not needed)]
    for each in needed or others:
        yield Sentence(_delivery(each, units), lead=f"{each.name}: ", lead_role="key", indent=2)
    if needed and others:
        yield Heading("In reserve", "strong")
        for each in others[:MOST_RESERVE]:
            yield Sentence(_delivery(each, units), lead=f"{each.name}: ", lead_role="dim", indent=2)
        if len(others) > MOST_RESERVE:
            yield Sentence(f"and {len(others) - MOST_RESERVE} more", "dim", indent=2)
    yield GAP
    for words in view.words:
        yield Sentence(words, "dim")
    if view.came is None and view.asked_on is not None:
        said = f"afterwards ask it again as of {view.asked_on.isoformat()} (--on): it tells what came beside this"
        yield Sentence(said, "dim")


def _came(view: PlanView, units: str) -> Iterator[Block]:
    """What came off the bins, beside what was foreseen."""
    came, said = view.came or (), view.brings
    kg = sum(each.kg for each in came)
    place = "more" if kg > said.p90 else "less" if kg < said.p10 else "within it"
    yield Heading("What came so far" if view.open else "What came", "strong")
    foreseen = f"{mass(said.p50, units)} ({mass(said.p10, units)} to {mass(said.p90, units)}) were foreseen"
    words = f"{mass(kg, units)} finished off the bins in time; {foreseen}"
    yield Sentence(words + ("" if view.open else f": {place}"), indent=2)
    for each in came:
        yield Sentence(
            f"{mass(each.kg, units)}, the last {day(each.on)}", lead=f"{each.name}: ", lead_role="key", indent=2
        )


def _weeks(weeks: Sequence[NeedView], units: str) -> Table:
    """What the bins of a plan ask for, week by week."""
    priced = any(each.money is not None for each in weeks)
    heads = ("week from", "harvest", "sieve", "feed", "bedding", "hours", *(("money",) if priced else ()), "of")

    def kg(much: float) -> str:
        return mass(much, units) if much >= 0.005 else "-"

    rows = tuple(
        (
            each.week.isoformat(), kg(each.harvest_kg), kg(each.sieve_kg), kg(each.feed_kg), kg(each.bedding_kg),
            time_words(each.minutes), *((f"{each.money or 0:.2f}",) if priced else ()), ", ".join(each.harvest),
        )
        for each in weeks
    )  # fmt: skip
    return Table(
        tuple(Column(head, right=head not in ("week from", "of"), rank=int(head == "of")) for head in heads), rows
    )


def _delivery(each: DeliveryView, units: str) -> str:
    """What one bin can bring: how likely in time, from when, and how much."""
    window = f"likely {day(each.likely)}" if each.likely else "no harvest in sight"
    if each.earliest and not each.likely:
        window = f"perhaps from {day(each.earliest)}, likely beyond the look-ahead"
    if each.due_since:
        window = f"due since {day(each.due_since)}"
    words = f"ready in time {percent(each.ready)}, {window}"
    if each.ready > 0:
        much = f"{mass(each.kg.p50, units)} finished ({mass(each.kg.p10, units)} to {mass(each.kg.p90, units)})"
        words += f"; about {much}"
    return words


def uses(view: UseView, units: str) -> Iterator[Block]:
    """Each use with what it takes and what to do, what there is, what to mind."""
    for each in view.uses:
        other = f" and {volume(each.other_l, units)} of {each.other}" if each.other_l else ""
        yield Heading(each.said, "strong", aside=f"  {each.source}")
        yield Sentence(f"{volume(each.castings_l, units)} of castings{other}", indent=2)
        yield Sentence(told(each.do, units), lead=ARROW, lead_role="", indent=2)
        yield GAP
    yield from _there(view, units)
    yield GAP
    yield Heading("Take care", "strong")
    for words in view.cautions:
        yield Sentence(told(words, units), indent=2)


def _there(view: UseView, units: str) -> Iterator[Block]:
    needed, stock = volume(view.needed_l, units), volume(view.stock_l, units)
    waiting = f" {mass(view.waiting_kg, units)} more is on its way." if view.waiting_kg else ""
    if not view.stock_l:
        yield Sentence(f"You need {needed} in all. No castings are in stock.{waiting}", "watch")
    elif view.needed_l <= view.stock_l:
        yield Sentence(f"You need {needed} in all and have {stock}: enough.", "good")
    else:
        share = view.stock_l / view.needed_l
        yield Sentence(f"You need {needed} in all and have {stock}: enough for {share:.0%} of it.{waiting}", "watch")
