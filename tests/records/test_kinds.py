"""The table of kinds describes every record as a whole, and nothing that no record holds."""

from __future__ import annotations

import string
from typing import Any

import pytest

from wormbin.records.kinds.castings import LOT_KINDS, LotKind
from wormbin.records.kinds.fields import Description, Of
from wormbin.records.kinds.log import BY_NAME, LOG_KINDS, Kind

KINDS: list[Description[Any]] = [*LOG_KINDS.values(), *LOT_KINDS.values()]
BESIDE = {"said", "worms_count", "into", "material"}
"""What belongs to an amount or a portion, or is told by the id of a line."""
NOT_KEPT = {Of.AREA, Of.NOTE, Of.OVEN}


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.kind)
def test_a_description_is_of_all_that_its_record_holds(kind: Description[Any]) -> None:
    kept = {each.at for each in kind.fields if each.of not in NOT_KEPT}
    assert kept == kind.attributes - BESIDE
    assert len({each.name for each in kind.fields}) == len(kind.fields)
    told = {name for _, name, _, _ in string.Formatter().parse(kind.told) if name}
    assert told <= {each.name for each in kind.fields}


def test_every_kind_is_described_once() -> None:
    assert {each.kind for each in LOG_KINDS.values()} == set(Kind)
    assert {each.kind for each in LOT_KINDS.values()} == set(LotKind)
    assert BY_NAME["feed"] is Kind.FEEDING
    assert BY_NAME["feeding"] is Kind.FEEDING
