"""What a material that nobody knows any more is taken for, so that an old log still replays."""

from __future__ import annotations

from wormbin.materials.material import Material, Pace, Role
from wormbin.problems import RefusedError
from wormbin.process.pools import Materials

MIXED_SCRAPS = Material("mixed-scraps", "Mixed scraps", Role.FEED, Pace.QUICK, 0.024, 0.46, 0.08, 0.85)
PLAIN_BEDDING = Material("plain-bedding", "Plain bedding", Role.BEDDING, Pace.FIBRE, 0.003, 0.46, 0.06, 0.10)


def material_of(table: Materials, key: str, *, feed: bool) -> Material:
    """The material with this key; when it has gone from the table (an own material taken off), a plain stand-in."""
    try:
        found = table.get(key)
    except (RefusedError, KeyError):
        found = None
    if found is not None:
        return found
    return MIXED_SCRAPS if feed else PLAIN_BEDDING
