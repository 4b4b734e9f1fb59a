"""What castings are good for, and how much: potting mix, beds, an aerated extract; with the cautions that go along."""

from __future__ import annotations

from dataclasses import dataclass

from wormbin.figures import Basis, Quantity, Working
from wormbin.problems import Problem, RefusedError

POTTING_SHARE = (0.10, 0.20)
"""Share of a potting mix by volume that grew seedlings best (Atiyeh et al. 2000)."""
POTTING_MOST = 0.40
"""No more than this: salts and waterlogging set plants back (after Atiyeh et al. 2000)."""
SALT_MMHO_CM = 11.7
"""Electrical conductivity that castings may reach, mmho/cm (NMSU H-164)."""
BED_PARTS = (1.0, 2.0)
"""Parts of finished material to parts of soil in the worked layer of a bed [common practice, no source]."""
DRESSING_M = 0.01
"""Thickness strewn on top of a bed or pot, m [common practice, no source]."""
EXTRACT_WATER_PARTS = 10.0
"""Parts of water to one of castings by volume (Ohio State, BioCycle 2007)."""
EXTRACT_HOURS = 24
"""Hours under air, at most (Ohio State, BioCycle 2007)."""


@dataclass(frozen=True, slots=True)
class Mix:
    """Litres of castings and of what they are mixed with; ``cautions`` are codes of ``science.cautions``."""

    castings_l: float
    other_l: float
    share: float
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Extract:
    """An aerated extract: litres of castings and water, hours under air; ``cautions`` are codes."""

    castings_l: float
    water_l: float
    hours: int
    cautions: tuple[str, ...]


def _more_than_nought(litres: float, field: str) -> None:
    if not 0 < litres < float("inf"):
        raise RefusedError(Problem(field, f"{litres:g}", "more than 0 litres", "20 L"))


def potting_mix(total_l: float, share: float = 0.15) -> Mix:
    """Castings and other medium for ``total_l`` litres of potting mix; ``share`` by volume, 0.10-0.20 best.

    Raises RefusedError for a share of nothing or over 0.40.
    """
    _more_than_nought(total_l, "potting mix")
    if not 0 < share <= POTTING_MOST:
        allowed = f"above 0 and up to {POTTING_MOST:.0%} castings; 10-20 % grows seedlings best (Atiyeh et al. 2000)"
        raise RefusedError(Problem("share", f"{share:.0%}", allowed, "15%"))
    cautions = ("dust", "hands", "salt", "own-trial") if share > POTTING_SHARE[1] else ("dust", "hands", "own-trial")
    return Mix(share * total_l, (1.0 - share) * total_l, share, cautions)


def bed_mix(area_m2: float, depth_m: float) -> Mix:
    """Castings to work into a bed's top ``depth_m``: one part to two of soil [common practice, no source]."""
    _more_than_nought(area_m2 * depth_m * 1000.0, "bed")
    castings, soil = BED_PARTS
    total = area_m2 * depth_m * 1000.0
    share = castings / (castings + soil)
    return Mix(share * total, total - share * total, share, ("dust", "hands", "salt", "release"))


def dressing_l(area_m2: float, depth_m: float = DRESSING_M) -> float:
    """Litres of castings to strew over a surface, about 1 cm thick [common practice, no source]."""
    _more_than_nought(area_m2 * depth_m * 1000.0, "dressing")
    return area_m2 * depth_m * 1000.0


def aerated_extract(castings_l: float, hours: int = EXTRACT_HOURS) -> Extract:
    """Water for an extract of ``castings_l`` litres, one part to ten, under air for at most 24 h.

    Steeping for 24-48 h without air is common practice and is not proposed: see the caution "extract". Raises
    RefusedError for more than 24 hours.
    """
    _more_than_nought(castings_l, "castings")
    if not 0 < hours <= EXTRACT_HOURS:
        allowed = f"1 to {EXTRACT_HOURS} hours under air (Ohio State, BioCycle 2007)"
        raise RefusedError(Problem("hours", str(hours), allowed, "24"))
    return Extract(castings_l, EXTRACT_WATER_PARTS * castings_l, hours, ("extract", "leachate", "hands", "rules"))


def potting_working(total_l: float, share: float = 0.15) -> Working:
    """The castings of a potting mix opened."""
    return Working(
        title="Castings for a potting mix",
        value=potting_mix(total_l, share).castings_l,
        unit="L",
        formula="total * share",
        inputs=(
            Quantity("total", total_l, "L", Basis.SAID),
            Quantity("share", share, "of the volume", Basis.SAID, "10-20 % best, 40 % at most"),
        ),
        source="Atiyeh et al. 2000",
        sure="trials were with pig manure and food-waste castings: try a few pots first",
        plain="A little goes a long way: castings are rich, and some are salty.",
    )
