"""How long castings are kept damp after the harvest, before they are sieved and used: one figure for whoever asks."""

from __future__ import annotations

CURE_DAYS = 28
"""Days at 20 C and over."""
CURE_COOL_DAYS = 42
"""Days where it stands cooler: cocoons take longer to hatch."""
COOL_C = 20.0
SOURCE = (
    "4-6 weeks damp, the longer under 20 C: common practice, no source; cocoons hatch in 18-26 days at 25 C (memory)"
)


def cure_days(site_temp_c: float, own_days: int | None = None) -> int:
    """Days from the harvest to the bag: as the keeper's own lots took (``own_days``), else by the book.

    ``site_temp_c`` is the warmth of the place, degC.
    """
    if own_days is not None:
        return own_days
    return CURE_DAYS if site_temp_c >= COOL_C else CURE_COOL_DAYS
