"""A bin's report between two days."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from wormbin.farm.session import Session
    from wormbin.farm.views.report import ReportView


def report(session: Session, bin: str, first: str = "", last: str = "", on: date | None = None) -> ReportView:
    """A bin's report between two days in words; "" for the last 120 days up to the day asked about."""
    from wormbin.farm.reports import contents

    return contents.report(session, bin, first, last, on)
