"""Numbers that more than one room reckons with: value, unit in the name, and who says so; each stands here alone.

Parameters of the model stand in ``process.parameters``, the limits that advice holds a bin against in
``advice.limits``, what a unit is in ``measures.units``, what a material is made of in its table, and a number that
belongs to one formula beside that formula.
"""

from __future__ import annotations

from typing import Final

# Nature and arithmetic.
WATER_KG_M3: Final = 1000.0
SECONDS_A_DAY: Final = 86400.0
TENTH_SD: Final = 1.2815515655446004
"""Standard deviations of a normal distribution beyond which a tenth of it lies: from the middle to either end of a
10/50/90 band."""
WET_PORES: Final = 0.5
"""Water at the base stands between what lies there: of so much of the room (ours)."""

# How much room things take, and how wet they are.
FRESH_SCRAPS_KG_M3: Final = 600.0
"""Kitchen scraps as they lie in a bin, chopped and settled a little (from memory); measured out loose they are lighter,
as the material table has it."""
LOOSE_BEDDING_KG_M3: Final = 40.0
"""Shredded dry board or paper, loose (from memory)."""
CASTINGS_KG_M3: Final = 700.0
"""Fresh castings as taken off (from memory)."""
DENSEST_CASTINGS_KG_M3: Final = 900.0
"""Finished castings are at most about this (bulk densities of composts, Agnew & Leonard 2003)."""
SPONGE_MOISTURE: Final = 0.78
"""Wet-basis moisture of bedding damp as a wrung-out sponge, inside 75-85 % (common practice, no source)."""

# Laying and taking off.
NEW_BED_M: Final = 0.10
"""A first bed, loose and damp (common practice, no source)."""
COVER_M: Final = 0.03
"""Bedding over what is fed, so that flies do not find it (common practice, no source)."""
LEAST_BEDDING_KG: Final = 0.02
"""Less than a handful of dry bedding is not worth telling of (ours)."""
LEAST_CASTINGS_KG_M2: Final = 2.5
"""Dry castings under which there is no harvest to speak of: about a centimetre (ours)."""
LIFT_KG: Final = 20.0
"""Over this a load is shared (common practice, no source)."""
REBAIT_DAYS: Final = 21
"""Days after a harvest on which the young that have hatched in it are drawn out (cocoons hatch in 18-26 days at 25 C,
from memory)."""

# Reading.
SURVEY_HOLDS_DAYS: Final = 90
"""A worm survey says how many there are for so long: a herd that is fed doubles in two or three months (ours)."""
