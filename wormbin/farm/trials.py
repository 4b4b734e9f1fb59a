"""A bin that does not exist, described in words, tried out day by day."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial

from wormbin.farm.bins.ahead import TRIED, day_document, fields_of
from wormbin.farm.materials import laid_over
from wormbin.farm.session import Session
from wormbin.farm.words.spoken import Faults, Spoken, choice, worm_mass, yes_no
from wormbin.figures import Band
from wormbin.materials.table import MaterialTable
from wormbin.measures import Dimension, parse_amount, parse_number, parse_percent, shown, tidy
from wormbin.problems import Problem, RefusedError
from wormbin.process import trial as model
from wormbin.process.trial import Rhythm, Setup, Trial, TrialDay
from wormbin.process.views import Day
from wormbin.records.bins import HARVEST_SHARE, Cover, Species
from wormbin.records.entries import LOG_KINDS, Portion, Watering

LONGEST_TRIAL_DAYS = 3660


@dataclass(frozen=True, slots=True)
class TrialDraft:
    """A trial as it is typed. A bare number is m2 for the area, degC for the temperature, per cent for moisture."""

    area: str
    depth: str = "30cm"
    worms: str = "0"
    bedding: tuple[str, ...] = ()
    start: tuple[str, ...] = ()
    daily: tuple[str, ...] = ()
    every: tuple[str, ...] = ()
    days: int = 90
    temp: str = "20"
    hold_moisture: str = ""
    water: str = ""
    cover: str = ""
    drainage: str = ""
    species: str = ""
    sets: tuple[str, ...] = ()


def read_setup(draft: TrialDraft, table: MaterialTable) -> Setup:
    """The trial that is described. Raises RefusedError with all that is wrong."""
    faults, spoken = Faults(), Spoken(table)
    area = faults.read(lambda: _bare(draft.area, "area", Dimension.AREA, "m2"), 1.0)
    depth = faults.read(lambda: parse_amount(draft.depth, "depth", expect=Dimension.LENGTH).metres(), 0.3)
    temp = faults.read(lambda: _bare(draft.temp, "temp", Dimension.TEMPERATURE, "C"), 20.0)
    worms = faults.read(lambda: _worms(draft.worms), (0.0, None))
    held = faults.read(
        lambda: (
            parse_percent(draft.hold_moisture, "hold-moisture", low=0.3, high=0.97)
            if draft.hold_moisture.strip()
            else None
        ),
        None,
    )
    water = faults.read(
        lambda: spoken.read(LOG_KINDS[Watering], {"amount": draft.water}).kg if draft.water.strip() else None, None
    )
    bedding = faults.read(lambda: _portions(spoken, draft.bedding, "bedding"), ())
    start = faults.read(lambda: _portions(spoken, draft.start, "start"), ())
    daily = faults.read(lambda: _portions(spoken, draft.daily, "daily"), ())
    every = [faults.read(partial(_rhythm, spoken, text), None) for text in draft.every]
    cover = faults.read(lambda: choice(Cover, draft.cover, "cover"), None) or Cover.LOOSE
    drainage = faults.read(lambda: yes_no(draft.drainage, "drainage", True), True)
    species = faults.read(lambda: choice(Species, draft.species, "species"), None) or Species.EISENIA
    if not 1 <= draft.days <= LONGEST_TRIAL_DAYS:
        faults.read(partial(_refuse, Problem("days", str(draft.days), f"1 to {LONGEST_TRIAL_DAYS}", "28")), None)
    for name, value, most in (("area", area, 10_000.0), ("depth", depth, 5.0)):
        if not 0 < value <= most:
            faults.read(partial(_refuse, Problem(name, f"{value:g}", f"more than 0, at most {most:g}", "0.09")), None)
    if not 0 <= temp <= 45:
        faults.read(partial(_refuse, Problem("temp", shown(draft.temp), "0 to 45 degrees C", "27")), None)
    faults.settle()
    # What is fed every day is fed on the first one, too.
    rhythms = ((Rhythm(1, daily),) if daily else ()) + tuple(each for each in every if each is not None)
    if not (bedding or start or rhythms or worms[0]):
        raise RefusedError(
            Problem(
                "start", "", "something in it: --bedding, --start, --daily or --worms", '--start "3 kg cattle-manure"'
            )
        )
    return Setup(
        area_m2=area, depth_m=depth, days=draft.days, temp_c=temp, worms_kg=worms[0], worms_count=worms[1],
        bedding=bedding, start=(*start, *daily), rhythms=rhythms, water_kg=water, hold_moisture=held,
        cover=cover, drainage=drainage, species=species,
    )  # fmt: skip


def _refuse(problem: Problem) -> None:
    raise RefusedError(problem)


def _bare(words: str, field: str, dimension: Dimension, unit: str) -> float:
    """A number with its unit, or a bare one in ``unit``."""
    text = tidy(words)
    if text.replace(".", "", 1).removeprefix("-").isdecimal():
        return parse_number(text, field, low=-60.0, high=10_000.0)
    amount = parse_amount(text, field, expect=dimension)
    return amount.m2() if dimension is Dimension.AREA else amount.celsius()


def _worms(words: str) -> tuple[float, int | None]:
    if tidy(words) in ("", "0", "none", "no"):
        return 0.0, None
    number, of, each = tidy(words).partition(" of ")
    if of:
        heads = parse_amount(number, "worms", expect=Dimension.COUNT).worms()
        return heads * parse_amount(each, "worms", expect=Dimension.MASS).kg(), heads
    return worm_mass(parse_amount(words, "worms", expect=(Dimension.MASS, Dimension.COUNT)))


def _portions(spoken: Spoken, words: tuple[str, ...], field: str) -> tuple[Portion, ...]:
    return spoken.portions(words, field) if words else ()


def _rhythm(spoken: Spoken, text: str) -> Rhythm:
    days, colon, rest = text.partition(":")
    problem = Problem(
        "every", shown(text), "so many days, a colon, an amount and what it is of", "20 d: 20 g cattle-manure"
    )
    if not colon:
        raise RefusedError(problem)
    number = tidy(days).casefold().removesuffix("days").removesuffix("day").removesuffix("d").strip()
    if not number.isdecimal() or not 1 <= int(number) <= LONGEST_TRIAL_DAYS:
        raise RefusedError(problem)
    return Rhythm(int(number), spoken.portions([rest], "every"))


def trial_document(setup: Setup, table: MaterialTable) -> Mapping[str, object]:
    """The trial by the names of the command line's JSON: ``state`` at the end, ``series``, ``learned``, ``harvest``."""
    tried = model.trial(setup, table)
    series = [_day(each) for each in tried.days]
    return {
        "state": series[-1],
        "series": series,
        "learned": {"rate": Band.exactly(1.0), "drying": Band.exactly(1.0)},
        "harvest": _harvest(tried.days),
        "losses": {
            "dry_share": _share(tried, "dry"),
            "burned_kg": tried.balance.burned,
            "carbon_kg": tried.balance.carbon_dioxide,
            "nitrogen_kg": tried.balance.ammonia,
            "evaporated_kg": tried.balance.evaporated,
            "drained_kg": tried.balance.drained,
        },
        "put_in": {"dry_kg": tried.balance.put_in.dry, "wet_kg": tried.balance.put_in.dry + tried.balance.put_in.water},
    }


def _share(tried: Trial, name: str) -> float:
    put: float = getattr(tried.balance.put_in, name)
    return tried.balance.burned / put if put > 0 else 0.0


def _day(each: TrialDay) -> dict[str, object]:
    return day_document(each.day) | fields_of(each, TRIED)


def _harvest(days: Sequence[TrialDay]) -> dict[str, object]:
    def first(reached: Sequence[Day]) -> date | None:
        return reached[0].on if reached else None

    plain = [each.day for each in days[1:]]
    return {
        "earliest": first([day for day in plain if day.castings_share.p90 >= HARVEST_SHARE]),
        "likely": first([day for day in plain if day.castings_share.p50 >= HARVEST_SHARE]),
        "latest": first([day for day in plain if day.castings_share.p10 >= HARVEST_SHARE]),
        "method": "sort",
    }


def trial(session: Session, draft: TrialDraft) -> Mapping[str, object]:
    """A bin that does not exist, by the names of the command line's JSON."""
    table = laid_over(session.table, session.farm().materials, draft.sets)
    return trial_document(read_setup(draft, table), table)
