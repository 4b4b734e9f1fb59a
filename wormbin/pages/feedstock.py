"""Feedstock: loads with what is left of them, a load opened or called back, hot piles against the rule."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial

from wormbin.farm.feedstock import Handed, LoadPage, LoadsView, LoadView, OnHandView, PileView, WentTo
from wormbin.farm.views.lots import PromiseView
from wormbin.measures import counted, mass, percent, temperature, written_exactly
from wormbin.pages.lots import at_risk, odds_words
from wormbin.pages.page import GAP, Block, Column, Heading, Rows, Sentence, Table, day

RULE = "7 CFR 205.203(c)(2)"
GUIDANCE = "Guidance, not certification: ask your certifier."


def loads(view: LoadsView, units: str) -> Iterator[Block]:
    """Every load that something is left of, and how long each material lasts."""
    if not view.loads:
        yield Sentence('There is no load yet. Write one down: wormbin loads add grain-12 "60 kg spent grain"')
        return
    columns = (
        Column("load"), Column("material", rank=3), Column("came"), Column("bought", right=True, rank=2),
        Column("left", right=True), Column("from", rank=4), Column("", rank=1),
    )  # fmt: skip
    yield Table(columns, tuple(_cells(each, units) for each in view.loads))
    yield GAP
    for each in view.on_hand:
        yield Sentence(lasts(each, units), lead=f"{each.name}: ", lead_role="key")


def _cells(each: LoadView, units: str) -> tuple[str, ...]:
    left = mass(each.kg, units) if each.kg else "used up"
    sign = "! bad" if each.bad is not None else f"! of {each.of_bad}" if each.of_bad else ""
    whence = each.supplier or (f"pile {each.pile}" if each.pile else "")
    return each.name, each.material_name, each.came.isoformat(), mass(each.came_kg, units), left, whence, sign


def lasts(each: OnHandView, units: str) -> str:
    """What is left of a material, how fast it goes and when to buy."""
    words = f"{mass(each.kg, units)} on hand"
    if each.lasts_until is None:
        return f"{words}; none was used in four weeks"
    if each.keeps_days and (each.lasts_until - each.on).days > each.keeps_days:
        rots = f"more than goes before it rots (about {counted(each.keeps_days, 'day')} fresh, ours)"
        return (
            f"{words}, {mass(each.used_kg_day * 7, units)} a week used: {rots}. Freeze it, compost it hot, or buy less"
        )
    until = f"lasts to about {day(each.lasts_until)}" if each.kg else "nothing is left"
    return f"{words}, {mass(each.used_kg_day * 7, units)} a week used: {until}; buy by {day(each.buy_by)}"


def load(page: LoadPage, units: str, *, recall: bool = False, promised: Sequence[PromiseView] = ()) -> Iterator[Block]:
    """A load opened; as a ``recall`` it says first what to do about it, and what is ``promised`` and at risk now."""
    one = page.load
    yield Heading(f"Load {one.name}", aside=f"  {one.material_name}, came {day(one.came)}")
    if one.bad is not None:
        why = f": {one.bad}" if one.bad else ""
        yield Sentence(f"turned out bad{why} ({day(one.bad_on)})", "act", lead="! ", lead_role="act", indent=2)
    rows = [
        ("from", one.supplier or (f"pile {one.pile}" if one.pile else "nobody said")),
        ("came in", mass(one.came_kg, units)),
        ("paid", "" if one.price is None else written_exactly(one.price)),
        ("moisture", "" if one.moisture is None else f"{percent(one.moisture)}, tested"),
        ("treated", one.treated or "nobody said: ask"),
        ("given", mass(one.given_kg, units)),
        ("by the scale", _more(one, units)),
        ("left", mass(one.kg, units)),
    ]
    yield Rows(rows, indent=2)
    if recall:
        yield GAP
        yield Heading("Do now", "strong")
        for words in (*_recall_steps(page, units), *map(partial(_at_risk, units=units), at_risk(promised))):
            yield Sentence(words, lead="→ ", lead_role="key", indent=2)
    yield from _reached(page, units)
    if not recall:
        yield GAP
        yield Heading("Its lines", "strong")
        for line in page.lines:
            words = line.words + (f" [{line.by}]" if line.by else "") + (f" {line.note}" if line.note else "")
            yield Sentence(words, lead=f"{day(line.on)}  ", aside=f" #{line.entry}", indent=2)


def _more(one: LoadView, units: str) -> str:
    if abs(one.changed_kg) < 0.0005:
        return ""
    return f"{mass(abs(one.changed_kg), units)} {'less' if one.changed_kg < 0 else 'more'}"


def _recall_steps(page: LoadPage, units: str) -> Iterator[str]:
    if page.load.kg:
        yield f"feed no more of it: set the {mass(page.load.kg, units)} aside"
    if any(each.kg for each in page.lots):
        yield "hold back what is left of the lots below; test them with cress or beans before anything goes out"
    if buyers := tuple(dict.fromkeys(each.buyer for each in page.handed if each.buyer)):
        yield f"tell the buyers: {', '.join(buyers)}"
    if nameless := sum(each.kg for each in page.handed if each.kind == "sale" and not each.buyer):
        yield f"{mass(nameless, units)} were sold to nobody named: put up a notice where they were sold"
    if bins := tuple(dict.fromkeys(each.name for each in page.went if each.bin)):
        yield f"look into {', '.join(bins)}: are the worms lively, does it smell?"


def _at_risk(each: PromiseView, units: str) -> str:
    who = f" to {each.buyer}" if each.buyer else ""
    assert each.likelihood is not None
    said = f"order {each.order}, {mass(each.open_kg, units)}{who} by {day(each.due)}: {odds_words(each.likelihood)} now"
    return f"{said}; ask for another day, or sell less"


def _reached(page: LoadPage, units: str) -> Iterator[Block]:
    yield GAP
    yield Heading("Where it went", "strong")
    if not page.went:
        yield Sentence("nothing of it was given yet", indent=2)
    for each in page.went:
        yield Sentence(_went(each, units), indent=2)
    if any(not each.sure or each.pile for each in page.went):
        yield Sentence(
            "“Up to” may be of that other load, and a pile passes it on: these add up to more than was given.",
            "dim",
            indent=2,
        )
    if page.lots:
        yield GAP
        yield Heading("Lots that it reached", "strong")
        for lot in page.lots:
            how = "" if lot.likely else "; perhaps: a later harvest of the bed"
            left = f", {mass(lot.kg, units)} left" if lot.kg else ", none left"
            yield Sentence(f"{lot.lot}: from {lot.bin}, {day(lot.on)}{left}, {lot.words}{how}", indent=2)
    if page.handed:
        yield GAP
        yield Heading("Who got some of these lots", "strong")
        for one in page.handed:
            yield Sentence(_handed(one, units), lead=f"{day(one.on)}  ", indent=2)


def _went(each: WentTo, units: str) -> str:
    where = f"{each.name} ({each.bin})" if each.bin else f"pile {each.name}"
    days = day(each.first) if each.first == each.last else f"{day(each.first)} to {day(each.last)}"
    if each.sure:
        return f"{mass(each.kg, units)} into {where}, {days}"
    return f"up to {mass(each.kg, units)} into {where}, {days}; perhaps, as another load of it lay open, too"


def _handed(each: Handed, units: str) -> str:
    who = each.buyer or ("own use" if each.kind == "use" else "nobody named")
    return f"{mass(each.kg, units)} of {each.lot}: {who}" + (f", {each.purpose}" if each.purpose else "")


def piles(views: Sequence[PileView], units: str) -> Iterator[Block]:
    """Every pile in a line or two."""
    for each in views:
        yield Heading(each.name, aside=f"  {each.way}, begun {day(each.began)}")
        yield Sentence(f"{mass(each.kg, units)} put on, {mass(each.released_kg, units)} released", indent=2)
        yield verdict(each)
    if not views:
        yield Sentence('There is no pile yet. Begin one: wormbin piles add spring-pile "120 kg rabbit manure"')


def verdict(each: PileView) -> Sentence:
    """Whether the heat has done its work by the readings, and what is missing."""
    said = f"{each.hot_days} of {counted(each.days_asked, 'day')} at 55 C or more"
    if each.turns_asked:
        said += f", {each.turns} of {counted(each.turns_asked, 'turn')}"
    if each.met:
        return Sentence(f"the heat has done its work: {said}, from readings", "good", indent=2)
    return Sentence(f"not yet: {said}, from readings", "watch", indent=2)


def pile(each: PileView, units: str) -> Iterator[Block]:
    """A pile opened: what was put on, the heat, its gaps, its lines."""
    yield from piles([each], units)
    rows = [
        ("put on", ", ".join(f"{mass(kg, units)} {name}" for name, kg in each.put_on)),
        ("C:N", "" if each.cn is None else f"{each.cn:.0f} as put on; 25 to 40 is asked"),
        ("last read", "" if each.last_c is None else temperature(each.last_c, units)),
        ("hot", f"{day(each.hot_since)} to {day(each.hot_until)}" if each.hot_since else ""),
        ("gaps", ", ".join(day(gap) for gap in each.gaps) + " not read: not counted" if each.gaps else ""),
        ("broken", f"{day(each.broken)} was outside 55 to 77 C: counted anew from there" if each.broken else ""),
    ]
    yield Rows(rows, indent=2)
    yield GAP
    for line in each.told:
        yield Sentence(line.words, lead=f"{day(line.on)}  ", aside=f" #{line.entry}", indent=2)
    yield GAP
    yield Sentence(f"Counted from one day's reading to the next day's, as {RULE} asks. {GUIDANCE}", "dim")
