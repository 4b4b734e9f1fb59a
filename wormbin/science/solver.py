"""The least bedding and water that bring a mix into its C:N and moisture bands together, and what gives way if none do.

Both bands are linear in the amounts: ``carbon - low * nitrogen >= 0``, ``water - high * wet <= 0`` and so on, so the
answer is a corner of a small polytope and is found exactly.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import inf, isinf

from wormbin.science.addition import Addition, BandLimits, GivesWay, Goal, Offer
from wormbin.science.blend import Blend, Ingredient, blend

GRAIN = 2**48
"""Parts of one that a coefficient is rounded to."""


def _whole(value: float) -> int:
    """``value`` in grains; the product is exact, as a grain is a power of two."""
    return round(value * GRAIN)


def least(
    rows: Sequence[Sequence[float]],
    bounds: Sequence[float],
    limits: Sequence[float | None],
    goals: Sequence[Sequence[int]],
) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Amounts ``x >= 0``, and by how much each row had to give, that give least.

    Row i asks ``sum(rows[i][j] * x[j]) - give[i] <= bounds[i]`` with ``give[i] >= 0``; ``limits[j]`` caps ``x[j]``
    (None: no cap). ``goals`` are groups of row numbers, the first the most important, every row in one of them: the sum
    of what the first group gives is made least, then that of the second among those answers, and last the sum of the
    amounts. There is always an answer. Returns (amounts, gives).
    """
    amounts, asked = len(limits), len(rows)
    capped = [j for j in range(amounts) if limits[j] is not None]
    # Columns: amounts, gives, slack of each row, slack of each cap, right-hand side.
    width = amounts + 2 * asked + len(capped) + 1
    table: list[list[int]] = []
    basis: list[int] = []
    for i in range(asked):
        line = [0] * width
        sign = 1 if _whole(bounds[i]) >= 0 else -1
        for j in range(amounts):
            line[j] = sign * _whole(rows[i][j])
        line[amounts + i] = -sign
        line[amounts + asked + i] = sign
        line[-1] = sign * _whole(bounds[i])
        table.append(line)
        basis.append(amounts + (asked if sign > 0 else 0) + i)
    for place, j in enumerate(capped):
        line = [0] * width
        line[j] = GRAIN
        line[amounts + 2 * asked + place] = 1
        line[-1] = _whole(limits[j] or 0.0)
        table.append(line)
        basis.append(amounts + 2 * asked + place)
    costs = [[0] * width for _ in range(len(goals) + 1)]
    for cost, goal in zip(costs, goals, strict=False):
        for i in goal:
            cost[amounts + i] = 1
    for j in range(amounts):
        costs[-1][j] = 1
    # Price out the gives that are in the starting basis.
    for line, column in zip(table, basis, strict=True):
        for cost in costs:
            if cost[column]:
                times = cost[column]
                for k in range(width):
                    cost[k] -= times * line[k]
    denominator = _run(table, costs, basis)
    values = [0.0] * (width - 1)
    for line, column in zip(table, basis, strict=True):
        values[column] = line[-1] / denominator
    gives = tuple(values[amounts + i] / GRAIN for i in range(asked))
    return tuple(values[:amounts]), gives


def _run(table: list[list[int]], costs: list[list[int]], basis: list[int]) -> int:
    """Pivot until no column lowers the costs, compared first goal first. Returns the common denominator."""
    denominator = 1
    width = len(table[0]) if table else 0
    while True:
        entering = -1
        for k in range(width - 1):
            first = next((cost[k] for cost in costs if cost[k]), 0)
            if first < 0:
                entering = k
                break
        if entering < 0:
            return denominator
        leaving = -1
        for i, line in enumerate(table):
            if line[entering] <= 0:
                continue
            if leaving < 0:
                leaving = i
                continue
            best = table[leaving]
            left, right = line[-1] * best[entering], best[-1] * line[entering]
            if left < right or (left == right and basis[i] < basis[leaving]):
                leaving = i
        # Costs and amounts are never below nought, so some row always stops the column.
        pivot = table[leaving]
        value = pivot[entering]
        for line in [*table, *costs]:
            if line is not pivot:
                factor = line[entering]
                for k in range(width):
                    line[k] = (line[k] * value - factor * pivot[k]) // denominator
        basis[leaving] = entering
        denominator = value


CN_BAND: BandLimits = (25.0, 30.0)
"""Carbon to nitrogen aimed at for what goes in together [common practice, no source]."""
MOISTURE_BAND: BandLimits = (0.75, 0.85)
"""Moisture aimed at, inside the 60-90 % that the animals bear (Edwards ed., Earthworm Ecology 2004, Table 18.3)."""
DUST = 1e-9
"""Amounts and misses under this share of the mix are rounding, not bedding."""


def least_addition(
    bucket: Iterable[Ingredient],
    offers: Sequence[Offer] = (),
    *,
    cn: BandLimits = CN_BAND,
    moisture: BandLimits = MOISTURE_BAND,
    unfinished: Iterable[Ingredient] = (),
    water_at_most_kg: float = inf,
    first: Goal = Goal.MOISTURE,
) -> Addition:
    """The least kg of the offered beddings and water that bring ``bucket`` (with ``unfinished``) into both bands.

    When both cannot be met, the aim in ``first`` is brought as near as can be (measured in kg of water, or of carbon),
    then the other, then the kg are made least: moisture goes before C:N, since worms die of water and merely wait for
    nitrogen. ``water_at_most_kg`` 0 when none is to be added. An edge of 0 or infinity leaves that side open. Raises
    ValueError when a band is upside down or outside what can be.
    """
    _check(cn, moisture)
    have = tuple(part for part in (*bucket, *unfinished) if part.kg > 0)
    before = blend(have)
    if before.wet_kg <= 0:
        return Addition((), 0.0, before, (), before, (), (), cn, moisture)
    adds = [*offers, Offer(Ingredient.water(0.0), None if isinf(water_at_most_kg) else water_at_most_kg)]
    caps = [
        None if offer.at_most_kg is None or isinf(offer.at_most_kg) else max(0.0, offer.at_most_kg) / before.wet_kg
        for offer in adds
    ]
    rows, bounds, goals = _rows(before, [offer.bedding for offer in adds], cn, moisture)
    order = (goals[Goal.MOISTURE], goals[Goal.CN]) if first is Goal.MOISTURE else (goals[Goal.CN], goals[Goal.MOISTURE])
    amounts, _gives = least(rows, bounds, caps, order)
    used: list[tuple[Ingredient, bool]] = []
    for offer, share, cap in zip(adds, amounts, caps, strict=True):
        if share > DUST:
            full = cap is not None and share >= cap * (1.0 - DUST)
            kg = offer.at_most_kg if full and offer.at_most_kg is not None else share * before.wet_kg
            used.append((offer.bedding.with_kg(kg), full))
    parts = tuple(part for part, _full in used)
    water = parts[-1].kg if amounts[-1] > DUST else 0.0
    beddings = parts[:-1] if amounts[-1] > DUST else parts
    reached = blend([*have, *parts])
    return Addition(
        added=tuple((part.name, part.kg) for part in beddings),
        water_kg=water,
        reached=reached,
        gives_way=_gives_way(reached, cn, moisture, first),
        before=before,
        added_parts=parts,
        at_limit=tuple(full for _part, full in used),
        cn=cn,
        moisture=moisture,
        parts=(*have, *parts),
    )


def _check(cn: BandLimits, moisture: BandLimits) -> None:
    """Refuse bands that mean nothing."""
    if not 0 <= cn[0] <= cn[1]:
        raise ValueError(f"the C:N band must run from low to high, not {cn[0]} to {cn[1]}")
    if not 0 <= moisture[0] <= moisture[1] <= 1:
        raise ValueError(
            f"the moisture band must run from low to high within 0 to 1, not {moisture[0]} to {moisture[1]}"
        )


def _rows(
    before: Blend, adds: Sequence[Ingredient], cn: BandLimits, moisture: BandLimits
) -> tuple[list[list[float]], list[float], dict[Goal, list[int]]]:
    """The four sides of the two bands as ``row . amounts <= bound``, per kg of the mix; open sides left out."""
    wet = before.wet_kg
    water, carbon, nitrogen = before.water_kg / wet, before.carbon_kg / wet, before.nitrogen_kg / wet
    rows: list[list[float]] = []
    bounds: list[float] = []
    goals: dict[Goal, list[int]] = {Goal.MOISTURE: [], Goal.CN: []}

    def ask(goal: Goal, row: list[float], bound: float) -> None:
        goals[goal].append(len(rows))
        rows.append(row)
        bounds.append(bound)

    ask(Goal.MOISTURE, [moisture[0] - add.moisture for add in adds], water - moisture[0])
    ask(Goal.MOISTURE, [add.moisture - moisture[1] for add in adds], moisture[1] - water)
    for edge, sign in ((cn[0], 1.0), (cn[1], -1.0)):
        if 0 < edge < inf:
            scale = sign / max(1.0, edge)
            row = [(1.0 - add.moisture) * (edge * add.nitrogen - add.carbon) * scale for add in adds]
            ask(Goal.CN, row, (carbon - edge * nitrogen) * scale)
    return rows, bounds, goals


def _gives_way(reached: Blend, cn: BandLimits, moisture: BandLimits, first: Goal) -> tuple[GivesWay, ...]:
    """The aims that the blend misses, with how much is missing; the one that was to go first stands last."""
    dust = DUST * reached.wet_kg
    missed = []
    low, high = cn
    if reached.carbon_kg < low * reached.nitrogen_kg - dust * max(1.0, low):
        short = low * reached.nitrogen_kg - reached.carbon_kg
        missed.append(GivesWay(Goal.CN, cn, reached.cn, short))
    elif high < inf and reached.carbon_kg > high * reached.nitrogen_kg + dust * max(1.0, high):
        short = reached.carbon_kg / high - reached.nitrogen_kg if high > 0 else inf
        missed.append(GivesWay(Goal.CN, cn, reached.cn, short))
    low, high = moisture
    if reached.water_kg < low * reached.wet_kg - dust:
        short = (low * reached.wet_kg - reached.water_kg) / (1.0 - low) if low < 1 else inf
        missed.append(GivesWay(Goal.MOISTURE, moisture, reached.moisture, short))
    elif reached.water_kg > high * reached.wet_kg + dust:
        short = (reached.water_kg - high * reached.wet_kg) / (1.0 - high)
        missed.append(GivesWay(Goal.MOISTURE, moisture, reached.moisture, short))
    return tuple(sorted(missed, key=lambda miss: miss.goal is first))
