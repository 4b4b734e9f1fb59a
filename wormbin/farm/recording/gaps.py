"""Forgotten days, offered to be filled in as far as they are known; nothing is ever filled in by itself."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from wormbin.farm.feedings import typed
from wormbin.materials.table import MaterialTable
from wormbin.measures import counted
from wormbin.problems import RefusedError
from wormbin.records.entries import Entry
from wormbin.records.farms import Settings
from wormbin.records.habits import silences
from wormbin.schedule.plan import likely_feedings

MOST_DAYS = 120
MOST_GAPS = 12


@dataclass(frozen=True, slots=True)
class GapView:
    """Days without a line, the feeding days among them, and the usual bucket as it would be typed."""

    first: date
    last: date
    days: tuple[date, ...]
    likely: tuple[date, ...]
    bucket: str
    words: str


def forgotten(
    bin_key: str, entries: Sequence[Entry], settings: Settings, on: date, table: MaterialTable
) -> tuple[GapView, ...]:
    """The newest ``MOST_GAPS`` gaps in a bin's log, newest first; of a very long one the last ``MOST_DAYS`` days."""
    found = []
    unmarked = [each for each in silences(bin_key, entries, settings.away, on) if not each.marked]
    for gap in reversed(unmarked[-MOST_GAPS:]):
        likely = likely_feedings(bin_key, entries, settings, gap)
        count = (gap.last - gap.first).days + 1
        days = tuple(gap.first + timedelta(days=n) for n in range(max(0, count - MOST_DAYS), count))
        bucket = f"{typed(likely[0].kg)} {_name(likely[0].material, table)}" if likely else ""
        words = f"{counted(count, 'day')} without a line, {gap.first.isoformat()} to {gap.last.isoformat()}."
        found.append(GapView(gap.first, gap.last, days, tuple(each.on for each in likely), bucket, words))
    return tuple(found)


def _name(key: str, table: MaterialTable) -> str:
    """A material's everyday name where that reads back as the same material, else its key."""
    for words in (table.get(key).name.lower() if key in table else "", key.replace("-", " ")):
        try:
            if words and not set(words) & set(",;") and table.find(words).key == key:
                return words
        except RefusedError:
            continue
    return key


def not_known_words(gap: GapView) -> str:
    """The note for days of which nobody knows anything."""
    return f"nothing is known of {gap.first.isoformat()} to {gap.last.isoformat()}"
