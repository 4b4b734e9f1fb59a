"""Castings after the harvest: lots, stock, where a bag came from; steps, sales and uses written."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from typing import TYPE_CHECKING

from wormbin.castings.holding import hold
from wormbin.castings.loads import by_load
from wormbin.castings.lot import Lot, find_lot, lots
from wormbin.castings.origin import Yield, finished_share, origins, went, yield_of
from wormbin.castings.plan import LEAST_CURE_DAYS
from wormbin.farm.errors import DoubtedError, Question
from wormbin.farm.heading import NOW, Heading, read_moment
from wormbin.farm.logbook import ledger_of
from wormbin.farm.views import shown_as
from wormbin.farm.views.bin import Recorded
from wormbin.farm.views.lots import Given, LotLineView, LotPage, LotView, OriginView, StockView, WentView
from wormbin.farm.words.log import STEP_WORDS, words_of
from wormbin.farm.words.spoken import choice
from wormbin.farm.words.typed import typed_fields
from wormbin.materials.material import CASTINGS
from wormbin.materials.table import kg_of
from wormbin.measures import Dimension, counted, mass, parse_amount, shown, tidy
from wormbin.problems import Problem, RefusedError
from wormbin.records.bins import Bin
from wormbin.records.entries import Entry
from wormbin.records.kinds.castings import LOT_BY_KIND, LotKind, Product
from wormbin.records.lots import STEPS, Intake, LotLine, LotStep, LotWhat, Sale, Stepped, Use, lot_key, with_intakes
from wormbin.science.cautions import CAUTIONS, SELLING
from wormbin.science.constants import CASTINGS_KG_M3

if TYPE_CHECKING:
    from wormbin.farm.session import Session
    from wormbin.farm.views.lots import PlanView


def write_line(session: Session, name: str, kind: LotKind, said: Mapping[str, str], heading: Heading = NOW) -> Recorded:
    """Save one line of the castings book, about a lot or what else it holds, its fields in the keeper's words."""
    from wormbin.farm import feedstock

    if LOT_BY_KIND[kind].about == "lot":
        return Lots(session).write(name, kind, said, heading)
    return feedstock.write(session, name, kind, said, heading)


_ALL = ("all", "rest", "all of it", "the rest")
_BEFORE_SALE = "Local law says what a label may say. What to mind before a sale: wormbin castings show “{lot}”"
_USING = ("salt", "dressing", "own-trial", "dust", "hands")
_BREWED = ("tea", "extract", "brew")
"""Words for what is made with water; "extract" is what is to be minded then."""


@dataclass(frozen=True, slots=True)
class Lots:
    """The castings book of one farm. ``on`` looks at a day: what was written for later days does not count then."""

    farm: Session

    def _lots(self, on: date | None = None) -> tuple[Lot, ...]:
        on = on or self.farm.asked_on
        return lots(line for line in self.farm.store.lot_lines() if on is None or line.when.date() <= on)

    def _lines_but(self, entry: str) -> Iterator[LotLine]:
        return (line for line in self.farm.store.lot_lines() if line.id != entry)

    def lot(self, words: str, on: date | None = None) -> Lot:
        """The lot meant. Raises RefusedError with those there are."""
        return find_lot(words, self._lots(on))

    def all(self, on: date | None = None) -> tuple[LotView, ...]:
        """Every lot, the oldest first."""
        held = self._held(on)
        return tuple(self._view(lot, held) for lot in self._lots(on))

    def _held(self, on: date | None = None) -> Mapping[str, str]:
        """Why lots are called back, by their names."""
        from wormbin.farm.feedstock import called_back

        return called_back(self.farm, on)

    def _density(self, lot: Lot) -> float:
        """kg a litre: as measured on this lot, else that of the material table."""
        book = self.farm.table.get(CASTINGS).bulk_density_kg_m3
        return lot.kg_per_litre or (book or CASTINGS_KG_M3) / 1000.0

    def _view(self, lot: Lot, held: Mapping[str, str]) -> LotView:
        units = self.farm.units
        kg = max(0.0, lot.kg)
        left = "empty" if lot.empty else mass(kg, units)
        bins = dict.fromkeys(each.line.what.source for each in lot.intakes if isinstance(each.line.what, Intake))
        return shown_as(
            LotView, lot, kg=kg, litres=kg / self._density(lot), bins=tuple(bins),
            words=f"{left}, {STEP_WORDS[lot.step]} since {lot.step_on.isoformat()}", short=_short_words(lot, units),
            called_back=held.get(lot.name, ""),
        )  # fmt: skip

    def show(self, words: str, on: date | None = None, *, struck: bool = False) -> LotPage:
        """A lot opened: bins, days and feedstocks behind it, and its lines; with ``struck`` the struck ones, too."""
        lot = self.lot(words, on)
        bins = {one.key: one for one in self.farm.bins()}
        logs = {
            what.source: self.farm.cache.counted.get(what.source) or ()
            for each in lot.intakes
            if isinstance(what := each.line.what, Intake)
        }
        found = origins(lot, logs, {key: one.started for key, one in bins.items()})
        draws = self.farm.cache.larder(on).draws
        beds = []
        for each in found:
            own = by_load(draw for draw in draws if draw.bin == each.bin and draw.entry in each.entries)
            beds.append(
                shown_as(
                    OriginView, each, name=_name(bins, each.bin), entry=each.harvest, feeds=self._given(each.feeds),
                    beddings=self._given(each.beddings), loads=tuple(part for part in own if part.load),
                )
            )  # fmt: skip
        cautions = tuple(CAUTIONS[code].text for code in SELLING)
        return LotPage(self._view(lot, self._held(on)), tuple(beds), self._lines(lot, struck), cautions)

    def _given(self, given: Sequence[tuple[str, float]]) -> tuple[Given, ...]:
        table = self.farm.table
        return tuple(Given(key, table.get(key).name if key in table else key, kg) for key, kg in given)

    def _lines(self, lot: Lot, struck: bool) -> tuple[LotLineView, ...]:
        units = self.farm.units
        stands = [LotLineView.of(move.line, words_of(move.line.what, units), move.after_kg) for move in lot.moves]
        if not struck:
            return tuple(stands)
        counted = {line.entry for line in stands}
        gone = [
            LotLineView.of(line, words_of(line.what, units), why=line.struck.why if line.struck else "amended")
            for line in self.farm.store.lot_lines()
            if lot_key(line.lot) == lot_key(lot.name) and line.id not in counted
        ]
        return tuple(sorted([*stands, *gone], key=lambda line: line.on))

    def stock(self, on: date | None = None) -> StockView:
        """What is ready to go, and what is on its way."""
        views = self.all(on)
        ready = tuple(view for view in views if view.in_stock)
        waiting = sum(view.kg for view in views if not view.in_stock)
        return StockView(sum(view.kg for view in ready), sum(view.litres for view in ready), waiting, ready)

    def went(self, bin: str, on: date | None = None) -> tuple[WentView, ...]:
        """Where the castings of one bin went."""
        one, held = self.farm.bin(bin), self._held(on)
        return tuple(shown_as(WentView, each, lot=self._view(each.lot, held)) for each in went(one.key, self._lots(on)))

    def yields(self, on: date | None = None) -> tuple[Yield, ...]:
        """What every bin gave for what it was given, up to its latest harvest."""
        known, until = self._lots(on), on or self.farm.asked_on
        return tuple(yield_of(one, log, until, finished_share(one.key, known)) for one, log in self.farm.cache.counted)

    def plan(self, amount: str, by: str, on: date | None = None, product: str = "screened") -> PlanView:
        """Whether so much can be ready by a day, and which bins bring it."""
        from wormbin.farm.lot_plans import plan

        what = choice(Product, product, "product") or Product.SCREENED
        return plan(self.farm, self._lots(on), amount, by, on or self.farm.asked_on, what)

    # writing

    def write(self, lot: str, kind: LotKind, said: Mapping[str, str], heading: Heading = NOW) -> Recorded:
        """Save one line of a lot, its fields in the keeper's words, by their names in the table of kinds."""
        spoken = replace(ledger_of(self.farm).spoken, out_of_lot=partial(self._out, lot, heading.replaces))
        wrong = self.farm.store.find_line(heading.replaces) if heading.replaces.strip() else None
        if wrong is not None and wrong.kind is kind:  # what is unsaid of a line put right stays
            said = {**typed_fields(wrong.what, spoken, self.farm.units), **said}
        what = spoken.read(LOT_BY_KIND[kind], said)
        minding: tuple[str, ...] = ()
        if isinstance(what, Stepped):
            if what.step is LotStep.HARVESTED:
                raise RefusedError(Problem("step", shown(said["step"]), ", ".join(STEPS[1:]), "curing"))
            minding = ("dust", "lift") if what.step is LotStep.SCREENED else ()
        elif isinstance(what, Use):
            minding = (*(("extract",) if any(word in what.purpose.casefold() for word in _BREWED) else ()), *_USING)
        elif isinstance(what, Sale) and what.price is None:
            what = replace(what, price=self._by_price(lot, what))
        if heading.ask and not heading.replaces:
            self._ask_called_back(lot, what)
            then = read_moment(heading, self.farm.clock()).when.date()
            self._ask_early(lot, what, then)
            self._ask_uncured(lot, what, then)
        return self._write(lot, what, heading, minding)

    def _by_price(self, words: str, sale: Sale) -> float | None:
        """What a sale comes to by the keeper's own prices, in the measure that it was said in; None without one."""
        settings, density = self.farm.settings(), self._density(self.lot(words))
        said = parse_amount(sale.said, usual=self._bags) if sale.said else None
        litres = said is not None and said.dimension is Dimension.VOLUME
        measure, kg = ("litre", density) if litres else ("kg", 1.0)
        if "bag" in sale.said and (size := self._bags.get("bag")):
            bag = parse_amount(size, "size of your bag")
            measure, kg = "bag", bag.litres() * density if litres else bag.kg()
        price = settings.prices.get(measure)
        return None if price is None else round(price * sale.kg / kg, 2)

    @property
    def _bags(self) -> dict[str, str]:
        """The keeper's own bag, by which castings go out."""
        size = self.farm.settings().measures.get("bag", "")
        return {"bag": size} if size else {}

    def _ask_called_back(self, words: str, what: LotWhat) -> None:
        """Raise DoubtedError for what is sold or used of a lot that a bad load reached."""
        name = self.lot(words).name
        if isinstance(what, Sale | Use) and (why := self._held().get(name)):
            done = "Sell" if isinstance(what, Sale) else "Use"
            raise DoubtedError((Question("lot", name, f"lot {name} is called back: {why}. {done} it all the same?"),))

    def _ask_early(self, words: str, what: LotWhat, then: date) -> None:
        """Raise DoubtedError for a sale from a lot that was not in stock by then, and for a use of what was not cured.

        A sieved one may go onto the own beds.
        """
        now = self.lot(words)
        lot = next((each for each in self._lots(then) if each.name == now.name), now)
        early = ""
        if isinstance(what, Sale) and lot.step is not LotStep.STOCK:
            early = "in stock yet. Sell"
        elif isinstance(what, Use) and lot.step in (LotStep.HARVESTED, LotStep.CURING):
            early = "cured yet. Use"
        if early:
            been = "is" if lot.step is now.step else f"on {then.isoformat()} was"
            said = f"lot {lot.name} {been} {STEP_WORDS[lot.step]}, not {early} from it all the same?"
            raise DoubtedError((Question("lot", lot.name, said),))

    def _ask_uncured(self, words: str, what: LotWhat, then: date) -> None:
        """Raise DoubtedError for a lot that is sieved or put into stock within days of its harvest, never cured."""
        lot = self.lot(words)
        days = (then - lot.intakes[-1].line.when.date()).days
        fresh = lot.step is LotStep.HARVESTED and days < LEAST_CURE_DAYS
        if isinstance(what, Stepped) and what.step is not LotStep.CURING and fresh:
            since = f"lot {lot.name} came off {counted(days, 'day')} before and has not cured"
            said = f"{since}. Later you cannot say that it did: {what.step.value} all the same?"
            raise DoubtedError((Question("step", what.step.value, said),))

    def amount_out(self, words: str, amount: str) -> tuple[float, str]:
        """Wet kg of a lot that an amount in words is, and the words: "2 kg", "3 bags", "all"."""
        return self._out(words, "", amount)

    def write_off(self, under: str, purpose: str, heading: Heading = NOW) -> Recorded:
        """Write off what is left of every lot in stock of which there is less than ``under``, in one go."""
        limit = kg_of(
            parse_amount(under, "under", expect=(Dimension.MASS, Dimension.VOLUME)), self.farm.table.get(CASTINGS)
        )
        tails = [lot for lot in self._lots() if lot.in_stock and lot.kg < limit]
        if not tails:
            raise RefusedError(Problem("under", under, "more than is left of some lot in stock", "1 kg"))
        lines = ledger_of(self.farm).lot_lines([(lot.name, Use(lot.kg, purpose)) for lot in tails], heading)
        self.farm.store.record(lines)
        names = ", ".join(f"{mass(lot.kg, self.farm.units)} of {lot.name}" for lot in tails)
        return Recorded(tuple(line.id for line in lines), f"written off: {names}", ())

    def _out(self, words: str, instead_of: str, amount: str) -> tuple[float, str]:
        """Wet kg that are to go out of a lot, and the words; "all" is what is in it, but for the line put right."""
        lot = self.lot(words)
        wrong = self.farm.store.find_line(instead_of) if instead_of.strip() else None
        if wrong is not None and isinstance(wrong.what, Sale | Use) and amount and amount == wrong.what.said:
            return wrong.what.kg, amount  # by how dense the lot was then
        if tidy(amount).casefold() in _ALL:
            return max(0.0, find_lot(words, lots(self._lines_but(wrong.id if wrong is not None else ""))).kg), ""
        said = parse_amount(amount, "amount", expect=(Dimension.MASS, Dimension.VOLUME), usual=self._bags)
        if said.dimension is Dimension.VOLUME:
            return said.litres() * self._density(lot), said.said
        return kg_of(said, self.farm.table.get(CASTINGS)), said.said

    def _write(self, words: str, what: LotWhat, heading: Heading, minding: Sequence[str]) -> Recorded:
        farm, now = self.farm, self.farm.clock()
        lot = self.lot(words)
        line = ledger_of(farm).save_lot(lot.name, what, heading)
        after = self.lot(lot.name)
        day = "" if line.when.date() == now.date() else f" on {line.when.date().isoformat()}"
        left = "nothing is left in it" if after.empty else f"{mass(after.kg, farm.units)} in it now"
        done = "put right" if heading.replaces.strip() else "written down"
        early = isinstance(what, Sale) and after.step is not LotStep.STOCK
        unready = (f"lot {lot.name} is {STEP_WORDS[after.step]}, not in stock yet",) if early else ()
        before = (_BEFORE_SALE.format(lot=lot.name),) if isinstance(what, Sale) else ()
        return Recorded(
            (line.id,),
            f"lot {lot.name}{day}: {words_of(what, farm.units)} - {done}; {left}",
            (*unready, *before, *(CAUTIONS[code].text for code in minding)),
        )

    # a harvest into a lot

    def joined_words(self, name: str) -> str:
        """What a lot holds after a harvest went into it."""
        lot = self.lot(name)
        count = len(lot.intakes)
        if count == 1:
            return f"opens lot {lot.name}"
        return f"joins lot {lot.name}: {mass(lot.kg, self.farm.units)} from {count} harvests"

    def would_join(self, entries: Sequence[Entry]) -> tuple[str, ...]:
        """What a harvest would do to its lot. Raises RefusedError where it must not go into that one."""
        made = [line for line in with_intakes(entries) if isinstance(line, LotLine)]
        if made:
            book = self.farm.store.lot_lines()
            hold(book, [*book, *made], self.farm.units)
        known = {lot_key(lot.name): lot for lot in self._lots()}
        joins = ((line.lot, known.get(lot_key(line.lot))) for line in made)
        return tuple(
            f"joins lot {name}, with {mass(lot.kg, self.farm.units)} in it" if lot else f"opens lot {name}"
            for name, lot in joins
        )

    def line_words(self, line: LotLine) -> str:
        """A line of the castings book in words, with its lot, load, pile or cost."""
        return f"{line.about} {line.lot}: {words_of(line.what, self.farm.units, ledger_of(self.farm).name)}"


def _short_words(lot: Lot, units: str) -> str:
    """What is wrong with a lot out of which more went than was in it; empty for a lot that adds up."""
    if not lot.short_kg:
        return ""
    return (
        f"more went out of lot {lot.name} than was in it, by {mass(lot.short_kg, units)}:"
        " strike or amend the line that is wrong (castings show)"
    )


def _name(bins: dict[str, Bin], key: str) -> str:
    return bins[key].name if key in bins else key
