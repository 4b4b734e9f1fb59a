"""Castings after the harvest: lots, stock, sales, uses, where a bag came from."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from wormbin.farm.lots.book import Lots
    from wormbin.farm.session import Session


def castings(session: Session) -> Lots:
    """The castings book of a farm."""
    from wormbin.farm.lots.book import Lots

    return Lots(session)
