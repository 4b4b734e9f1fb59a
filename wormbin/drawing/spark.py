"""A course in one line of small bars, to stand beside a bin's name."""

from __future__ import annotations

import math
from collections.abc import Sequence

BARS = "▁▂▃▄▅▆▇█"
BARS_ASCII = "_.-=*#"


def spark(
    values: Sequence[float | None],
    width: int,
    *,
    low: float | None = None,
    high: float | None = None,
    ascii: bool = False,
) -> str:
    """``values`` in order as bars in exactly ``width`` cells, the last at the right.

    More values than cells are drawn as the mean of each cell's share; fewer stand at the right. A value that is missing
    or not a number leaves a blank. ``low`` and ``high`` are the ends of the scale; without them, those of the values.
    """
    if width < 1:
        return ""
    bars = BARS_ASCII if ascii else BARS
    cells = [_mean(part) for part in _shares(values, width)]
    known = [value for value in cells if value is not None]
    floor = low if low is not None and math.isfinite(low) else min(known, default=0.0)
    roof = high if high is not None and math.isfinite(high) else max(known, default=1.0)
    line = ""
    for value in cells:
        if value is None:
            line += " "
        elif roof / 2 - floor / 2 <= 0.0:
            line += bars[len(bars) // 2 - 1]
        else:
            # The halves keep the difference of very large numbers finite.
            share = (value / 2 - floor / 2) / (roof / 2 - floor / 2)
            line += bars[min(max(int(share * len(bars)), 0), len(bars) - 1)]
    return line.rjust(width)


def _shares(values: Sequence[float | None], width: int) -> list[Sequence[float | None]]:
    count = len(values)
    if count <= width:
        return [values[i : i + 1] for i in range(count)]
    return [values[i * count // width : (i + 1) * count // width] for i in range(width)]


def _mean(values: Sequence[float | None]) -> float | None:
    known = [value for value in values if value is not None and math.isfinite(value)]
    return sum(value / len(known) for value in known) if known else None
