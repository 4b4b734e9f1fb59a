"""The rota as it is shown: one line a day."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class RotaDay:
    """One day: who does what, or why nobody is there; who is away."""

    on: date
    duties: Mapping[str, tuple[str, ...]]
    off: str = ""
    half: bool = False
    away: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        """ "feed Ana & Ben, check Cleo"."""
        return ", ".join(f"{job} {' & '.join(names)}" for job, names in self.duties.items())


@dataclass(frozen=True, slots=True)
class RotaView:
    """A month of turns from ``today`` on; ``since`` and ``until`` are the ends of the term, None without a rota.

    Days before today are left out: the list was made at one time and grew, so who did what is only in the log.
    """

    first: date
    last: date
    today: date
    jobs: tuple[str, ...]
    days: tuple[RotaDay, ...]
    since: date | None
    until: date | None
    bins: tuple[str, ...] = ()

    @property
    def document(self) -> dict[str, object]:
        """What goes out as JSON."""
        days = [
            {"date": day.on, "off": day.off, "half": day.half, "away": day.away, "turns": dict(day.duties)}
            for day in self.days
        ]
        return {"first": self.first, "last": self.last, "jobs": self.jobs, "days": days}
