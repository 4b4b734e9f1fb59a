"""Made-up bins by the hundred for a study: each with its own pace, drying, keeper, mishaps and slips of the pen."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from random import Random

from tests.worlds.habits import Deed, Dish, Habits, Hand, Story
from tests.worlds.life import MadeBin, make_bin
from tests.worlds.weather import Site, Spell

DAYS = 300
RATE, DRYING = (0.4, 2.5), (0.5, 2.0)
MENU = (
    Dish("vegetable-scraps", 0.50, 0.95),
    Dish("coffee-grounds", 0.15, 0.6),
    Dish("banana-peel", 0.12, 0.4),
    Dish("apple", 0.12, 0.4),
    Dish("carrot", 0.10, 0.3),
    Dish("potato-peel", 0.12, 0.3),
    Dish("leaf-lettuce", 0.10, 0.2),
    Dish("bread", 0.06, 0.15),
    Dish("tea-leaves", 0.05, 0.2),
)
BEDDINGS = ("shredded-cardboard", "newspaper", "dry-leaves", "egg-carton")
PARTIES = ("melon-rind", "apple", "spent-grain", "vegetable-scraps")


def between(rng: Random, low: float, high: float) -> float:
    """A factor spread evenly on the logarithm."""
    return math.exp(rng.uniform(math.log(low), math.log(high)))


def study_story(number: int, seed: int, *, days: int = DAYS) -> Story:
    """The story of the ``number``-th bin of a study."""
    rng = Random(f"study/{seed}/{number}")
    rate, drying = between(rng, *RATE), between(rng, *DRYING)
    first = date(2025, 1, 6) + timedelta(days=rng.randrange(365))
    last = first + timedelta(days=days - 1)
    length, width = rng.choice(((50, 36), (60, 40), (55, 45), (80, 60)))
    area = length * width / 10_000.0
    worms = area * rng.uniform(1.2, 2.4)
    # People feed what the bin seems to stand: slow bins get less, though never as little less as they should.
    portion = 0.5 * worms * 3.5 * rng.uniform(0.45, 1.0) * rate**0.85
    feed_days = rng.choice(((2, 6), (0, 3), (1, 5), (5, 6), (0, 2, 4)))
    portion *= 2.0 / len(feed_days)
    bedding = rng.choice(BEDDINGS)
    habits = Habits(
        hands=(Hand("Kim", rng.gauss(0.0, 0.02), rng.uniform(0.7, 1.6)),),
        feed_days=feed_days,
        portion_kg=portion,
        menu=MENU,
        look=rng.uniform(0.0, 0.3),
        looks_when_feeding=rng.uniform(0.3, 0.9),
        meter=rng.choice((0.0, 0.0, 0.4)),
        thermometer=rng.choice((0.0, 0.5, 0.8)),
        ruler=rng.choice((0.0, 0.0, 0.08)),
        left_step=rng.choice((10, 25)),
        holds_back=rng.uniform(0.5, 0.95),
        ramp_days=rng.choice((14, 28)),
        spares_in_cold=rng.random() < 0.6,
        bedding=bedding,
        bedding_kg=0.25 * area,
        bedding_often=rng.uniform(0.0, 0.25),
        bedding_when_wet=rng.uniform(0.2, 0.8),
        waters_when_dry=rng.uniform(0.5, 1.0),
        water_kg=1.8 * area,
        fluffs=rng.uniform(0.0, 0.06),
        unlogged=rng.uniform(0.0, 0.04),
        blunder=0.02,
        mistyped=0.01,
        harvest_after=(10, 35),
        away=_absences(rng, first, days, (5, 12), 2),
        busy=_absences(rng, first, days, (10, 25), 2),
    )
    site = Site(
        usual_c=rng.uniform(13.0, 23.0), swing_c=rng.uniform(1.0, 7.0), restless_c=rng.uniform(0.5, 1.5),
        creep_c_year=rng.gauss(0.0, 1.0), spells=_spells(rng, first, days),
    )  # fmt: skip
    return Story(
        key=f"bin-{number}", name=f"Bin {number}", length_cm=length, width_cm=width, depth_cm=35,
        drains=rng.random() < 0.4, cover=rng.choice(("loose", "loose", "loose", "closed", "open")), method="sort",
        site=site, habits=habits, first=first, last=last,
        beds=(Dish(bedding, 0.8), Dish("egg-carton", 0.2)), beds_kg=rng.uniform(3.5, 6.0) * area,
        water_kg=rng.uniform(11.0, 15.0) * area, worms_kg=worms, rate=rate, drying=drying,
        drift=rng.uniform(0.0, 0.35), deeds=_mishaps(rng, first, days, portion, worms),
    )  # fmt: skip


def study_bins(n: int, seed: int, *, days: int = DAYS) -> Iterator[MadeBin]:
    """``n`` made-up bins for a study; the same ``seed`` gives the same bins, and different seeds share none."""
    for number in range(n):
        yield make_bin(seed, study_story(number, seed, days=days))


def without_readings(story: Story, keep: float) -> Story:
    """The same bin under a keeper who looks only ``keep`` (0-1) as often."""
    habits = story.habits
    return replace(
        story,
        habits=replace(habits, look=habits.look * keep, looks_when_feeding=habits.looks_when_feeding * keep),
    )


def _absences(rng: Random, first: date, days: int, length: tuple[int, int], most: int) -> tuple[tuple[date, date], ...]:
    found = []
    for _ in range(rng.randint(0, most)):
        start = first + timedelta(days=rng.randint(20, days - 30))
        found.append((start, start + timedelta(days=rng.randint(*length))))
    return tuple(found)


def _spells(rng: Random, first: date, days: int) -> tuple[Spell, ...]:
    found = []
    for _ in range(rng.randint(0, 2)):
        start = first + timedelta(days=rng.randint(10, days - 20))
        end = start + timedelta(days=rng.randint(4, 9))
        found.append(Spell(start, end, warmer_c=rng.uniform(-6.0, 6.0), damper=rng.uniform(0.0, 0.2)))
    return tuple(found)


def _mishaps(rng: Random, first: date, days: int, portion: float, worms: float) -> tuple[Deed, ...]:
    """Parties, spilt cans, a survey in one bin of three, a weighing or an oven test in one of four."""
    deeds = []
    for _ in range(rng.randint(0, 2)):
        on = first + timedelta(days=rng.randint(35, days - 25))
        deeds.append(Deed(on, "feed", rng.choice(PARTIES), portion * rng.uniform(3.0, 7.0), "kg", hour="21:00"))
        if rng.random() < 0.5:
            deeds.append(
                Deed(on + timedelta(days=1), "feed", rng.choice(PARTIES), portion * rng.uniform(1.0, 4.0), "kg")
            )
    if rng.random() < 0.45:
        on = first + timedelta(days=rng.randint(35, days - 25))
        deeds.append(Deed(on, "water", kg=worms * rng.uniform(4.0, 8.0), unit="L", hour="19:00"))
    if rng.random() < 0.33:
        deeds.append(Deed(first + timedelta(days=rng.randint(25, 90)), "survey", unit="g", count=rng.randint(3, 6)))
    if rng.random() < 0.25:
        deeds.append(Deed(first + timedelta(days=rng.randint(20, 100)), "weigh", unit="kg"))
    if rng.random() < 0.25:
        deeds.append(Deed(first + timedelta(days=rng.randint(20, 100)), "oven"))
    return tuple(deeds)
