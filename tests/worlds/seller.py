"""The seller's story: eight bins on a small holding for fourteen months, fed in bulk, two keepers."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from tests.worlds.habits import Deed, Dish, Habits, Hand, Story
from tests.worlds.weather import Site, Spell

SEED = 20260831
FIRST, LAST = date(2025, 9, 1), date(2026, 10, 30)
INES, TOM = Hand("Ines", feels_wetter=0.005, steady=0.8), Hand("Tom", feels_wetter=-0.02, steady=1.1)

CHRISTMAS = (date(2025, 12, 22), date(2026, 1, 2))
FAIR = (date(2026, 4, 20), date(2026, 5, 3))
HAYMAKING = (date(2026, 6, 22), date(2026, 7, 5))
HEAT = (date(2026, 7, 13), date(2026, 7, 20))
FROST = (date(2026, 1, 10), date(2026, 1, 24))

MARKET = (
    Dish("vegetable-scraps", 0.45, 0.9, "kg"),
    Dish("leaf-lettuce", 0.15, 0.5, "kg"),
    Dish("carrot", 0.15, 0.35, "kg"),
    Dish("coffee-grounds", 0.25, 0.5, "qt"),
    Dish("egg-shell", 0.02, 0.12, "kg"),
)
BREWERY = (
    Dish("spent-grain", 0.30, 0.6, "kg"),
    Dish("vegetable-scraps", 0.50, 0.9, "kg"),
    Dish("coffee-grounds", 0.20, 0.4, "qt"),
)
RABBITS = (Dish("rabbit-manure", 0.35, 0.9, "kg"), Dish("vegetable-scraps", 0.65, 0.7, "kg"))
HORSES = (Dish("horse-manure", 1.0, 1.0, "kg"), Dish("vegetable-scraps", 0.35, 0.3, "kg"))


def habits(menu: tuple[Dish, ...], portion_kg: float, feed_days: tuple[int, ...] = (1, 5)) -> Habits:
    """What all eight share: twice a week, a thermometer always in the bag, the scale and ruler now and then."""
    return Habits(
        hands=(INES, TOM),
        feed_days=feed_days,
        portion_kg=portion_kg,
        menu=menu,
        hour="07:30",
        look=0.10,
        looks_when_feeding=0.75,
        thermometer=0.95,
        meter=0.25,
        ruler=0.06,
        left_step=25,
        ramp_days=28,
        bedding_kg=0.25,
        bedding_unit="kg",
        bedding_often=0.12,
        bedding_when_wet=0.4,
        waters_when_dry=0.9,
        water_kg=3.0,
        water_unit="gal",
        fluffs=0.02,
        unlogged=0.01,
        blunder=0.005,
        harvest_after=(3, 18),
        spares_in_cold=True,
        holds_back=0.85,
        away=(),
        busy=(CHRISTMAS, FAIR, HAYMAKING),
    )


BARN = Site(
    usual_c=16.0, swing_c=5.0, restless_c=1.3,
    spells=(Spell(*HEAT, warmer_c=5.0), Spell(*FROST, warmer_c=-4.0)),
)  # fmt: skip
SHADE = Site(
    usual_c=14.0, swing_c=7.5, restless_c=1.8,
    spells=(
        Spell(*HEAT, warmer_c=5.5),
        Spell(*FROST, warmer_c=-4.0),
        Spell(date(2026, 10, 21), date(2026, 10, 30), warmer_c=-4.5),
    ),
)  # fmt: skip
TUNNEL = Site(
    usual_c=18.0, swing_c=6.5, restless_c=1.6,
    spells=(Spell(*HEAT, warmer_c=4.0), Spell(*FROST, warmer_c=-3.0)),
)  # fmt: skip
CELLAR = Site(usual_c=15.5, swing_c=2.0, restless_c=0.5)
BEDS = (Dish("shredded-cardboard", 0.6, 1.0, "kg"), Dish("straw", 0.4, 1.0, "kg"))
COIR = (Dish("shredded-cardboard", 0.7, 1.0, "kg"), Dish("coconut-coir", 0.3, 1.0, "kg"))

BARN_ONE = Story(
    key="barn-1", name="Barn bed 1", length_cm=120, width_cm=80, depth_cm=45, drains=True, cover="loose", method="sort",
    site=BARN, habits=habits(MARKET, 3.2), first=FIRST, last=LAST, beds=BEDS, beds_kg=5.5, water_kg=15.0,
    worms_kg=1.9, rate=1.05, drying=1.0,
    deeds=(
        Deed(date(2026, 1, 8), "survey", unit="g", by="Ines", count=6),
        Deed(date(2026, 3, 14), "move-out", "nursery", 0.5, "kg", by="Tom", note="To start the nursery crate again"),
        Deed(date(2026, 5, 16), "survey", unit="g", by="Ines", count=6),
        Deed(date(2026, 10, 17), "harvest", share=0.85, by="Ines", note="A little early, bags were wanted"),
        Deed(date(2026, 10, 29), "check", by="Ines"),
    ),
)  # fmt: skip
BARN_TWO = Story(
    key="barn-2", name="Barn bed 2", length_cm=120, width_cm=80, depth_cm=45, drains=True, cover="loose",
    method="screen",
    site=BARN, habits=replace(habits(RABBITS, 1.25), harvest_after=(60, 70)), first=FIRST, last=LAST, beds=BEDS,
    beds_kg=6.0, water_kg=17.0, worms_kg=2.1, rate=0.95, drying=1.1,
    deeds=(
        Deed(date(2025, 11, 15), "oven", by="Ines", note="Oven test, 100 g at 105 C"),
        Deed(date(2026, 4, 4), "weigh", unit="kg", by="Tom", note="On the pallet scale, bed emptied into tubs"),
        Deed(date(2026, 5, 17), "survey", unit="g", by="Ines", count=6),
        Deed(date(2026, 5, 23), "harvest", share=0.8, by="Ines", note="Through the quarter-inch screen"),
        Deed(date(2026, 10, 28), "check", by="Ines"),
    ),
)  # fmt: skip
SHADE_ONE = Story(
    key="shade-1", name="Shade bed, north wall", length_cm=100, width_cm=70, depth_cm=40, drains=True, cover="closed",
    method="bait", site=SHADE, habits=habits(HORSES, 0.9, (5,)), first=date(2025, 9, 20), last=LAST, beds=BEDS,
    beds_kg=4.0, water_kg=12.0, worms_kg=1.4, worms_unit="lb", rate=1.1, drying=1.1,
    deeds=(
        Deed(date(2026, 1, 12), "note", by="Tom", note="Straw bales put round it against the frost"),
        Deed(date(2026, 6, 6), "survey", unit="worms", by="Tom", count=5),
        Deed(date(2026, 10, 29), "check", by="Tom", note="Cold hands. Worms deep down"),
    ),
)  # fmt: skip
SHADE_TWO = Story(
    key="shade-2", name="Shade bed, hedge", length_cm=100, width_cm=70, depth_cm=40, drains=True, cover="loose",
    method="sort", site=replace(SHADE, usual_c=15.5, spells=SHADE.spells[:2]),
    habits=habits(MARKET, 1.9), first=date(2025, 9, 20), last=LAST, beds=BEDS, beds_kg=4.0, water_kg=12.0,
    worms_kg=1.2, worms_unit="lb", rate=1.1, drying=1.5,
    deeds=(
        Deed(date(2026, 3, 21), "move-in", kg=0.4),
        Deed(date(2026, 7, 4), "weigh", unit="kg", by="Ines"),
        Deed(date(2026, 10, 3), "harvest", share=0.85, by="Tom", note="For the autumn market"),
        Deed(date(2026, 10, 29), "check", by="Ines"),
    ),
)  # fmt: skip
TUNNEL_ONE = Story(
    key="tunnel", name="Polytunnel bed", length_cm=120, width_cm=60, depth_cm=40, drains=True, cover="loose",
    method="sort", site=TUNNEL, habits=habits(MARKET, 2.3), first=date(2025, 10, 4), last=LAST, beds=COIR, beds_kg=4.0,
    water_kg=13.0, worms_kg=1.3, rate=1.1, drying=1.4,
    deeds=(
        Deed(date(2026, 3, 21), "move-out", "shade-2", 0.4, "kg", by="Ines", note="Hedge bed came thin out of winter"),
        Deed(date(2026, 5, 9), "harvest", share=0.8, by="Tom"),
        Deed(date(2026, 7, 14), "check", by="Ines", note="Shade cloth over it"),
        Deed(date(2026, 7, 15), "feed", "grass-clippings", 5.0, "kg", by="Tom", note="Lawn of the guest house"),
        Deed(date(2026, 7, 16), "check", by="Ines", note="Hot to the hand. Frozen bottles in"),
        Deed(date(2026, 7, 16), "water", kg=6.0, unit="gal", by="Ines"),
        Deed(date(2026, 7, 18), "check", by="Ines"),
        Deed(date(2026, 7, 21), "check", by="Tom"),
        Deed(date(2026, 9, 5), "survey", unit="g", by="Ines", count=6),
        Deed(date(2026, 10, 29), "check", by="Tom"),
    ),
)  # fmt: skip
CRATE_ONE = Story(
    key="crate-1", name="Cellar crate 1", length_cm=80, width_cm=60, depth_cm=40, drains=False, cover="loose",
    method="sort", site=CELLAR, habits=replace(habits(MARKET, 1.5), water_kg=1.5, water_unit="L"),
    first=date(2025, 10, 18), last=LAST, beds=COIR, beds_kg=2.8, water_kg=8.0, worms_kg=0.9, worms_unit="lb", rate=1.0,
    drying=0.9,
    deeds=(
        Deed(date(2026, 2, 14), "tip-out", kg=3.0, unit="L", by="Ines", note="Siphoned the base"),
        Deed(date(2026, 10, 3), "tip-out", kg=5.0, unit="L", by="Tom", note="Siphoned the base"),
        Deed(date(2026, 10, 24), "feed", "leaf-lettuce", 7.0, "kg", by="Tom", note="Unsold heads"),
        Deed(date(2026, 10, 26), "water", kg=8.0, unit="L", by="Tom", note="Hose dripped into it overnight, a guess"),
        Deed(date(2026, 10, 29), "check", by="Ines", note="Water at the base again"),
    ),
)  # fmt: skip
CRATE_TWO = Story(
    key="crate-2", name="Cellar crate 2", length_cm=80, width_cm=60, depth_cm=40, drains=False, cover="loose",
    method="sort", site=CELLAR, habits=replace(habits(BREWERY, 0.8), water_kg=1.5, water_unit="L"),
    first=date(2025, 10, 18), last=LAST, beds=COIR, beds_kg=2.8, water_kg=8.0, worms_kg=0.9, worms_unit="lb",
    rate=0.95, drying=0.9,
    deeds=(
        Deed(date(2026, 3, 3), "feed", "spent-grain", 9.0, "lb", by="Tom", note="Brew day, both tubs"),
        Deed(date(2026, 3, 4), "feed", "spent-grain", 2.5, "kg", by="Tom"),
        Deed(date(2026, 3, 7), "check", by="Ines", note="Sour. Scraped the top off to the heap next time"),
        Deed(date(2026, 3, 8), "fluff", by="Ines"),
        Deed(date(2026, 5, 30), "typo", by="Tom"),
        Deed(date(2026, 10, 24), "feed", "spent-grain", 5.5, "kg", by="Tom", note="Brew day, no room anywhere else"),
        Deed(date(2026, 10, 24), "feed", "bread", 1.2, "kg", by="Tom", note="Old rolls"),
        Deed(date(2026, 10, 27), "feed", "spent-grain", 4.5, "kg", by="Tom"),
        Deed(date(2026, 10, 27), "feed", "melon-rind", 5.0, "kg", by="Tom"),
        Deed(date(2026, 10, 28), "water", kg=8.0, unit="gal", by="Tom", note="Looked crusted, hosed it"),
        Deed(date(2026, 10, 29), "check", by="Ines", note="Stinks. Worms on the lid"),
        Deed(date(2026, 10, 30), "check", by="Ines", hour="07:05"),
    ),
)  # fmt: skip
NURSERY = Story(
    key="nursery", name="Nursery crate", length_cm=60, width_cm=40, depth_cm=30, drains=True, cover="loose",
    method="sort", site=Site(usual_c=20.0, swing_c=1.5, restless_c=0.6), habits=replace(
        habits(MARKET, 0.7), bedding_kg=0.08, water_kg=0.5, water_unit="L"
    ),
    first=date(2026, 3, 14), last=LAST, beds=COIR, beds_kg=1.3, water_kg=4.0, worms_kg=0.25, worms_unit="g", rate=1.0,
    drying=1.0,
    deeds=(
        Deed(date(2026, 3, 14), "move-in", kg=0.5),
        Deed(date(2026, 8, 8), "survey", unit="worms", by="Ines", count=4),
        Deed(date(2026, 10, 29), "check", by="Ines"),
    ),
)  # fmt: skip
STORIES = (BARN_ONE, BARN_TWO, SHADE_ONE, SHADE_TWO, TUNNEL_ONE, CRATE_ONE, CRATE_TWO, NURSERY)

SETTINGS: dict[str, object] = {
    "feed_days": ["TU", "SA"],
    "check_every_days": 3,
    "currency": "EUR",
    "hour_rate": 10,
    "prices": {"kg": 7, "litre": 5, "worms": 60},
    "on_hand": [
        {"material": "shredded-cardboard", "kg": 30.0, "shredded_kg": 12.0},
        {"material": "straw", "kg": 45.0, "shredded_kg": 10.0},
        {"material": "dry-leaves", "kg": 20.0, "shredded_kg": 20.0},
    ],
    "buckets": [
        {"name": "market crate", "portions": ["1.5 kg vegetable scraps", "500 g leaf lettuce", "500 g carrot"]},
        {"name": "brew day", "portions": ["2 kg spent grain"]},
        {"name": "rabbit shed", "portions": ["1 kg rabbit manure"]},
    ],
}
