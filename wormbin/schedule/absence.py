"""Going away: what to do before, when water or feed runs short, what may go wrong, and a page for a neighbour."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil

from wormbin.advice.limits import too_wet
from wormbin.figures import Level
from wormbin.materials.material import SOAKS_UP, left_out
from wormbin.measures import mass, percent, poured, scooped, temperature
from wormbin.measures.dates import MONTHS, day_words, days_words, on_day
from wormbin.process.views import Day
from wormbin.records.bins import Bin
from wormbin.records.farms import Settings
from wormbin.schedule.harvest import Step
from wormbin.science.constants import LEAST_BEDDING_KG, LOOSE_BEDDING_KG_M3
from wormbin.science.signs import LET_OUT, TIP_OUT

BARE_DAYS = 0.3
LOSS_PER_DAY = 0.008
DRY_MARGIN = 0.05
AWAY_HOT_C = 28.0
AWAY_COLD_C = 6.0
UNSEEN_FOR_DAYS = 10
VISIT_SHARE = 0.75
"""A neighbour gives no more than this part of what the bin works off, who does not see how it takes it (ours)."""
HELD_SHARE = 0.5
"""And half of that where it was not to be fed when we left (ours)."""
LEAST_BARE_DAYS = 3
"""Fewer days without feed than this need no bedding of their own (ours)."""
BED_M = 0.05
SOURCE = (
    "with nothing to eat worms fall about 0.8 % a day (worked out from the model); "
    "the last feeding is the one that is planned, never a double ration before leaving (ours)"
)


@dataclass(frozen=True, slots=True)
class Amiss:
    """What is wrong with the bin before anybody leaves: how bad, in which words, and the steps that put it right.

    ``wet`` keeps water away from it, ``smells`` is a bad smell that it has already. ``held`` says what holds all feed
    back until we leave, "" for nothing, and ``held_until`` from which day on a neighbour may feed it (None: not at
    all). ``bedding_kg`` is the dry bedding that the steps put in, ``mind`` what can hurt somebody at them.
    """

    level: Level = Level.STEADY
    whats: tuple[str, ...] = ()
    steps: tuple[str, ...] = ()
    wet: bool = False
    smells: bool = False
    held: str = ""
    held_until: date | None = None
    bedding_kg: float = 0.0
    mind: str = ""


@dataclass(frozen=True, slots=True)
class Meal:
    """The last feeding before leaving, fresh kg; ``done`` once it was written down."""

    on: date
    kg: float
    done: bool = False


@dataclass(frozen=True, slots=True)
class Prepared:
    """A step before leaving, in words; ``done`` once it was written down."""

    words: str
    done: bool = False


@dataclass(frozen=True, slots=True)
class Meanwhile:
    """What the days away bring under the plan: from when on feed and water are short; None for never."""

    first: date
    last: date
    bare: date | None
    dry: date | None
    wet: date | None
    driest: float
    hottest_c: float
    coldest_c: float

    @property
    def bare_days(self) -> int:
        """Days away without feed."""
        return (self.last - self.bare).days + 1 if self.bare is not None else 0

    @property
    def short(self) -> tuple[date, str] | None:
        """What runs short first, so that somebody should look in, and from when on; None for nothing."""
        dry = [(self.dry, "it gets too dry")] if self.dry is not None else []
        bare = [(self.bare, "the food runs out")] if self.bare is not None and self.bare_days > UNSEEN_FOR_DAYS else []
        return min([*dry, *bare], default=None)

    @property
    def level(self) -> Level:
        """How bad it comes to be if nobody looks in; what is still to come is never urgent today."""
        return Level.WATCH if self.short else Level.STEADY

    def bedding_kg(self, bin: Bin, lies_m: float) -> float:
        """Dry bedding to be food for the days without feed, kg, where no more than ``lies_m`` of it lies there.

        Below nought where there is more than enough already.
        """
        return bin.footprint_m2 * (BED_M - lies_m) * LOOSE_BEDDING_KG_M3 if self.bare_days >= LEAST_BARE_DAYS else 0.0


def meanwhile(ahead: Sequence[Day], settings: Settings, first: date, last: date) -> Meanwhile:
    """The days away read off the look-ahead. Raises ValueError when the absence ends before it begins."""
    if last < first:
        raise ValueError("the last day away lies before the first")
    away = [day for day in ahead if first <= day.on <= last]
    dry_under, wet_over = settings.moisture_low - DRY_MARGIN, too_wet(settings).watch.enter
    return Meanwhile(
        first=first,
        last=last,
        bare=next((day.on for day in away if day.feed_waiting_days.p50 < BARE_DAYS and day.worms_kg.p50 > 0), None),
        dry=next((day.on for day in away if day.moisture.p50 < dry_under), None),
        wet=next((day.on for day in away if day.moisture.p50 > wet_over), None),
        driest=min((day.moisture.p50 for day in away), default=settings.moisture_low),
        hottest_c=max((day.temp_c.p90 for day in away), default=0.0),
        coldest_c=min((day.temp_c.p10 for day in away), default=20.0),
    )


def before(
    on: date,
    settings: Settings,
    then: Meanwhile,
    meal: Meal | None,
    *,
    amiss: Amiss,
    bedding: tuple[float, float],
    water: Prepared | None = None,
    where: str = "",
    holes: bool = True,
) -> tuple[Prepared, ...]:
    """What to do before leaving, with amounts, what is amiss now left out; what is done already is said to be.

    ``bedding`` is the dry bedding that is wanted still and what was laid of late (kg), ``water`` the step about it, and
    ``where`` the tray or half that is fed and what goes along (" in the upper tray"); ``holes`` are those of the base.
    """
    units, eve = settings.units, then.first - timedelta(days=1)
    day = f"{on_day(eve, on)}, " if eve > on else ""
    said = [Prepared(fed_words(on, units, meal, amiss, where), meal is not None and meal.done)]
    wanted, given = bedding
    lay = wanted - amiss.bedding_kg
    if lay >= LEAST_BEDDING_KG:
        soaked = f", soaked in {poured(lay * SOAKS_UP, units)} of water, on top"
        wetted = ", as it is, on top, to take up the wet" if amiss.wet else soaked
        more = " more" if amiss.bedding_kg >= LEAST_BEDDING_KG else ""
        said.append(Prepared(f"{day}lay {scooped(lay, units)}{more} of dry bedding{wetted}: food for weeks"))
    elif wanted and given >= LEAST_BEDDING_KG and wanted + given >= LEAST_BEDDING_KG:
        said.append(Prepared(f"laid {mass(given, units)} of bedding: done", done=True))
    if water is not None:
        said.append(water if water.done else Prepared(day + water.words))
    cover = "leave the cover ajar under a cloth, so that it dries" if amiss.wet else "close the cover"
    out = LET_OUT if holes else TIP_OUT
    said.append(Prepared(f"{day}fluff it, {out}, {cover}, and keep it out of sun"))
    return tuple(said)


def fed_words(on: date, units: str, meal: Meal | None, amiss: Amiss, where: str = "") -> str:
    """The last feeding before leaving: how much and when, that it is done, or why there is none."""
    if meal is None:
        if amiss.held:
            return f"feed nothing yet: {amiss.held}. Look here again when that is over"
        return "feed nothing before you leave: what lies there is enough"
    if meal.done:
        more = ". Feed nothing more" if amiss.held else ""
        return f"fed {mass(meal.kg, units)} {on_day(meal.on, on)}: done{more}"
    how_much = "up to" if meal.on == on else "about"
    return f"feed {how_much} {mass(meal.kg, units)}{where} {on_day(meal.on, on)}"


def steps(on: date, settings: Settings, then: Meanwhile, moisture: float, *, wet: bool) -> tuple[Step, ...]:
    """The days that matter, in order, from the last one before leaving to the first one back; ``wet`` as it is now."""
    low = settings.moisture_low - DRY_MARGIN
    said = [Step(max(on, then.first - timedelta(days=1)), "leave", "do what stands under “before leaving”")]
    if then.bare is not None:
        said.append(Step(then.bare, "feed-short", "the food runs out: unless fed, the worms live on bedding"))
    if then.dry is not None:
        now = f"it is {percent(moisture)} moist already, under" if moisture < low else "moisture falls under"
        do = "squeeze a handful, and water only if it crumbles" if wet else "somebody should squeeze it, and water"
        said.append(Step(then.dry, "water-short", f"{now} {percent(low)}: {do}"))
    if then.wet is not None:
        said.append(Step(then.wet, "too-wet", f"moisture rises over {percent(too_wet(settings).watch.enter)}"))
    back = "back: open it, squeeze, look what is left. Under a third of the food: feed half of the usual"
    return (*sorted(said, key=lambda step: step.on), Step(then.last + timedelta(days=1), "back", back))


def risks(on: date, settings: Settings, then: Meanwhile, amiss: Amiss) -> tuple[str, ...]:
    """What may go wrong, with when and how much."""
    units = settings.units
    said = [f"unless it is put right before you leave: {what}" for what in amiss.whats]
    if then.bare is not None:
        lost = percent(1.0 - (1.0 - LOSS_PER_DAY) ** then.bare_days)
        cost = f"{days_words(then.bare_days)} on bedding may cost up to {lost} of the worms"
        said.append(f"unless somebody feeds it, the food is gone {about(then.bare, on)}. {cost}")
    if then.dry is not None:
        said.append(f"too dry from {about(then.dry, on)}")
    if then.wet is not None:
        said.append(f"too wet from {about(then.wet, on)}: put in dry bedding before you leave")
    if then.hottest_c > AWAY_HOT_C:
        said.append(f"it may reach {temperature(then.hottest_c, units)}: stand it in the coolest room")
    if then.coldest_c < AWAY_COLD_C:
        said.append(f"it may fall to {temperature(then.coldest_c, units)}: wrap it")
    return tuple(said) or ("nothing is likely to go wrong",)


def about(day: date, today: date) -> str:
    """ "tomorrow", "about 6 March": a day that is worked out."""
    return day_words(day, today) if abs((day - today).days) <= 1 else f"about {day_words(day, today)}"


def dated(day: date) -> str:
    """A day on a page that is read on another day: "Friday 6 November"."""
    return f"{day:%A} {day.day} {MONTHS[day.month - 1]}"


def visits(then: Meanwhile, amiss: Amiss) -> tuple[date, ...]:
    """The days on which a neighbour looks in, evenly through the absence; one where the bin was amiss when we left."""
    away = (then.last - then.first).days + 1
    count = max(ceil(away / UNSEEN_FOR_DAYS) - 1, 1 if amiss.held or then.dry is not None else 0)
    return tuple(then.first + timedelta(days=round(away * (n + 1) / (count + 1))) for n in range(count))


def neighbour(
    bin: Bin,
    then: Meanwhile,
    when: Sequence[date],
    amiss: Amiss,
    *,
    most_kg: float,
    by_hand: Callable[[float], str],
    water: str = "",
    where: str = "",
) -> tuple[str, ...]:
    """A page for a neighbour: when to look in, what to give, what not to do, what to do in trouble.

    ``most_kg`` is what the bin may be given at once, ``by_hand`` says an amount of feed in cups and handfuls ("" for
    none), and ``water`` is what to sprinkle where it is found dry.
    """
    never, others = left_out()
    held = [day for day in when if amiss.held and (amiss.held_until is None or day < amiss.held_until)]
    # Who is not away for long needs nobody to feed, even where somebody looks in for another reason.
    unfed = held if (then.last - then.first).days + 1 > UNSEEN_FOR_DAYS else list(when)
    fed = [day for day in when if day not in unfed]
    each = by_hand(most_kg * VISIT_SHARE * (HELD_SHARE if amiss.held else 1.0))
    said = [f"Worm bin {bin.name}: {dated(then.first)} to {dated(then.last)}"]
    if amiss.held and (amiss.held_until is None or amiss.held_until > then.first):
        until = f" before {dated(amiss.held_until)}" if amiss.held_until is not None and fed else ""
        said.append(f"Please give it no feed{until}.")
    if unfed:
        said.append(f"Please look in on {', '.join(map(dated, unfed))}: lift and loosen it, and give it no feed.")
    if fed:
        said.append(f"Please look in on {', '.join(map(dated, fed))}.")
        said.append(
            f"Each time: bury up to {each} of vegetable peelings{where}, if the last ones are nearly gone"
            f"{' and it smells of nothing but soil' if amiss.smells else ''}."
            if each
            else "Each time: lift and loosen it, and give it no feed."
        )
    if not when:
        said.append("It needs nothing while we are away. Please do not feed it.")
    elif amiss.wet:
        out = "lift it" if bin.drainage else f"{TIP_OUT}, lift it"
        said.append(f"It is wet: give it no water. If it drips: {out} loosely, and lay dry torn cardboard on top.")
    elif water:
        said.append(f"Squeeze a handful. If it crumbles: sprinkle {water} of water.")
    said += [
        f"Never: {never}. Leave out {others} too.",
        "It smells already. Smells worse, or worms on the lid: lid off, light on, loosen it, do not feed, and call us:"
        if amiss.smells
        else "Smells bad, or worms on the lid: lid off, light on, lift and loosen it, do not feed, and call us:",
        "______________________________",
        "Keep it out of sun and frost. Wear gloves, and wash your hands afterwards.",
        "With asthma or an allergy stay away from dust and mould.",
    ]
    return tuple(said)
