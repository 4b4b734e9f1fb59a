"""Every situation is told as an expert tells it; the same as ``python -m tests.situations`` prints."""

from __future__ import annotations

import pytest

from tests.situations.judging import judge
from tests.situations.playing import Stage
from tests.situations.situation import Situation, every

PLAYED = [
    pytest.param(each, id=f"{each.group}: {each.name}", marks=pytest.mark.more if number % 4 else ())
    for number, each in enumerate(every())
]
"""A quarter of them in every run: all of them with ``--more``, or with ``python -m tests.situations``."""


@pytest.mark.parametrize("situation", PLAYED)
def test_a_bin_is_told_of_as_an_expert_tells_it(situation: Situation, stage: Stage) -> None:
    verdict = judge(situation, stage, str(every().index(situation)))
    assert not verdict.faults, "\n".join((situation.why, situation.source, *verdict.faults))


def test_there_are_enough_of_them_each_with_its_source_and_a_name_of_its_own() -> None:
    found = every()
    assert len(found) >= 50
    assert len({each.name for each in found}) == len(found)
    assert all(each.source and each.asks for each in found)
