"""How much surface, how many worms and how much feed go together, by the rules that extension services print."""

from __future__ import annotations

from wormbin.figures import Basis, Quantity, Working
from wormbin.measures.units import INCH_M, POUND_KG
from wormbin.records.worms import WORM_KG

FOOT2_M2 = (12.0 * INCH_M) ** 2
AREA_M2_PER_KG_WEEK = FOOT2_M2 / POUND_KG
"""One square foot of surface for each pound of feed a week (NC State Extension AG-473-18)."""
START_KG_M2 = (1.6, 2.5)
"""Live worms to begin with. 1.60 kg/m2 gave the best castings (Ndegwa, Thompson & Das 2000); 2.5 is the high end of
common practice."""
PLAN_AT_MOST_KG_M2 = 5.0
"""More worms than this are not planned for: one pound to the square foot, crowded [common practice, no source]."""
FEED_RULE_KG_KG_DAY = (0.5, 1.0)
"""Half to one body weight of feed a day: the extension rule of thumb. 0.5 is 1 lb worms to 3.5 lb scraps a week (NYC
Compost Project 2012); 0.75 gave the best castings (Ndegwa, Thompson & Das 2000)."""
USUAL_FEED_KG_KG_DAY = 0.5
CROWDED_FEED_KG_KG_DAY = 1.0 / 7.0
"""Crowded old stock falls to about its own weight a week (Reeh 1992)."""
CAST_KG_KG_DAY = 0.30
"""Castings, kg per kg of live worms a day over a year (Yadav et al. 2010)."""
WORMS_PER_POUND = (500, 2000)
"""Grown worms and young ones to the pound; about 1,000 in a mixed bin (common extension figure)."""
WORKED_DEPTH_M = (0.10, 0.15)
"""Worms keep to the top 10-15 cm (Edwards ed., Earthworm Ecology 2004)."""
BOX_DEPTH_M = (8.0 * INCH_M, 12.0 * INCH_M)
"""Depth of a good box: 8-12 in (NC State Extension AG-473-18; NYC Compost Project 2012)."""
LAYER_M = (0.025, 0.04)
"""Thickest layer of feed: 1 to 1 1/2 in (NC State Extension, Controlling Mite Pests in Earthworm Beds)."""


def area_for_feed_m2(feed_kg_week: float) -> float:
    """Surface, m2, for so many kg of feed a week: 1 ft2 to the pound (NC State Extension AG-473-18)."""
    return feed_kg_week * AREA_M2_PER_KG_WEEK


def feed_for_area_kg_week(area_m2: float) -> float:
    """Feed, kg a week, that a surface can take, by the same rule."""
    return area_m2 / AREA_M2_PER_KG_WEEK


def worms_for_area_kg(area_m2: float) -> tuple[float, float]:
    """Live kg of worms to begin with on a surface: from 1.6 to 2.5 kg/m2."""
    low, high = START_KG_M2
    return low * area_m2, high * area_m2


def most_worms_kg(area_m2: float) -> float:
    """Live kg of worms above which a surface is not to be planned."""
    return PLAN_AT_MOST_KG_M2 * area_m2


def worms_for_feed_kg(feed_kg_week: float, rule_kg_kg_day: float = USUAL_FEED_KG_KG_DAY) -> float:
    """Live kg of worms that so many kg of feed a week ask for. Raises ValueError for a rule of nothing."""
    if rule_kg_kg_day <= 0:
        raise ValueError("the feed per kg of worms a day must be above zero")
    return feed_kg_week / 7.0 / rule_kg_kg_day


def feed_kg_day(worms_kg: float, rule_kg_kg_day: float = USUAL_FEED_KG_KG_DAY) -> float:
    """Feed, kg a day, by the rule of thumb: a share of the worms' own weight. The bin's own log knows better."""
    return worms_kg * rule_kg_kg_day


def worms_from_count_kg(count: float) -> float:
    """Live kg of so many worms of all ages: about 1,000 to the pound, 500 if all are grown, 2,000 if all are young."""
    return count * WORM_KG


def count_from_kg(worms_kg: float) -> tuple[float, float, float]:
    """How many worms that is: all grown, mixed, all young."""
    pounds = worms_kg / POUND_KG
    return pounds * WORMS_PER_POUND[0], worms_kg / WORM_KG, pounds * WORMS_PER_POUND[1]


def castings_kg_year(worms_kg: float) -> float:
    """Castings, wet kg a year, of a herd that is kept well (Yadav et al. 2010); for a first idea only."""
    return worms_kg * CAST_KG_KG_DAY * 365.0


def area_working(feed_kg_week: float) -> Working:
    """The surface for so much feed opened."""
    return Working(
        title="Surface for this much feed",
        value=area_for_feed_m2(feed_kg_week),
        unit="m2",
        formula="feed / pound * square_foot",
        inputs=(
            Quantity("feed", feed_kg_week, "kg/week", Basis.SAID),
            Quantity("pound", POUND_KG, "kg", Basis.BOOK),
            Quantity("square_foot", FOOT2_M2, "m2", Basis.BOOK),
        ),
        source="NC State Extension AG-473-18: one square foot for each pound a week",
        sure="a rule of thumb, good to perhaps a third either way",
        plain="Worms work near the surface, so it is the surface that counts, not the litres.",
    )


def worms_working(area_m2: float) -> Working:
    """The worms to begin with opened, at the low end (1.6 kg/m2), which gives the best castings."""
    return Working(
        title="Worms to begin with",
        value=worms_for_area_kg(area_m2)[0],
        unit="kg live",
        formula="area * stocking",
        inputs=(
            Quantity("area", area_m2, "m2", Basis.SAID),
            Quantity("stocking", START_KG_M2[0], "kg/m2", Basis.BOOK, "up to 2.5; more than 5 is not planned for"),
        ),
        source="Ndegwa, Thompson & Das 2000",
        sure="half of it works too, it only takes longer",
        plain="Enough worms to work the surface, with room for their young.",
    )


def feed_working(worms_kg: float, share: float = 1.0) -> Working:
    """The daily feed by the rule of thumb opened; ``share`` is a new bin's part of it."""
    return Working(
        title="Feed a day, by the rule of thumb",
        value=feed_kg_day(worms_kg) * share,
        unit="kg/day",
        formula="worms * rule * share",
        inputs=(
            Quantity("worms", worms_kg, "kg live", Basis.WORKED_OUT),
            Quantity("rule", USUAL_FEED_KG_KG_DAY, "kg per kg of worms a day", Basis.BOOK, "half to one in print"),
            Quantity("share", share, "of the usual ration", Basis.BOOK, "a new bin gets a quarter, then a half"),
        ),
        source="NYC Compost Project 2012: 1 lb of worms to 3.5 lb of scraps a week",
        sure="a rule of thumb: bins differ by a factor of two either way",
        plain="Half their own weight a day. What is really gone by the next feeding tells more.",
    )
