"""What to put together: the bedding and water that a feeding wants, and findings on a blend at the mix bench."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import inf, isinf

from wormbin.advice.bedding import NOT_NOTED, Choice, spoken
from wormbin.advice.finding import Action, Doing, Finding
from wormbin.advice.limits import MIX_AIR
from wormbin.advice.wording import LEAST_DRY_KG, LEAST_WATER_L, mass, percent, poured, scooped
from wormbin.figures import Level
from wormbin.materials.material import SOAKS_UP
from wormbin.measures import density
from wormbin.science.addition import Addition, BandLimits, GivesWay, Goal, Offer
from wormbin.science.blend import Blend, Ingredient
from wormbin.science.solver import CN_BAND, least_addition

DRIEST_MIX = 0.65
"""What goes in is never made drier than this, however wet the bin: worms leave dry feed alone (ours)."""
WETTEST_MIX = 0.96
"""No feed is wetter than this (melon 92 %, lettuce 95 %: USDA SR28)."""
BOARD_CARBON = 0.41
"""Kg of carbon in a kg of dry board, straw or leaves: 45 % of what is dry (from memory), with 8 % of moisture."""
RICH_CN = 15.0
"""Under this the surplus nitrogen leaves as ammonia (a model choice of ours)."""
CORNELL = "balances of water, carbon and nitrogen (Cornell Composting)"


@dataclass(frozen=True, slots=True)
class ToAdd:
    """Bedding (material key, its name, kg as it lies dry) to add, and whether it is noted, or was at hand of late."""

    material: str
    name: str
    kg: float
    noted: bool


@dataclass(frozen=True, slots=True)
class Proposal:
    """The least bedding and water that bring what goes in into its bands, in words too, and which aim gives way."""

    beddings: tuple[ToAdd, ...]
    water_kg: float
    words: str
    gives_way: str
    cn_before: float
    cn: float
    moisture: float
    addition: Addition

    @property
    def nothing(self) -> bool:
        """Whether it is right as it is."""
        return not self.beddings and self.water_kg <= 0


def mix_moisture_band(total_kg: float, moisture: float, mix_kg: float, low: float, high: float) -> BandLimits:
    """The moisture band for a mix of ``mix_kg`` so that the bin with it lands in (``low``, ``high``), where it can.

    A wet bin asks for a drier mix, and a bin that is dry enough takes feed as wet as it is; never under 65 %.
    """
    if mix_kg <= 0:
        return low, high
    whole = total_kg + mix_kg
    most = (high * whole - total_kg * moisture) / mix_kg
    least = (low * whole - total_kg * moisture) / mix_kg
    top = min(WETTEST_MIX, max(DRIEST_MIX, most))
    return min(top, max(DRIEST_MIX, min(low, most), min(least, high))), top


def propose(
    bucket: Iterable[Ingredient], options: Sequence[Choice], moisture: BandLimits, units: str, cn: BandLimits = CN_BAND
) -> Proposal:
    """The least of the beddings on hand, dry, and water, that bring the bucket into both bands; moisture goes first.

    Feed that is already above the C:N band is left so: the high side is only slow, and bedding would not lower it.
    """
    parts = tuple(bucket)
    offers = [Offer(Ingredient.of(option.material, 0.0), option.kg if option.noted else None) for option in options]
    plain = least_addition(parts, (), cn=(0.0, inf), moisture=(0.0, 1.0))
    asked = (cn[0], inf if plain.before.cn > cn[1] else cn[1])
    found = least_addition(parts, offers, cn=asked, moisture=moisture)
    by_name = {option.material.name: option for option in options}
    beddings = tuple(
        ToAdd(by_name[name].material.key, name, kg, not by_name[name].find_first)
        for name, kg in found.added
        if name in by_name and kg >= LEAST_DRY_KG
    )
    water_kg = found.water_kg if found.water_kg >= LEAST_WATER_L else 0.0
    return Proposal(
        beddings=beddings,
        water_kg=water_kg,
        words=_words(beddings, water_kg, units),
        gives_way="; ".join(gives_way_words(each, units) for each in found.gives_way if not _only_slow(each)),
        cn_before=found.before.cn,
        cn=found.reached.cn,
        moisture=found.reached.moisture,
        addition=found,
    )


def _only_slow(gives: GivesWay) -> bool:
    """Whether it is C:N over its band, as dry bedding against the wet makes it: slow, and nothing to be put right."""
    return gives.goal is Goal.CN and gives.reached > gives.wanted[1]


def _words(beddings: Sequence[ToAdd], water_kg: float, units: str) -> str:
    if not beddings:
        return f"add {poured(water_kg, units)} of water" if water_kg > 0 else "it needs no bedding: just cover it"
    said = " and ".join(f"{scooped(each.kg, units)} {spoken(each.name)}" for each in beddings)
    held = SOAKS_UP * sum(each.kg for each in beddings)
    if water_kg <= 0:
        soak = ", dry"
    elif water_kg <= held:
        soak = f", soaked in {poured(water_kg, units)} of water"
    else:
        soak = f", soaked, and sprinkle {poured(max(water_kg - held, 0.0), units)} of water over the feed"
    return f"add {said}{soak}{'' if all(each.noted for each in beddings) else NOT_NOTED}"


def gives_way_words(gives: GivesWay, units: str) -> str:
    """An aim that cannot be met, plainly: what it comes to, what was aimed at, what that means, what would mend it."""
    low, high = gives.wanted
    over = gives.reached > high
    side = "over" if over else "under"
    if gives.goal is Goal.CN:
        wanted = f"{low:g}" if isinf(high) else f"{low:g}-{high:g}"
        reached = "has no end, as there is no nitrogen" if isinf(gives.reached) else f"comes to {gives.reached:.0f}"
        if over:
            means = f"That is slow, but no harm. {mass(gives.missing_kg, units)} more nitrogen would mend it"
        else:
            means = (
                f"That is too rich. About {mass(gives.missing_kg / BOARD_CARBON, units)} more dry board or leaves "
                "would mend it"
            )
        return f"C:N {reached}, {side} your {wanted}. {means}"
    water = mass(gives.missing_kg, units)
    means = f"It has {water} too much water: give less of it, or let it drain" if over else f"Add {water} of water"
    return f"moisture comes to {percent(gives.reached)}, {side} your {percent(low)} to {percent(high)}. {means}"


def mix_findings(
    blend: Blend,
    *,
    cn: BandLimits = CN_BAND,
    moisture: BandLimits = (0.75, 0.85),
    proposal: Proposal | None = None,
    added: bool = False,
    units: str = "metric",
) -> tuple[Finding, ...]:
    """What is out of band in a blend: C:N, moisture, free air space; worst first. ``bin`` of each is empty.

    A blend that was brought to its moisture by what was ``added`` and came out over the C:N band for it is only slow:
    that stands with what gives way, and is no finding.
    """
    if blend.dry_kg <= 0:
        return ()
    do = (Action(Doing.BEDDING, proposal.words),) if proposal is not None and not proposal.nothing else ()
    only_slow = added and not isinf(blend.cn)
    found = (_ratio(blend, cn, only_slow, do, units), _wetness(blend, moisture, do, units), _pores(blend, do, units))
    return tuple(sorted(filter(None, found), key=lambda each: (-each.level.rank, -each.urgency)))


_SUMS = "A sum of book values for each material. Your own may differ."


def _ratio(blend: Blend, cn: BandLimits, only_slow: bool, do: tuple[Action, ...], units: str) -> Finding | None:
    """C:N out of its band; over it is passed over where that is ``only_slow``."""
    rich = blend.cn < cn[0]
    if not rich and (blend.cn <= cn[1] or only_slow):
        return None
    shown = "no nitrogen at all" if isinf(blend.cn) else f"C:N {blend.cn:.1f}"
    other = "add dry bedding" if rich else "add something richer: scraps, coffee, grass"
    return Finding(
        code="mix-rich" if rich else "mix-lean",
        level=Level.ACT if blend.cn < RICH_CN else Level.WATCH,
        what=f"{shown} is {'under' if rich else 'over'} your {cn[0]:g}-{cn[1]:g}",
        why=f"it has {mass(blend.carbon_kg, units)} of carbon to {mass(blend.nitrogen_kg, units)} of nitrogen.",
        actions=do or (Action(Doing.BEDDING, other),),
        sure=_SUMS,
        source=f"{CORNELL}; 25-30 for what is put in together is common practice",
        urgency=2.0,
    )


def _wetness(blend: Blend, aim: BandLimits, do: tuple[Action, ...], units: str) -> Finding | None:
    """Moisture out of its band."""
    if aim[0] <= round(blend.moisture, 6) <= aim[1]:
        return None
    wet = blend.moisture > aim[1]
    return Finding(
        code="mix-wet" if wet else "mix-dry",
        level=Level.WATCH,
        what=f"moisture {percent(blend.moisture)} is {'over' if wet else 'under'} {percent(aim[1] if wet else aim[0])}",
        why=f"there is {mass(blend.water_kg, units)} of water in {mass(blend.wet_kg, units)}.",
        actions=do or (Action(Doing.BEDDING, "add dry bedding") if wet else Action(Doing.WATER, "add water"),),
        sure=_SUMS,
        source="Cornell Composting; 60-90 % is borne (Edwards ed., Earthworm Ecology 2004, Table 18.3)",
        urgency=1.5,
    )


def _pores(blend: Blend, do: tuple[Action, ...], units: str) -> Finding | None:
    """Too dense for air."""
    space, limit = blend.free_air_space, MIX_AIR.watch.enter
    if space is None or space >= limit:
        return None
    return Finding(
        code="mix-dense",
        level=Level.ACT if space < MIX_AIR.edge(Level.ACT) else Level.WATCH,
        what=f"only {percent(max(0.0, space))} air: too dense",
        why=f"it weighs {density(blend.bulk_density_kg_m3 or 0.0, units)}. Air should fill {percent(limit)} at least.",
        actions=(Action(Doing.BEDDING, "add something coarse: shredded board, straw, leaves"), *do),
        sure="How dense each material lies is a book value. Weigh a bucket of it to be sure.",
        source=MIX_AIR.source,
        urgency=1.0,
    )
