"""A small exact simplex: least cost, first goal before second before third, over a handful of linear rows.

Whole-number pivots (fraction-free elimination), so there is no tolerance inside and degenerate corners cannot make it
stall or cycle: Bland's rule ends on an ordered field. Numbers are taken to ``2**-48`` first, which is far below any
scale but turns the rounding noise of a sum such as ``0.1 * 8 - 0.8`` back into the nought that was meant.
"""

from __future__ import annotations

from collections.abc import Sequence

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
