"""A new bin's ration: a quarter for two weeks, a half for two more (common practice, no source)."""

from __future__ import annotations

RAMP: tuple[tuple[int, float], ...] = ((14, 0.25), (28, 0.5))
"""Up to this many days after stocking, this share of the usual ration."""


def ramp_share(days_stocked: int | None) -> float:
    """Share of the usual ration so many days after worms went in: 0 before (or None), 1 once settled."""
    if days_stocked is None or days_stocked < 0:
        return 0.0
    return next((share for until, share in RAMP if days_stocked < until), 1.0)


def ramp_ends_in(days_stocked: int | None) -> int | None:
    """Days until the present share ends; None when settled or not stocked."""
    if days_stocked is None or days_stocked < 0:
        return None
    return next((until - days_stocked for until, _share in RAMP if days_stocked < until), None)
