from __future__ import annotations

import sys

from wormbin.tui.catalogue import LIKELY, load_likely


def test_every_place_that_is_read_ahead_is_there() -> None:
    load_likely()
    assert all(f"wormbin.tui.{name}" in sys.modules for name in LIKELY)


def test_the_forms_of_the_daily_minute_are_among_them() -> None:
    assert {"screens.check", "screens.feed"} <= set(LIKELY)
