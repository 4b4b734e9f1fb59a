"""The forms that a key may ask for are loaded while no key is pressed, so that the first of them opens at once."""

from __future__ import annotations

from importlib import import_module
from threading import Thread

LIKELY = (
    "screens.bin", "widgets.cut", "widgets.gauges", "widgets.chart_wall", "screens.check", "screens.feed",
    "widgets.glance", "screens.write", "screens.reading", "widgets.ahead_place", "widgets.log_place", "screens.help",
)  # fmt: skip
"""The places that are gone to first, the most likely before the others."""


def read_ahead() -> None:
    """Begin with it, beside whatever else is done."""
    Thread(target=_load, name="reading ahead", daemon=True).start()


def _load() -> None:
    for name in LIKELY:
        import_module(f"wormbin.tui.{name}")
