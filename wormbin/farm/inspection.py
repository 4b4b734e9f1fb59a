"""Records for others: a bed's and a lot's for an inspector, and the label of a bag."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from wormbin.castings.inspection import BedRecord, bed_record
from wormbin.castings.piles import piles
from wormbin.farm.logbook import ledger_of
from wormbin.farm.lots import Lots
from wormbin.farm.session import Session
from wormbin.farm.views.lots import LotPage
from wormbin.measures import counted, parse_date, parse_last
from wormbin.problems import Problem, RefusedError
from wormbin.records.entries import Harvest, standing
from wormbin.records.lots import LotStep, lot_key


def bed(session: Session, words: str, first: str = "", last: str = "") -> BedRecord:
    """The record of a bed between two days in words; else all of it."""
    one = session.bin(words)
    today = session.asked_on or session.clock().date()
    log = session.entries(one.key)
    begins = parse_date(first, today, "from") if first else one.started
    ends = parse_last(last, begins, today, "until") if last else today
    return bed_record(one, log, max(begins, one.started), ends)


def lot(session: Session, words: str) -> LotRecord:
    """A lot for an inspector: each bed behind it from the harvest before to its own, and the loads that went in."""
    page = Lots(session).show(words)
    bins = {one.key: one for one in session.bins()}
    beds = []
    for each in page.origins:
        log = session.logs.get(each.bin) or ()
        harvest = next((entry for entry in standing(list(log)) if entry.id == each.entry), None)
        if each.bin in bins and harvest is not None and isinstance(harvest.what, Harvest):
            beds.append(bed_record(bins[each.bin], log, each.since, each.on, harvest.compartment))
    return LotRecord(page, tuple(beds), tuple(_loads(session, page)))


def _loads(session: Session, page: LotPage) -> list[LoadFact]:
    held = {each.name: each for each in session.cache.larder().loads}
    heats = {lot_key(each.name): each for each in piles(session.store.lot_lines())}
    kg: dict[str, tuple[float, bool]] = {}
    for origin in page.origins:
        for part in origin.loads:
            before, sure = kg.get(part.load, (0.0, True))
            kg[part.load] = (before + part.kg, sure and part.sure)
    found = []
    for name, (much, sure) in kg.items():
        each = held[name]
        heat = ""
        if (pile := heats.get(lot_key(each.pile))) is not None:
            heat = f"{counted(pile.hot_days, 'day')} at 55 C and {counted(pile.turns, 'turn')}" + (
                "" if pile.met else ", not enough by its readings"
            )
        material = ledger_of(session).name(each.material)
        found.append(LoadFact(name, material, much, sure, each.supplier, each.treated, heat, each.bad is not None))
    return found


def label(session: Session, words: str, size: str = "") -> LabelView:
    """The label of a bag of a lot: of this size, else of the keeper's own bag, else of all that is in it."""
    lots = Lots(session)
    page = lots.show(words)
    said = size or ("1 bag" if session.settings().measures.get("bag") else "all")
    kg, _ = lots.amount_out(page.lot.name, said)
    if kg <= 0:
        raise RefusedError(Problem("size", said, "the weight or room of a bag", "2 kg"))
    given: dict[str, float] = {}
    for each in page.origins:
        for portion in (*each.feeds, *each.beddings):
            given[portion.name] = given.get(portion.name, 0.0) + portion.kg
    held = {each.name: each for each in session.cache.larder().loads}
    bad = {part.load for each in page.origins for part in each.loads if held[part.load].bad is not None}
    litres = kg * page.lot.litres / page.lot.kg if page.lot.kg else 0.0
    packed = session.asked_on or session.clock().date()
    made = tuple(sorted(given, key=lambda name: (-given[name], name)))
    return LabelView(
        page.lot.name, kg, litres, page.lot.litres_read, packed, made, tuple(sorted(bad)), page.lot.step, said != "all"
    )


@dataclass(frozen=True, slots=True)
class LoadFact:
    """A load that went into a lot's beds: its name, material, kg, from whom, what it was treated with, bad or not."""

    load: str
    material: str
    kg: float
    sure: bool
    supplier: str
    treated: str
    heat: str
    bad: bool


@dataclass(frozen=True, slots=True)
class LotRecord:
    """A lot for an inspector: its page, the record of each bed up to its harvest, the loads in it."""

    page: LotPage
    beds: tuple[BedRecord, ...]
    loads: tuple[LoadFact, ...]


@dataclass(frozen=True, slots=True)
class LabelView:
    """What a bag's label says. Masses in kg, room in litres (``litres_read``: by this lot's own measure)."""

    lot: str
    kg: float
    litres: float
    litres_read: bool
    packed: date
    made_of: tuple[str, ...]
    bad: tuple[str, ...]
    step: LotStep = LotStep.STOCK
    sized: bool = True
    """Whether it is of a bag whose size somebody said."""
