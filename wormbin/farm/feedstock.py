"""Feedstock: loads that came in, what is left of them, where each went, and hot piles; each line of them written."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import chain, count

from wormbin.castings.loads import Draw, Larder, Stocked, reached
from wormbin.castings.lot import Lot, find_lot, lots
from wormbin.castings.origin import origins
from wormbin.castings.piles import Pile, piles
from wormbin.farm.errors import DoubtedError, Question
from wormbin.farm.heading import NOW, Heading
from wormbin.farm.logbook import ledger_of
from wormbin.farm.session import Session
from wormbin.farm.views import shown_as
from wormbin.farm.views.bin import Recorded
from wormbin.farm.views.lots import LotLineView
from wormbin.farm.words.log import STEP_WORDS, words_of
from wormbin.farm.words.typed import typed_fields
from wormbin.materials.material import CAUTIONS, Pace
from wormbin.measures import counted, tidy
from wormbin.problems import RefusedError
from wormbin.records.kinds.castings import LOT_BY_KIND, Bad, Cost, Load, LotKind, Opened, Order, Piled, Released
from wormbin.records.kinds.fields import Of
from wormbin.records.line_rules import lot_name_problems
from wormbin.records.lots import Intake, LotLine, LotWhat, Sale, Use, lot_key
from wormbin.science.blend import Ingredient, blend

KEEPS_DAYS: Mapping[Pace | None, int] = {Pace.QUICK: 7, Pace.STEADY: 21}
"""How long fresh feed of a pace keeps before it rots (ours); what is aged or fibre keeps."""
WORMERS, SPRAYS = ("worm", "mectin", "drench"), ("weed", "herbicid", "pyralid", "spray")
"""Words for treatments that harm the herd, or pass through it to plants."""
BUY_AHEAD_DAYS = 7
"""So long before the last of it is given a material is to be bought (ours)."""


def loads(session: Session, on: date | None = None) -> LoadsView:
    """Every load, and what is on hand of each material."""
    held, day = session.cache.larder(on), on or session.asked_on or session.clock().date()
    materials = dict.fromkeys(each.material for each in held.loads)
    on_hand = tuple(_on_hand(session, held, material, day) for material in materials)
    spoiled: dict[str, str] = {}
    for each in held.loads:
        if each.bad is not None:
            spoiled |= {lot_key(name): each.name for name in reached(each.name, held).loads}
    views = (_load(session, each, spoiled.get(lot_key(each.name), "")) for each in held.loads)
    return LoadsView(tuple(views), on_hand)


def _on_hand(session: Session, held: Larder, material: str, on: date) -> OnHandView:
    kg = sum(each.kg for each in held.loads if each.material == material and each.bad is None)
    day_kg = held.used_kg_day(material, on)
    lasts = on + timedelta(days=min(int(kg / day_kg), 3650)) if day_kg > 0 else None
    buy = None if lasts is None else max(on, lasts - timedelta(days=BUY_AHEAD_DAYS))
    pace = session.table.get(material).pace if material in session.table else None
    return OnHandView(
        material, ledger_of(session).name(material), kg, day_kg, lasts, buy, on, KEEPS_DAYS.get(pace)
    )  # fmt: skip


def _load(session: Session, each: Stocked, of_bad: str = "") -> LoadView:
    return shown_as(LoadView, each, material_name=ledger_of(session).name(each.material), of_bad=of_bad)


def load(session: Session, words: str, on: date | None = None) -> LoadPage:
    """A load opened: every bin, pile, lot and buyer that it reached, the doubtful ones marked."""
    held = session.cache.larder(on)
    one = find_lot(words, held.loads, "load")
    found = reached(one.name, held)
    until = on or session.asked_on
    book = [line for line in session.store.lot_lines() if until is None or line.when.date() <= until]
    known = lots(book)
    touched = tuple(_lots_reached(session, known, found.draws))
    names = {each.lot for each in touched}
    handed = tuple(
        Handed(lot.name, move.line.when.date(), what.kg, move.line.kind.value, getattr(what, "buyer", ""), what.purpose)
        for lot in known
        if lot.name in names
        for move in lot.moves
        if isinstance(what := move.line.what, Sale | Use)
    )
    return LoadPage(_load(session, one), _went(session, found.draws), touched, handed, _lines(session, one.lines))


def called_back(session: Session, on: date | None = None) -> dict[str, str]:
    """Why a lot is called back, by its name: every lot that a load reached which turned out bad."""
    if not any(isinstance(line.what, Bad) for line in session.store.lot_lines()):
        return {}  # without the logs of all bins, of which a larder is made
    until, kept = on or session.asked_on, session.cache.rows
    token = f"{session.store.revision()} {until}"
    if (held := kept.get(_Back, "", token)) is None:
        held = _Back(tuple(_backs(session, on, until)))
        if not session.logs.unread:  # else it is asked again, so that what cannot be read is told
            kept.put("", token, held)
            kept.flush()
    return {each.lot: each.why for each in held.lots}


def _backs(session: Session, on: date | None, until: date | None) -> Iterator[_CalledBack]:
    held = session.cache.larder(on)
    known = lots(line for line in session.store.lot_lines() if until is None or line.when.date() <= until)
    found: set[str] = set()
    for each in held.loads:
        if each.bad is not None:
            why = f"load {each.name} turned out bad" + (f": {each.bad}" if each.bad else "")
            for lot in _lots_reached(session, known, reached(each.name, held).draws):
                if lot.lot not in found:
                    found.add(lot.lot)
                    yield _CalledBack(lot.lot, why)


def _went(session: Session, draws: Iterable[Draw]) -> tuple[WentTo, ...]:
    """Where draws went, by bin and pile: together what is certain, and what is not apart."""
    bins = {one.key: one.name for one in session.bins()}
    parts: dict[tuple[str, str, bool], list[Draw]] = {}
    for draw in draws:
        parts.setdefault((draw.bin, draw.pile, draw.sure), []).append(draw)
    return tuple(
        WentTo(
            bin, pile, bins.get(bin, bin) if bin else pile, sum(each.kg for each in there),
            min(each.on for each in there), max(each.on for each in there), sure,
        )
        for (bin, pile, sure), there in parts.items()
    )  # fmt: skip


def _lots_reached(session: Session, known: Sequence[Lot], draws: Sequence[Draw]) -> Iterable[LotReached]:
    """Lots with castings that a bin gave after it got some: of the same harvest, or of a later one."""
    started = {one.key: one.started for one in session.bins()}
    first = {each.bin: min(d.on for d in draws if d.bin == each.bin) for each in draws if each.bin}
    ids = {each.entry for each in draws if each.bin}
    for lot in known:
        logs = {
            what.source: session.cache.counted.get(what.source) or ()
            for move in lot.intakes
            if isinstance(what := move.line.what, Intake) and what.source in first
        }
        if not logs:
            continue
        for origin in origins(lot, logs, started):
            if origin.bin in first and origin.on >= first[origin.bin]:
                words = f"{STEP_WORDS[lot.step]} since {lot.step_on.isoformat()}"
                likely = bool(origin.entries & ids)
                yield LotReached(lot.name, words, origin.bin, origin.on, max(0.0, lot.kg), likely)


def _lines(session: Session, lines: Iterable[LotLine]) -> tuple[LotLineView, ...]:
    units, name = session.units, ledger_of(session).name
    return tuple(LotLineView.of(each, words_of(each.what, units, name)) for each in lines)


def all_piles(session: Session, on: date | None = None) -> tuple[PileView, ...]:
    """Every pile, the oldest first."""
    until = on or session.asked_on
    book = (line for line in session.store.lot_lines() if until is None or line.when.date() <= until)
    return tuple(_pile(session, each) for each in piles(book))


def pile(session: Session, words: str, on: date | None = None) -> PileView:
    """The pile meant."""
    return find_lot(words, all_piles(session, on), "pile")


def _pile(session: Session, each: Pile) -> PileView:
    table = session.table
    parts = [Ingredient.of(table.get(key), kg) for key, kg in each.put_on if key in table]
    return shown_as(
        PileView, each, put_on=tuple((ledger_of(session).name(key), kg) for key, kg in each.put_on),
        cn=blend(parts).cn if parts else None, told=_lines(session, each.lines),
    )  # fmt: skip


def write(session: Session, name: str, kind: LotKind, said: Mapping[str, str], heading: Heading = NOW) -> Recorded:
    """Save one line about a load, a pile, a cost or an order, its fields in the keeper's words, by their names."""
    ledger, described = ledger_of(session), LOT_BY_KIND[kind]
    wrong = session.store.find_line(heading.replaces) if heading.replaces.strip() else None
    if wrong is not None and wrong.kind is kind:  # what is unsaid of a line put right stays
        said = {**typed_fields(wrong.what, ledger.spoken, session.units), **said}
    for each in described.fields:
        words = said.get(each.name, "").strip()
        if words and each.of in (Of.BIN, Of.LOT):
            meant = (
                session.bin(words).key if each.of is Of.BIN else find_lot(words, lots(session.store.lot_lines())).name
            )
            said = {**said, each.name: meant}
    several = ledger.spoken.portions([said.get("portion", "")]) if kind is LotKind.PILED and wrong is None else ()
    if len(several) > 1:
        each_said = ({**said, "portion": f"{each.said} {each.material}"} for each in several)
        whats = [ledger.spoken.read(described, each) for each in each_said]
        name = _named(session, described.about, name, whats[0])
        lines = ledger.lot_lines([(name, each) for each in whats], heading)
        session.store.record(lines)
        words = "; ".join(words_of(each, session.units, ledger.name) for each in whats)
        return Recorded(tuple(line.id for line in lines), f"{described.about} {name}: {words} - written down", ())
    what = ledger.spoken.read(described, said)
    name = _named(session, described.about, name, what)
    if heading.ask and wrong is None and isinstance(what, Released):
        _ask_early(session, name)
    if heading.ask and wrong is None and isinstance(what, Opened):
        _ask_bad(session, name)
    line = ledger.save_lot(name, what, heading)
    done = "put right" if wrong is not None else "written down"
    on = line.when.date()
    day = "" if on == session.clock().date() else f" on {on.isoformat()}"
    words = words_of(what, session.units, ledger.name)
    minding = tuple(_treated(what.treated)) if isinstance(what, Load) else ()
    return Recorded((line.id,), f"{described.about} {line.lot}{day}: {words} - {done}", minding)


def _treated(words: str) -> Iterator[str]:
    """What to mind of what the animals or the field were treated with."""
    said = words.casefold()
    if said.startswith(("not ", "no ", "nothing", "none", "never")):
        return
    if any(word in said for word in WORMERS):
        yield f"Some wormers kill worms for weeks. Try it on a few worms first. {CAUTIONS['manure']}"
    if any(word in said for word in SPRAYS):
        yield CAUTIONS["herbicide"]


@dataclass(frozen=True, slots=True)
class _CalledBack:
    lot: str
    why: str


@dataclass(frozen=True, slots=True)
class _Back:
    """What is called back, as it is kept until anything in the store changes."""

    lots: tuple[_CalledBack, ...]


@dataclass(frozen=True, slots=True)
class _Named:
    """A name that the book has."""

    name: str


def _named(session: Session, about: str, name: str, what: LotWhat) -> str:
    """The name as the book has it already; one of its own for what came in without one."""
    said = " ".join(tidy(name).split())
    taken = {lot_key(line.lot): line.lot for line in session.store.lot_lines() if line.about == about}
    if not isinstance(what, Load | Piled | Cost | Order):
        return find_lot(name, [_Named(each) for each in taken.values()], about).name
    if not said and isinstance(what, Load):
        start = f"{what.material}-{session.clock():%m%d}"
        names = chain([start], (f"{start}-{number}" for number in count(2)))
        said = next(each for each in names if lot_key(each) not in taken)
    if problems := tuple(replace(each, field=about) for each in lot_name_problems(said)):
        raise RefusedError(problems)
    return taken.get(lot_key(said), said)


def _ask_bad(session: Session, name: str) -> None:
    """Raise DoubtedError for a load that is opened though it turned out bad."""
    found = find_lot(name, session.cache.larder().loads, "load")
    if found.bad is not None:
        why = f": {found.bad}" if found.bad else ""
        words = f"load {found.name} turned out bad{why}. Open it all the same?"
        raise DoubtedError((Question("load", found.name, words),))


def _ask_early(session: Session, name: str) -> None:
    """Raise DoubtedError for what comes off a pile before the readings show that the heat has done its work."""
    found = pile(session, name)
    if not found.met:
        asked = counted(found.days_asked, "day") + (f" and {found.turns_asked} turns" if found.turns_asked else "")
        so_far = counted(found.hot_days, "day") + (f" and {found.turns} turns" if found.turns_asked else "")
        words = f"pile {found.name}: the readings show {so_far} at 55 C, of {asked}. Release it all the same?"
        raise DoubtedError((Question("pile", found.name, words),))


@dataclass(frozen=True, slots=True)
class LoadView(Stocked):
    """One load with the name of its material. Masses in fresh kg, moisture as a fraction where it was tested."""

    material_name: str = ""
    of_bad: str = ""
    """The bad load that went onto the pile it is from."""


@dataclass(frozen=True, slots=True)
class OnHandView:
    """What is left of a material in all loads: how fast it goes, how long it lasts, when to buy; None: not told."""

    material: str
    name: str
    kg: float
    used_kg_day: float
    lasts_until: date | None
    buy_by: date | None
    on: date
    keeps_days: int | None = None
    """About how long it keeps before it rots; None for what keeps."""


@dataclass(frozen=True, slots=True)
class LoadsView:
    """Every load, the newest last, and what is on hand by material."""

    loads: tuple[LoadView, ...]
    on_hand: tuple[OnHandView, ...]


@dataclass(frozen=True, slots=True)
class WentTo:
    """Where some of a load went: a bin or a pile, how much, first and last day; ``sure`` is whether it is certain."""

    bin: str
    pile: str
    name: str
    kg: float
    first: date
    last: date
    sure: bool


@dataclass(frozen=True, slots=True)
class LotReached:
    """A lot with castings of a bin that got some of a load. ``likely`` is within the same harvest, else a later one."""

    lot: str
    words: str
    bin: str
    on: date
    kg: float
    likely: bool


@dataclass(frozen=True, slots=True)
class Handed:
    """What went out of a lot to somebody, or was used: the day, kg, who and what for."""

    lot: str
    on: date
    kg: float
    kind: str
    buyer: str
    purpose: str


@dataclass(frozen=True, slots=True)
class LoadPage:
    """A load opened: where it went, and by way of bins the lots and buyers that it reached."""

    load: LoadView
    went: tuple[WentTo, ...]
    lots: tuple[LotReached, ...]
    handed: tuple[Handed, ...]
    lines: tuple[LotLineView, ...]


@dataclass(frozen=True, slots=True)
class PileView(Pile):
    """One pile with its lines ``told``; what was ``put_on`` by everyday names."""

    cn: float | None = None
    told: tuple[LotLineView, ...] = ()
