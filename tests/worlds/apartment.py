"""The apartment's story: one bin on a kitchen floor from June to the end of October."""

from __future__ import annotations

from datetime import date

from tests.worlds.habits import Deed, Dish, Habits, Hand, Story
from tests.worlds.weather import Site, Spell

SEED = 20261030
LAST = date(2026, 10, 30)


def day(month: int, number: int) -> date:
    """A day of the story's year."""
    return date(2026, month, number)


HABITS = Habits(
    hands=(Hand("Mira", feels_wetter=0.012), Hand("Jo", feels_wetter=-0.015, steady=1.3)),
    feed_days=(2, 6),
    portion_kg=0.8,
    menu=(
        Dish("vegetable-scraps", 0.55, 0.95),
        Dish("coffee-grounds", 0.16, 0.75, "cups"),
        Dish("banana-peel", 0.14, 0.5),
        Dish("carrot", 0.10, 0.3),
        Dish("apple", 0.12, 0.35),
        Dish("tea-leaves", 0.05, 0.35, "cups"),
        Dish("egg-shell", 0.03, 0.15),
    ),
    look=0.16,
    looks_when_feeding=0.72,
    thermometer=0.55,
    meter=0.22,
    left_step=25,
    ramp_days=45,
    bedding_kg=0.04,
    bedding_when_wet=0.3,
    bedding_often=0.06,
    water_kg=0.35,
    blunder=0.015,
    unlogged=0.03,
    away=((day(7, 18), day(7, 25)), (day(10, 12), day(10, 15))),
    busy=((day(6, 22), day(6, 28)), (day(8, 26), day(9, 1)), (day(10, 5), day(10, 11))),
    hour="18:10",
)

DEEDS = (
    Deed(day(6, 2), "note", note="Bin stands in the cold corner by the air conditioner until the shelf is cleared"),
    Deed(day(6, 10), "note", by="Jo", note="A few worms on the lid this morning. Left the light on"),
    Deed(day(6, 30), "ruler", by="Jo"),
    Deed(day(7, 4), "note", by="Mira", note="Moved the bin to the low shelf, away from the cold air"),
    Deed(day(7, 17), "feed", "vegetable-scraps", 0.45, "g", by="Mira", note="Before leaving for the week"),
    Deed(day(7, 17), "bed", "shredded-cardboard", 0.08, "g", by="Mira"),
    Deed(day(7, 26), "check", by="Mira", note="Back home. All well"),
    Deed(day(8, 8), "feed", "melon-rind", 3.6, "kg", by="Jo", hour="22:40", note="Party leftovers, all of it"),
    Deed(day(8, 8), "feed", "bread", 0.6, "g", by="Jo", hour="22:40"),
    Deed(day(8, 9), "feed", "melon-rind", 1.8, "kg", by="Jo", hour="11:20", note="The rest of the rind"),
    Deed(day(8, 12), "check", by="Mira", note="Smells like a cider press. Nothing fed today"),
    Deed(day(8, 13), "fluff", by="Mira"),
    Deed(day(8, 14), "check", by="Mira"),
    Deed(day(8, 14), "bed", "shredded-cardboard", 0.08, "g", by="Mira"),
    Deed(day(8, 16), "check", by="Mira", note="Rind still there. Skipped"),
    Deed(day(9, 6), "weigh", by="Jo", unit="lb", note="Contents tipped into the tub for the bathroom scale"),
    Deed(day(9, 9), "feed", "melon-rind", 0.5, "g", by="Mira"),
    Deed(day(9, 9), "feed", "leaf-lettuce", 0.4, "g", by="Mira"),
    Deed(day(9, 12), "water", kg=4.0, unit="qt", by="Jo", note="Plant can tipped over into the box. About this much"),
    Deed(day(9, 13), "feed", "leaf-lettuce", 0.6, "g", by="Jo"),
    Deed(day(9, 13), "feed", "vegetable-scraps", 0.5, "g", by="Jo"),
    Deed(day(9, 14), "check", by="Mira", note="Water at the bottom of the box"),
    Deed(day(9, 17), "check", by="Mira"),
    Deed(day(9, 19), "bed", "shredded-cardboard", 0.11, "g", by="Mira", note="A box torn up against the wet"),
    Deed(day(9, 19), "fluff", by="Mira"),
    Deed(day(9, 19), "tip-out", kg=2.4, unit="qt", by="Jo", note="Tipped the standing water into a jug"),
    Deed(day(9, 20), "typo", by="Jo"),
    Deed(day(9, 23), "check", by="Mira"),
    Deed(day(10, 4), "ruler", by="Mira"),
    Deed(day(10, 16), "check", by="Mira", note="Mostly dark crumbs below. Soon?"),
    Deed(day(10, 28), "check", by="Mira"),
    Deed(day(10, 30), "check", by="Jo", hour="08:05"),
)

STORY = Story(
    key="kitchen", name="Kitchen box", length_cm=50, width_cm=36, depth_cm=30, drains=False, cover="loose",
    method="sort",
    site=Site(
        usual_c=20.0, swing_c=1.8, restless_c=0.9,
        spells=(Spell(day(6, 1), day(7, 4), warmer_c=-6.0), Spell(day(9, 9), day(9, 20), damper=0.18)),
    ),
    habits=HABITS, first=day(6, 1), last=LAST,
    beds=(Dish("shredded-cardboard", 0.75, 1.0, "g"), Dish("egg-carton", 0.25, 1.0, "g")), beds_kg=0.68, water_kg=2.0,
    worms_kg=0.454, worms_unit="lb", rate=1.12, drying=1.2, drift=0.10,
    lid_open=((day(8, 12), day(8, 14)), (day(9, 17), day(9, 21))),
    deeds=DEEDS,
)  # fmt: skip

SETTINGS: dict[str, object] = {
    "feed_days": ["WE", "SU"],
    "check_every_days": 3,
    "away": [
        {"first": "2026-07-18", "last": "2026-07-25", "why": "at the lake"},
        {"first": "2026-10-12", "last": "2026-10-15", "why": "a wedding"},
    ],
    "on_hand": [
        {"material": "shredded-cardboard", "kg": 0.6, "shredded_kg": 0.25},
        {"material": "egg-cartons", "kg": 0.15},
    ],
    "buckets": [
        {"name": "kitchen pail", "portions": ["600 g vegetable scraps", "2 cups coffee grounds"]},
        {"name": "breakfast", "portions": ["150 g banana peel", "1 cup tea leaves"]},
    ],
}

STORIES = (STORY,)
