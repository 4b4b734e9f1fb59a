"""A plan for castings: so much by a day, from stock, lots on their way, and the bins by their harvest windows."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import ceil
from statistics import median

from wormbin.advice.finding import Doing
from wormbin.castings.lot import Lot
from wormbin.castings.orders import Promise, promises
from wormbin.castings.plan import (
    COMES,
    KEPT,
    KEPT_COARSE,
    LIKELY,
    Delivery,
    Outcome,
    outcome,
    own_cure_days,
    own_kept,
    ready_on,
)
from wormbin.farm import rounds
from wormbin.farm.cache.rows import Dues, Meal
from wormbin.farm.feedstock import called_back
from wormbin.farm.rounds.fill import Filling
from wormbin.farm.session import AHEAD_DAYS, Session
from wormbin.farm.views.lots import CameView, DeliveryView, NeedView, PlanView
from wormbin.farm.views.round import ComingRow, RoundRow
from wormbin.figures import Band
from wormbin.measures import Dimension, mass, parse_amount, parse_date, percent
from wormbin.measures.dates import day_words
from wormbin.problems import Problem, RefusedError
from wormbin.records.bins import Bin
from wormbin.records.entries import Harvest
from wormbin.records.kinds.castings import Load, Product
from wormbin.records.lots import LotLine, LotStep, standing_lots
from wormbin.schedule.harvest import SIEVE_KG_MINUTE, harvest_minutes
from wormbin.schedule.pace import MINUTES
from wormbin.science.practice import CURE_DAYS, cure_days

FARTHEST_DAYS = 366
SPARE = 1.25
"""So much more than what is lacking the bins of a plan bring, if all goes as is likely (ours)."""
FIRST_HARVEST_DAYS, FIRST_HARVEST = 120, "about 4 months, common practice, no source, and the curing"


@dataclass(frozen=True, slots=True)
class Wish:
    """So much finished castings by a day, as of today."""

    kg: float
    by: date
    today: date

    @property
    def horizon(self) -> date:
        """The last day that is looked ahead to."""
        return max(self.by, self.today + timedelta(days=AHEAD_DAYS))


def wish(farm: Session, amount: str, by: str, on: date | None = None) -> Wish:
    """What is asked for, in the keeper's words."""
    today = on or farm.asked_on or farm.clock().date()
    wanted = parse_amount(amount, "kg", expect=Dimension.MASS).kg()
    day = parse_date(by, today, "by", toward="future")
    if wanted < 0:
        raise RefusedError(Problem("kg", amount, "an amount of castings", "40 kg"))
    example = (today + timedelta(days=90)).isoformat()
    if not today <= day <= today + timedelta(days=FARTHEST_DAYS):
        raise RefusedError(Problem("by", day.isoformat(), f"a day from {today} to a year from then", example))
    return Wish(wanted, day, today)


def rests_on(farm: Session, wish: Wish, on: date | None = None) -> Filling:
    """The bins that a plan rests on, to be worked out as far as its day: the round's rows, as far as these reach."""
    days = (wish.horizon - wish.today).days
    return rounds.filling(farm, on, far=days if days > AHEAD_DAYS else 0)


@dataclass(frozen=True, slots=True)
class Supply:
    """All that castings can come from, up to a horizon: stock, lots on their way, harvests to come.

    ``found`` are the harvests to come with their bins and the days that they cure; ``price`` what a kg of feed costs.
    """

    today: date
    horizon: date
    known: tuple[Lot, ...]
    bins: Mapping[str, Bin]
    rows: Mapping[str, RoundRow]
    found: tuple[tuple[Bin, ComingRow, int], ...]
    promised: tuple[Promise, ...]
    price: float | None
    kept: Band
    own_days: int | None
    own_share: float | None
    not_counted: tuple[str, ...] = ()

    @property
    def in_stock_kg(self) -> float:
        """What is ready to go."""
        return sum(lot.kg for lot in self.known if lot.in_stock)

    def coming_kg(self, by: date) -> float:
        """What lots that are on their way will give by a day."""
        return _coming(self.known, by, self.own_days, self.bins, self.kept.p50)

    def promised_kg(self, by: date) -> float:
        """What is still to be delivered by a day, of castings."""
        return sum(each.open_kg for each in self.promised if each.due <= by)

    def lacking_kg(self, kg: float, by: date) -> float:
        """What the bins must bring so that ``kg`` are free by a day, beyond all that is promised by then."""
        return kg + self.promised_kg(by) - self.in_stock_kg - self.coming_kg(by)

    def outcome(self, kg: float, by: date) -> Outcome:
        """What the bins bring by a day, and how likely it is that ``kg`` are free then."""
        deliveries = tuple(_delivery(one, each, cure, self.today, by) for one, each, cure in self.found)
        lacking = self.lacking_kg(kg, by)
        found = outcome(deliveries, max(lacking, 0.0), by, self.horizon, kept=self.kept, today=self.today)
        return replace(found, likelihood=1.0) if lacking <= 0 else found


def supply(
    farm: Session, known: Sequence[Lot], wish: Wish, on: date | None, product: Product = Product.SCREENED
) -> tuple[Supply, tuple[str, ...]]:
    """The supply as of a day; and which bins cannot be read."""
    own_days, own_share = own_cure_days(known), own_kept(known)
    kept = KEPT if own_share is None else Band(own_share * 0.85, own_share, min(1.0, own_share * 1.15))
    filling = rests_on(farm, wish, on)
    list(rounds.filled(farm, filling))
    far = {each.bin: each.rows for each in filling.coming}
    laid = {row.bin: row for row in (filling.laid_out() if filling.known else rounds.rows(farm, on))}
    rows = {key: tuple(_as_laid(row, far.get(key, row.coming))) for key, row in laid.items()}
    bins = {one.key: one for one in farm.bins()}
    found = tuple(
        (one, each, cure_days(one.site_temp_c, own_days))
        for one in bins.values()
        if one.ended is None
        for each in rows.get(one.key, ())
    )
    lines = farm.store.lot_lines()
    promised = tuple(
        each
        for each in promises(lines, wish.today, wish.horizon)
        if each.product is not Product.WORMS and each.due >= wish.today and each.open_kg
    )
    kept, own_share = (KEPT_COARSE, None) if product is Product.COARSE else (kept, own_share)
    troubled = tuple(f"{each.name} cannot be read and is left out: {each.why}" for each in filling.troubled)
    price = kg_price(lines)
    back = called_back(farm, on)
    free = tuple(lot for lot in known if lot.name not in back)
    left_out = not_counted(known, back, farm.units)
    return Supply(
        wish.today, wish.horizon, free, bins, laid, found, promised, price, kept, own_days, own_share, left_out
    ), troubled


def not_counted(known: Sequence[Lot], back: Mapping[str, str], units: str) -> tuple[str, ...]:
    """How much of lots is called back, and how much is sieved and was not put into stock; nothing where none is."""
    left = [lot for lot in known if not lot.empty]
    held = [lot for lot in left if lot.name in back]
    sieved = [lot for lot in left if lot.name not in back and lot.step is LotStep.SCREENED]
    words = {
        f"called back not counted: {', '.join(lot.name for lot in held)}": held,
        f"sieved, not in stock yet. Is it cured? wormbin castings step {_one_word(sieved)} stock": sieved,
    }
    return tuple(f"{mass(sum(lot.kg for lot in of), units)} {said}" for said, of in words.items() if of)


def _one_word(found: Sequence[Lot]) -> str:
    name = found[0].name if found else ""
    return f"“{name}”" if " " in name else name


def _as_laid(row: RoundRow, coming: Iterable[ComingRow]) -> Iterator[ComingRow]:
    """The harvests to come of a bin, the next on the day on which the week has time for it."""
    for each in coming:
        yield replace(each, on=row.harvest.on) if each.part == row.harvest.part else each


def plan(
    farm: Session, known: Sequence[Lot], amount: str, by: str, on: date | None, product: Product = Product.SCREENED
) -> PlanView:
    """Whether ``amount`` of finished castings can be free ``by`` a day, as of ``on``, and what that asks for."""
    if product is Product.WORMS:
        raise RefusedError(Problem("product", product, "screened, coarse or extract base", "screened"))
    asked, now = wish(farm, amount, by, on), farm.clock().date()
    held, troubled = supply(farm, known, asked, on, product)
    found = held.outcome(asked.kg, asked.by)
    views = [
        DeliveryView(
            one.key, f"{one.name}, {each.part}" if each.part else one.name, ready, each.kg.times(held.kept.p50),
            each.earliest, each.likely, each.latest, last, each.on, cure, each.due_since,
        )
        for (one, each, cure), ready, last in zip(held.found, found.ready, found.harvest_by, strict=True)
    ]  # fmt: skip
    views.sort(key=lambda each: (-each.ready, each.on or each.likely or date.max, each.bin))
    chosen = _chosen(views, held.lacking_kg(asked.kg, asked.by))
    cures = sorted({cure for _one, _each, cure in held.found}) or [held.own_days or CURE_DAYS]
    sieves = product is not Product.COARSE
    weeks = needs(farm, held, chosen, asked.by, on, sieves=sieves)
    return PlanView(
        asked.kg, asked.by, held.in_stock_kg, held.coming_kg(asked.by), found.brings, found.likelihood, cures[-1],
        held.kept.p50, tuple(views), (*_words(farm.units, held, asked, found, cures), *troubled),
        held.promised_kg(asked.by), tuple(each.bin for each in chosen), weeks,
        tuple(begin_now(held, chosen)), tuple(_instead(farm.units, held, asked, found)),
        asked.today, tuple(_came(farm, held, asked)) if asked.today < now else None, asked.by >= now,
    )  # fmt: skip


def _came(farm: Session, held: Supply, asked: Wish) -> Iterator[CameView]:
    """What was taken off each bin after the day of a plan, early enough to cure, by what is left after sieving."""
    for one, log in farm.cache.counted:
        last = asked.by - timedelta(days=cure_days(one.site_temp_c, held.own_days))
        off = [each for each in log if isinstance(each.what, Harvest) and asked.today < each.when.date() <= last]
        kg = sum(each.what.castings_kg for each in off if isinstance(each.what, Harvest)) * held.kept.p50
        if off:
            yield CameView(one.key, one.name, kg, max(each.when.date() for each in off))


def _words(units: str, held: Supply, asked: Wish, found: Outcome, cures: Sequence[int]) -> Iterator[str]:
    """What the plan rests on."""
    day, kept = asked.by, held.kept.p50
    promised = held.promised_kg(day)
    yield (
        f"{mass(held.in_stock_kg, units)} is in stock. About {mass(held.coming_kg(day), units)} comes from lots on"
        f" their way, and about {mass(found.brings.p50, units)} from the bins"
        f" ({mass(found.brings.p10, units)} to {mass(found.brings.p90, units)}, right 8 times in 10)"
    )
    yield from held.not_counted
    if promised:
        yield f"{mass(promised, units)} of it is promised to others by then: wormbin orders"
    by_words = " or ".join((day - timedelta(days=cure)).isoformat() for cure in reversed(cures))
    days_words = " or ".join(str(cure) for cure in reversed(cures)) + (" day" if list(cures) == [1] else " days")
    cooler = ", the longer where it is cooler" if len(cures) > 1 else ""
    yield (
        f"harvest by {by_words} to have it in the bag by {day.isoformat()}."
        f" It takes {days_words} to cure and sieve ({_whence(held.own_days)}{cooler})."
        f" {percent(kept)} of the mass is left then ({_whence(held.own_share)})"
    )
    if max(day - timedelta(days=cure) for cure in cures) < asked.today:
        yield "that day has gone by: what you harvest now is not in the bag by then"
    if any(each.due_since is None for _one, each, _cure in held.found):
        yield f"of bins that are not due yet {percent(COMES)} of the castings foreseen are counted: made-up bins had so"
    yield "what makes one bin late makes the others late, too, in part: weather, food, your own hand"


def _chosen(views: Sequence[DeliveryView], lacking: float) -> tuple[DeliveryView, ...]:
    """The bins that the plan needs: the likeliest in time first, until they bring enough with something to spare."""
    found, kg = [], 0.0
    for each in views:
        if kg >= SPARE * lacking or each.ready < 0.05:
            break
        found.append(each)
        kg += each.ready * each.kg.p50 * (1.0 if each.due_since else COMES)
    return tuple(found)


def _instead(units: str, held: Supply, asked: Wish, found: Outcome) -> Iterator[str]:
    """What would make the plan likely: less, later, more bins."""
    if found.likelihood >= LIKELY:
        return
    free = held.in_stock_kg + held.coming_kg(asked.by) + found.sure_kg - held.promised_kg(asked.by)
    if free > 0:
        yield f"less: {mass(free, units)} by then are likely (8 times in 10)"
    days = range(7, (held.horizon - asked.by).days + FARTHEST_DAYS // 3, 7)
    later = (asked.by + timedelta(days=number) for number in days)
    if (day := next((day for day in later if held.outcome(asked.kg, day).likelihood >= LIKELY), None)) is not None:
        yield f"later: so much is likely by {day.isoformat()}"
    per_bin = median(each.kg.p50 * held.kept.p50 for _one, each, _cure in held.found) if held.found else 0.0
    lacks = held.lacking_kg(asked.kg, asked.by) - found.sure_kg
    if per_bin > 0:
        first = held.today + timedelta(days=FIRST_HARVEST_DAYS + CURE_DAYS)
        more = f"more bins: about {ceil(lacks / per_bin)} like yours"
        begun = f"begun now they give their first from about {first.isoformat()} on ({FIRST_HARVEST})"
        yield f"{more}; {begun}" + ("" if first <= asked.by else ", too late for this")


def needs(
    farm: Session, held: Supply, chosen: Sequence[DeliveryView], by: date, on: date | None, *, sieves: bool
) -> tuple[NeedView, ...]:
    """What the bins of a plan ask for, week by week: harvests, sieving, feed and bedding, time, money."""
    own = farm.cache.pace(held.today)
    weeks: dict[date, list[tuple[str, float]]] = {}

    def add(day: date, what: str, much: float) -> None:
        if held.today <= day <= by:
            weeks.setdefault(day - timedelta(days=day.weekday()), []).append((what, much))

    for each in chosen:
        day = min(each.on or each.likely or each.harvest_by, each.harvest_by)
        bin_, row = held.bins[each.bin], held.rows.get(each.bin)
        wet, sieved = each.kg.p50 / held.kept.p50, day + timedelta(days=each.cure_days)
        add(day, f"harvest {each.name}", wet)
        add(sieved, "sieve", wet if sieves else 0.0)
        steps = row.harvest.steps if row is not None and row.harvest.on == day else ()
        for step in steps:  # as the week has them
            add(step.on, "bedding", step.kg)
            add(step.on, "minutes", step.minutes if sieves or step.code != "cured" else 0.0)
        if not steps:
            add(day, "minutes", own.harvest * harvest_minutes(bin_))
            add(sieved, "minutes", own.walk * wet / SIEVE_KG_MINUTE if sieves else 0.0)
        for meal in _meals(farm, bin_, on):
            add(meal.on, "feed", meal.feed_kg)
            add(meal.on, "bedding", meal.bedding_kg)
            add(meal.on, "minutes", own.walk * (MINUTES[Doing.FEED] + MINUTES[Doing.MEASURE]))
    return tuple(_need(week, weeks[week], held.price) for week in sorted(weeks))


def _need(week: date, asks: Sequence[tuple[str, float]], price: float | None) -> NeedView:
    def total(what: str) -> float:
        return sum(much for name, much in asks if name == what)

    harvests = [(name.removeprefix("harvest "), kg) for name, kg in asks if name.startswith("harvest ")]
    feed, bedding = total("feed"), total("bedding")
    money = None if price is None else price * (feed + bedding)
    return NeedView(
        week, tuple(name for name, _kg in harvests), sum(kg for _name, kg in harvests), total("sieve"), feed, bedding,
        total("minutes"), money,
    )  # fmt: skip


def _meals(farm: Session, one: Bin, on: date | None) -> tuple[Meal, ...]:
    held = farm.cache.dues.get(Dues, one.key, farm.cache.token(one, on))
    return held.meals if held is not None else ()


def begin_now(held: Supply, chosen: Sequence[DeliveryView]) -> Iterator[str]:
    """What must begin this week so that the bins of a plan come in time: the steps of their harvests, by day."""
    today = held.today
    found: dict[tuple[date, str], list[str]] = {}
    for each in chosen:
        row = held.rows.get(each.bin)
        for step in row.harvest.steps if row is not None else ():
            if step.on <= today + timedelta(days=7):
                found.setdefault((step.on, step.words), []).append(each.name)
    for (day, what), names in sorted(found.items(), key=lambda item: item[0][0]):
        yield f"{day_words(day, today)}, {', '.join(names)}: {what}"


def _whence(own: float | None) -> str:
    return "common practice, no source, until lots of yours tell" if own is None else "as your own lots had it"


def _coming(known: Sequence[Lot], by: date, own_days: int | None, bins: Mapping[str, Bin], kept: float) -> float:
    """What lots that are not in stock yet will give by the day, kg; those weighed since sieving lose nothing more."""
    total = 0.0
    for lot in known:
        if lot.in_stock or lot.empty or ready_on(lot, own_days, bins) > by:
            continue
        total += lot.kg if lot.weighed_on and lot.weighed_on >= lot.step_on and lot.step != "curing" else lot.kg * kept
    return total


def _delivery(one: Bin, each: ComingRow, cure: int, today: date, by: date) -> Delivery:
    """What a bin or tray can bring, by the days on which it can be taken off: where worms are to move out first, after
    that.
    """
    due = each.due_since is not None and each.on is not None and each.on <= by - timedelta(days=cure)
    ripe = today if each.due_since is not None else each.likely
    later = max(timedelta(), each.on - ripe) if each.on is not None and ripe is not None else timedelta()

    def then(day: date | None) -> date | None:
        return day + later if day is not None else None

    return Delivery(one.key, each.kg, then(each.earliest), then(each.likely), then(each.latest), due, cure)


def kg_price(lines: Iterable[LotLine]) -> float | None:
    """What a kilogram of feed or bedding cost, by the loads that tell a price; None without one."""
    money = kg = 0.0
    for line in standing_lots(list(lines)):
        if isinstance(line.what, Load) and line.what.price is not None:
            money, kg = money + line.what.price, kg + line.what.kg
    return money / kg if kg > 0 else None
