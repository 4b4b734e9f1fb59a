"""The classroom's story: two bins through a school year, newspaper against dry leaves, and many hands."""

from __future__ import annotations

from datetime import date, timedelta
from random import Random

from tests.worlds.habits import Deed, Dish, Habits, Hand, Story
from tests.worlds.weather import Site, Spell

SEED = 20260619
FIRST, LAST = date(2025, 9, 8), date(2026, 6, 19)
TEACHER = "Kay"
PUPILS = (
    Hand("Ada", feels_wetter=0.01),
    Hand("Ben", feels_wetter=-0.04, steady=1.6),
    Hand("Chidi", feels_wetter=0.03, steady=1.2),
    Hand("Dana", steady=0.9),
    Hand("Emil", feels_wetter=0.05, steady=1.8),
    Hand("Farah", feels_wetter=-0.01),
    Hand("Goran", feels_wetter=-0.02, steady=1.5),
    Hand("Hana", feels_wetter=0.02),
)
HOLIDAYS = (
    (date(2025, 10, 25), date(2025, 11, 2)),
    (date(2025, 12, 20), date(2026, 1, 5)),
    (date(2026, 2, 14), date(2026, 2, 22)),
    (date(2026, 4, 3), date(2026, 4, 12)),
    (date(2026, 5, 14), date(2026, 5, 17)),
)
EXAMS = ((date(2026, 1, 19), date(2026, 1, 30)), (date(2026, 6, 1), date(2026, 6, 10)))


def at_school(day: date) -> bool:
    """Whether anybody is there on ``day``."""
    return day.weekday() < 5 and not any(first <= day <= last for first, last in HOLIDAYS)


def weekends() -> tuple[tuple[date, date], ...]:
    """Saturday to Sunday, all through."""
    saturday = FIRST + timedelta(days=(5 - FIRST.weekday()) % 7)
    weeks = range((LAST - saturday).days // 7 + 1)
    return tuple((saturday + timedelta(days=7 * week), saturday + timedelta(days=7 * week + 1)) for week in weeks)


def lessons(seed: int) -> tuple[Deed, ...]:
    """Every second Tuesday two to four pupils read the bin one after the other; some Fridays it is measured."""
    rng = Random(f"lessons/{seed}")
    deeds: list[Deed] = []
    day = FIRST + timedelta(days=1)
    while day <= LAST:
        if at_school(day) and not any(first <= day <= last for first, last in EXAMS):
            for turn, pupil in enumerate(rng.sample(PUPILS, rng.randint(2, 4))):
                deeds.append(Deed(day, "check", by=pupil.name, hour=f"10:{5 + 6 * turn:02d}"))
        day += timedelta(days=14)
    day = FIRST + timedelta(days=11)
    while day <= LAST:
        if at_school(day):
            deeds.append(Deed(day, "weigh", by=rng.choice(PUPILS).name, unit="kg", hour="11:30"))
            deeds.append(Deed(day, "ruler", by=rng.choice(PUPILS).name, hour="11:34"))
        day += timedelta(days=28)
    return tuple(deeds)


def habits(bedding: str, menu: tuple[Dish, ...]) -> Habits:
    """What both bins share: Mondays and Thursdays from the lunch boxes, ten-percent steps, nobody at weekends."""
    return Habits(
        hands=(Hand(TEACHER, steady=0.8), *PUPILS),
        feed_days=(0, 3),
        portion_kg=0.70,
        menu=menu,
        hour="12:40",
        look=0.10,
        looks_when_feeding=0.65,
        thermometer=0.6,
        meter=0.30,
        ruler=0.08,
        scale_with_box=True,
        left_step=10,
        bedding=bedding,
        bedding_kg=0.04,
        bedding_often=0.2,
        bedding_when_wet=0.5,
        water_kg=0.5,
        water_unit="L",
        fluffs=0.04,
        blunder=0.04,
        unlogged=0.01,
        away=(*HOLIDAYS, *weekends()),
        busy=EXAMS,
    )


COMPARED = (date(2026, 3, 9), date(2026, 6, 19))
"""The comparison: does paper beat leaves?"""
OVEN = date(2026, 4, 30)
"""The lesson of it in which the class dries a sample of each bin."""


def compared() -> tuple[Deed, ...]:
    """Every Thursday three pupils guess, then read both bins, one after the other, the same three; once by the oven."""
    deeds = [Deed(OVEN, "reading", "oven", by=TEACHER, hour="09:30")]
    day, week = date(2026, 3, 12), 0
    while day <= COMPARED[1]:
        if at_school(day):
            for turn in range(3):
                pupil = PUPILS[(3 * week + turn) % len(PUPILS)]
                deeds.append(Deed(day, "reading", by=pupil.name, hour=f"09:{10 + 5 * turn:02d}"))
            week += 1
        day += timedelta(days=7)
    return tuple(deeds)


LUNCH = (
    Dish("apple", 0.18, 0.7),
    Dish("carrot", 0.20, 0.6),
    Dish("banana-peel", 0.25, 0.7),
    Dish("vegetable-scraps", 0.40, 0.9),
    Dish("leaf-lettuce", 0.10, 0.25),
    Dish("bread", 0.05, 0.25),
    Dish("egg-shell", 0.03, 0.15),
)
ROOM = Site(
    usual_c=21.0, swing_c=1.5, restless_c=0.8,
    spells=(
        Spell(date(2025, 10, 25), date(2025, 11, 2), warmer_c=-3.0),
        Spell(date(2025, 12, 20), date(2026, 1, 5), warmer_c=-9.0),
        Spell(date(2026, 2, 14), date(2026, 2, 22), warmer_c=-5.0),
        Spell(date(2026, 6, 9), date(2026, 6, 14), warmer_c=4.0),
    ),
)  # fmt: skip


def before_holidays(weight_kg: float) -> tuple[Deed, ...]:
    """The last school day before each long holiday: a larger meal and more bedding."""
    deeds = []
    for first, last in HOLIDAYS:
        if (last - first).days >= 7:
            friday = first - timedelta(days=1)
            deeds.append(Deed(friday, "feed", "vegetable-scraps", weight_kg, "g", by=TEACHER, note="For the holidays"))
    return tuple(deeds)


PAPER_DEEDS = (
    Deed(date(2025, 9, 12), "note", by="Dana", note="Worms hide from the torch but not from red light"),
    Deed(date(2025, 11, 20), "feed", "bread", 0.9, "g", by="Ben", note="Sandwiches from the whole class"),
    Deed(date(2025, 11, 20), "feed", "apple", 3.4, "kg", by="Ben", note="Apple week"),
    Deed(date(2025, 11, 21), "feed", "apple", 2.6, "kg", by="Goran"),
    Deed(date(2025, 11, 24), "check", by=TEACHER, note="Sour. No more until it is gone"),
    Deed(date(2025, 11, 25), "fluff", by="Hana"),
    Deed(date(2025, 11, 27), "check", by="Hana"),
    Deed(date(2025, 12, 1), "check", by=TEACHER),
    Deed(date(2026, 1, 6), "check", by=TEACHER, note="Cold room, heating was off"),
    Deed(date(2026, 1, 15), "oven", by=TEACHER, note="Oven test with the class: 100 g wet"),
    Deed(
        date(2026, 2, 12),
        "survey",
        unit="g",
        by=TEACHER,
        count=5,
        note="Five tins pressed in, worms washed and weighed",
    ),
    Deed(date(2026, 3, 12), "typo", by="Emil"),
    Deed(date(2026, 3, 27), "harvest", share=0.75, by=TEACHER, note="Sorted on the table in heaps"),
    Deed(date(2026, 5, 22), "survey", unit="worms", by=TEACHER, count=4),
    Deed(date(2026, 6, 12), "check", by="Ada", note="Hot in the room"),
    Deed(date(2026, 6, 18), "check", by=TEACHER, note="Last week before summer"),
    Deed(date(2026, 6, 19), "check", by="Farah", hour="09:20"),
)
LEAVES_DEEDS = (
    Deed(date(2025, 9, 12), "note", by="Farah", note="A spider came in with the leaves"),
    Deed(date(2026, 1, 6), "check", by=TEACHER, note="Cold room, heating was off"),
    Deed(date(2026, 1, 15), "oven", by=TEACHER, note="Oven test with the class: 100 g wet"),
    Deed(date(2026, 2, 12), "survey", unit="g", by=TEACHER, count=5),
    Deed(date(2026, 3, 3), "water", kg=3.5, unit="L", by="Emil", hour="10:40", note="Emil thought it was dry"),
    Deed(date(2026, 3, 4), "water", kg=3.0, unit="L", by="Ben", note="Watered again by mistake"),
    Deed(date(2026, 3, 5), "check", by=TEACHER, note="It ran out below. No watering without asking"),
    Deed(date(2026, 3, 6), "bed", "dry-leaves", 0.3, "g", by="Chidi"),
    Deed(date(2026, 3, 10), "check", by="Dana", hour="12:40"),
    Deed(date(2026, 5, 22), "survey", unit="worms", by=TEACHER, count=4),
    Deed(date(2026, 6, 18), "check", by=TEACHER),
    Deed(date(2026, 6, 19), "check", by="Hana", hour="09:25"),
)

PAPER = Story(
    key="paper", name="Paper bin", length_cm=60, width_cm=40, depth_cm=35, drains=True, cover="loose", method="sort",
    site=ROOM, habits=habits("newspaper", LUNCH), first=FIRST, last=LAST,
    beds=(Dish("newspaper", 0.8, 1.0, "g"), Dish("egg-carton", 0.2, 1.0, "g")), beds_kg=1.2, water_kg=3.4,
    worms_kg=0.5, worms_unit="g", rate=1.05, drying=1.1, drift=0.10, tare_kg=2.4,
    deeds=(*PAPER_DEEDS, *before_holidays(1.0), *lessons(1), *compared()),
)  # fmt: skip
LEAVES = Story(
    key="leaves", name="Leaf bin", length_cm=60, width_cm=40, depth_cm=35, drains=True, cover="loose", method="sort",
    site=ROOM, habits=habits("dry-leaves", LUNCH), first=FIRST, last=LAST,
    beds=(Dish("dry-leaves", 1.0, 1.0, "L"),), beds_kg=1.5, water_kg=3.0,
    worms_kg=0.5, worms_unit="g", rate=0.75, drying=1.1, drift=0.10, tare_kg=2.4,
    deeds=(*LEAVES_DEEDS, *before_holidays(1.0), *lessons(2), *compared()),
)  # fmt: skip
STORIES = (PAPER, LEAVES)
COMPARISON = {
    "when": f"{COMPARED[0]}T08:30", "bin": "paper", "kind": "comparison", "with": "leaves",
    "question": "does paper beat leaves?", "about": "worked", "until": COMPARED[1].isoformat(),
    "same": "room; lid; worms; lunch boxes", "by": TEACHER,
}  # fmt: skip
COMPARISON_COLUMNS = ("with", "question", "about", "until", "same")
KEEPS_TO = {"paper": "newspaper; egg-carton", "leaves": "dry-leaves"}
"""The beddings of each bin."""

_WHY = ("autumn holidays", "Christmas holidays", "winter holidays", "Easter holidays", "long weekend in May")
SUMMER = (date(2026, 6, 20), date(2026, 8, 30))
SETTINGS: dict[str, object] = {
    "feed_days": ["MO", "TH"],
    "check_every_days": 4,
    "away": [
        {"first": first.isoformat(), "last": last.isoformat(), "why": why}
        for (first, last), why in zip((*HOLIDAYS, SUMMER), (*_WHY, "summer holidays"), strict=True)
    ],
    "on_hand": [
        {"material": "newspaper", "kg": 3.0, "shredded_kg": 1.2},
        {"material": "dry-leaves", "kg": 2.5, "shredded_kg": 2.5},
    ],
    "keepers": [each.name for each in PUPILS],
    "turns": {
        "days": ["MO", "TU", "WE", "TH", "FR"],
        "first": COMPARED[0].isoformat(),
        "last": COMPARED[1].isoformat(),
        "jobs": [{"name": "feed"}, {"name": "check"}, {"name": "measure", "days": ["TH"]}],
        "half_days": ["FR"],
        "away": [{"name": "Dana", "first": "2026-06-15", "last": "2026-06-16"}],
        "swaps": [{"on": "2026-06-18", "name": "Ada", "other": "Ben"}],
    },
    "buckets": [{"name": "lunch boxes", "portions": ["300 g vegetable scraps", "150 g apple", "150 g banana peel"]}],
}
