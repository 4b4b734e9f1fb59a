"""Which dry bedding to add and how much: from the keeper's own stock, worked out from the bin's water."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from wormbin.advice.case import Case
from wormbin.advice.finding import Action, Doing
from wormbin.advice.limits import BEDDING_AT_ONCE_M, LOW_CN
from wormbin.advice.wording import LEAST_DRY_KG, LEAST_WATER_L, mass, poured, scooped
from wormbin.materials.material import Material, Role
from wormbin.process.views import Day
from wormbin.records.entries import Bedding
from wormbin.science.constants import LOOSE_BEDDING_KG_M3

WETTEST_OF_DAYS = 5
"""The wettest of the coming days counts: feed gives off its water as it breaks down."""
NOT_NOTED = " (your settings list none: find some first)"
LATELY_DAYS = 28
"""Bedding that went in within so many days was at hand (ours)."""
ENOUGH_KG = 0.005
INSIDE = 0.02
"""How far inside the moisture band an addition aims."""
LEAST_CN = 3.0
"""Nothing that lives or lived has less carbon to its nitrogen."""
CN_AIM = 20.0
"""C:N that unfinished matter is brought back to; five over where ammonia starts."""


@dataclass(frozen=True, slots=True)
class Choice:
    """A bedding that could be used: kg on hand, how much of that is shredded, and whether it was noted."""

    material: Material
    kg: float
    shredded_kg: float
    noted: bool
    used_kg: float = 0.0
    """What of it went into the bins since it was noted: the rest is worked out."""
    lately: bool = False
    """Whether some of it went into this bin in the last weeks: who had it then knows where to get it."""

    @property
    def find_first(self) -> str:
        """The remark that none of it is noted, to go behind a step; "" where it was at hand of late."""
        return "" if self.noted or self.lately else NOT_NOTED

    @property
    def loose_kg_m3(self) -> float:
        """Bulk density when strewn loose, kg/m3: flat board and bales are denser in the table than in the bin."""
        density = self.material.bulk_density_kg_m3
        return density if density is not None and density < 2 * LOOSE_BEDDING_KG_M3 else LOOSE_BEDDING_KG_M3


def choices(case: Case) -> tuple[Choice, ...]:
    """Beddings to choose from, best first: what is on hand, else shredded cardboard with the remark that none is noted.

    Best is what holds most water and is ready shredded. A bin that keeps to beddings of its own gets no other.
    """
    noted = []
    own = case.bin.beddings
    known = {material.key: material for material in case.table if not own or material.key in own}
    for stock in case.settings.on_hand:
        material = known.get(stock.material)
        if material is not None and material.role is Role.BEDDING and stock.kg > 0:
            noted.append(Choice(material, stock.kg, min(stock.kg, stock.shredded_kg), True, stock.used_kg))
    if noted:
        return tuple(
            sorted(noted, key=lambda c: (c.shredded_kg <= 0, -(c.material.water_holding or 0.0), c.material.key))
        )
    beddings = [material for material in known.values() if material.role is Role.BEDDING]
    board = [material for material in beddings if "cardboard" in material.key]
    best = min(board or beddings, key=lambda m: ("shredded" not in m.key, m.key), default=None)
    return (Choice(best, 0.0, 0.0, False, lately=_lately(case, best.key)),) if best is not None else ()


def _lately(case: Case, key: str) -> bool:
    return any(
        isinstance(entry.what, Bedding)
        and 0 <= (case.on - entry.when.date()).days <= LATELY_DAYS
        and any(portion.material == key for portion in entry.what.portions)
        for entry in case.entries
    )


def kg_to_dry(total_kg: float, moisture: float, target: float, bedding_moisture: float) -> float:
    """Kg of bedding that brings ``total_kg`` at ``moisture`` (wet basis) down to ``target``; 0 if not needed.

    From the balance of water: ``total * (moisture - target) / (target - bedding_moisture)``.
    """
    if moisture <= target or bedding_moisture >= target:
        return 0.0
    return total_kg * (moisture - target) / (target - bedding_moisture)


def kg_for_cn(carbon_kg: float, nitrogen_kg: float, target: float, material: Material) -> float:
    """Kg of bedding (as it lies) that brings this carbon and nitrogen up to C:N ``target``; 0 if not needed.

    From ``(C + x c) / (N + x n) = target`` with x in dry kg.
    """
    short = target * nitrogen_kg - carbon_kg
    pull = material.carbon - target * material.nitrogen
    if short <= 0 or pull <= 0:
        return 0.0
    return short / pull / (1.0 - material.moisture)


def kg_of_water(total_kg: float, moisture: float, target: float) -> float:
    """Kg of water that brings ``total_kg`` at ``moisture`` up to ``target``; 0 if not needed."""
    return max(0.0, total_kg * (target - moisture) / (1.0 - target))


def wettest(case: Case) -> tuple[float, float]:
    """Total kg and moisture of the wettest of today and the next days without feeding, standing water let out."""
    coming: list[Day] = [case.today, *case.unfed.days[:WETTEST_OF_DAYS]]
    day = max(coming, key=lambda each: each.moisture.p50)
    total, water = day.total_kg.p50, day.total_kg.p50 * day.moisture.p50
    drained = min(day.standing_water_kg.p50, max(0.0, water - 0.5 * total))
    left = total - drained
    return (left, (water - drained) / left) if left > 0 else (0.0, 0.0)


def wanted_kg(case: Case, choice: Choice) -> float:
    """Dry bedding that answers all that is wrong at once: water and nitrogen; nothing where neither asks for any.

    It brings the wettest of the coming days well inside the keeper's band, and unfinished matter up to a C:N of 20 when
    that is low; the more of these counts, as one addition serves both.
    """
    total, moisture = wettest(case)
    target = case.settings.moisture_high - INSIDE
    today = case.today
    # Unfinished matter is close to 48 % carbon whatever it came from (food 45-50, board 44-48).
    carbon = 0.48 * today.dry_kg.p50 * (1.0 - today.castings_share.p50)
    rich = today.cn.p50 < LOW_CN.watch.leave
    nitrogen = carbon / max(today.cn.p50, LEAST_CN) if rich else 0.0
    return max(
        kg_to_dry(total, moisture, target, choice.material.moisture),
        kg_for_cn(carbon, nitrogen, CN_AIM, choice.material),
    )


def name_dry(material: Material) -> str:
    """ "dry shredded cardboard": the bedding's name as it is spoken of in advice."""
    name = spoken(material.name)
    what, comma, how = name.rpartition(", ")
    if comma and how in ("shredded", "dry"):
        name = f"{how} {what}"
    return name if name.startswith("dry") else f"dry {name}"


def spoken(name: str) -> str:
    """A material's name in the middle of a sentence: "shredded cardboard"; names like "PAS" are left as they are."""
    return name if name[1:2].isupper() else name[:1].lower() + name[1:]


def dry(case: Case, at_least_kg: float = 0.0, *, soaked: bool = True) -> Action:
    """The one step that adds dry bedding, with its amount, the stock it comes from, and in how many goes.

    Every rule of one case that asks for dry bedding asks for this same amount, so that nobody adds it twice; a reading
    taken by hand may ask for more (``at_least_kg``), and what is too wet in hand gets it dry (not ``soaked``).
    """
    options = choices(case)
    if not options:
        return Action(Doing.BEDDING, "add a cover of dry shredded cardboard, two fingers deep")
    choice = options[0]
    kg = max(wanted_kg(case, choice), at_least_kg)
    if kg < LEAST_DRY_KG:
        return Action(Doing.COVER, "cover the food two fingers deep with bedding from the bin")
    at_once = case.bin.footprint_m2 * BEDDING_AT_ONCE_M * choice.loose_kg_m3
    goes = max(1, ceil(kg / at_once - 0.1)) if at_once > 0 else 1
    units = case.settings.units
    water = kg_to_soak(case, choice, kg) if soaked else 0.0
    said = f"add {scooped(kg, units)} {name_dry(choice.material)}"
    if water >= LEAST_WATER_L:
        said += f", soaked in {poured(water, units)} of water"
    if goes > 1:
        said += f". Do it in {goes} goes, {scooped(kg / goes, units)} every third day"
    return Action(Doing.BEDDING, said + stock_remark(case, choice, kg), kg)


def kg_to_soak(case: Case, choice: Choice, kg: float) -> float:
    """Water to soak the bedding in, kg, where dry it would make the bin drier than its aim; 0 where it goes in dry."""
    total, moisture = wettest(case)
    own, low = choice.material.moisture, case.settings.moisture_low
    if total <= 0 or (total * moisture + kg * own) / (total + kg) >= low:
        return 0.0
    return kg_of_water(kg, own, low)


def stock_remark(case: Case, choice: Choice, kg: float) -> str:
    """What must be shredded or fetched first for ``kg`` of this bedding; empty when it lies ready."""
    units = case.settings.units
    if not choice.noted:
        return choice.find_first
    if choice.kg + ENOUGH_KG < kg:
        about = "about " if choice.used_kg > 0 else ""
        return f" (you have {about}{mass(choice.kg, units)}: find {mass(kg - choice.kg, units)} more)"
    if choice.shredded_kg + ENOUGH_KG < kg:
        return f" (shred {mass(kg - choice.shredded_kg, units)} of it first)"
    return ""
