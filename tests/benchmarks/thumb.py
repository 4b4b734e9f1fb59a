"""The keepers' rule of thumb, played on the same log: harvest after four months."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from wormbin.records.entries import Entry, Harvest

HARVEST_AFTER_DAYS = 122
"""Four months (extension leaflets say three to six)."""


def harvest_on(started: date, entries: Sequence[Entry], on: date) -> date:
    """Four months after the bin was started or last harvested, and never before tomorrow."""
    last = max((e.when.date() for e in entries if isinstance(e.what, Harvest) and e.when.date() <= on), default=started)
    return max(last + timedelta(days=HARVEST_AFTER_DAYS), on + timedelta(days=1))
