"""The index of what really happened in each sample bin, worked out from the truth, for tests that judge warnings."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import cache

from tests.worlds.truth import Stretch, Trouble, Truth
from tests.worlds.write import LOGS, bins_of


@dataclass(frozen=True, slots=True)
class Happened:
    """What happened in one sample bin. ``overfed_on`` are the days on which each pile-up began.

    Wet means too wet or standing in water; calm stretches last a week or more and have nothing wrong by a good margin.
    """

    log: str
    bin: str
    first: date
    last: date
    overfed: tuple[Stretch, ...]
    wet: tuple[Stretch, ...]
    air_short: tuple[Stretch, ...]
    dry: tuple[Stretch, ...]
    hot: tuple[Stretch, ...]
    cold: tuple[Stretch, ...]
    due: tuple[Stretch, ...]
    calm: tuple[Stretch, ...]
    harvested: tuple[date, ...]
    truth: Truth

    @property
    def overfed_on(self) -> tuple[date, ...]:
        """The day on which each pile-up began."""
        return tuple(each.first for each in self.overfed)

    @property
    def due_on(self) -> tuple[date, ...]:
        """The day on which castings reached their share, each time."""
        return tuple(each.first for each in self.due)

    @property
    def months(self) -> float:
        """Length of the log, in months of 30.44 days."""
        return ((self.last - self.first).days + 1) / 30.44


@cache
def happened(log: str) -> tuple[Happened, ...]:
    """What happened in each bin of one sample log."""
    found = []
    for made in bins_of(log):
        truth = made.truth
        found.append(
            Happened(
                log=log,
                bin=truth.bin,
                first=truth.days[0].on,
                last=truth.days[-1].on,
                overfed=truth.troubles(Trouble.OVERFED),
                wet=truth.troubles(Trouble.WET),
                air_short=truth.troubles(Trouble.AIR_SHORT),
                dry=truth.troubles(Trouble.DRY),
                hot=truth.troubles(Trouble.HOT),
                cold=truth.troubles(Trouble.COLD),
                due=truth.troubles(Trouble.DUE),
                calm=truth.calm,
                harvested=truth.harvested,
                truth=truth,
            )
        )
    return tuple(found)


def all_happened() -> tuple[Happened, ...]:
    """What happened in every sample bin."""
    return tuple(each for log in LOGS for each in happened(log))


def table() -> str:
    """The index as lines of text, one stretch a line."""
    lines = []
    for each in all_happened():
        for name in ("overfed", "wet", "air_short", "dry", "hot", "cold", "due", "calm"):
            stretches: tuple[Stretch, ...] = getattr(each, name)
            lines += [f"{each.log:10} {each.bin:8} {name:9} {run.first} {run.last} {run.days:4}" for run in stretches]
        lines += [f"{each.log:10} {each.bin:8} harvested {day}" for day in each.harvested]
    return "\n".join(lines)


if __name__ == "__main__":
    print(table())
