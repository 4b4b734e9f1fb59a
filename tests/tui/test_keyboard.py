from __future__ import annotations

import gc
from collections.abc import Iterator

import pytest

from wormbin.tui.keyboard import OLDEST, QUIET_LOOKS, Tidying


@pytest.fixture(autouse=True)
def as_it_was() -> Iterator[None]:
    thresholds, frozen = gc.get_threshold(), gc.get_freeze_count()
    yield
    gc.set_threshold(*thresholds)
    if not frozen:
        gc.unfreeze()


def test_memory_is_looked_through_once_after_a_long_quiet() -> None:
    keys = [0]
    tidying = Tidying(lambda: keys[0], lambda: False)
    looked = [tidying.look() for _ in range(3 * QUIET_LOOKS)]
    assert looked.count(True) == 1
    assert looked[QUIET_LOOKS]


def test_a_key_starts_the_waiting_anew() -> None:
    keys = [0]
    tidying = Tidying(lambda: keys[0], lambda: False)
    for _ in range(3 * QUIET_LOOKS):
        keys[0] += 1
        assert not tidying.look()


@pytest.mark.parametrize("alone", [True, False])
def test_what_stays_is_kept_out_only_where_nothing_is_open_that_will_go(alone: bool) -> None:
    before = gc.get_freeze_count()
    tidying = Tidying(lambda: 0, lambda: alone)
    for _ in range(QUIET_LOOKS + 1):
        tidying.look()
    assert (gc.get_freeze_count() > before) is alone


def test_python_itself_hardly_ever_looks_through_everything() -> None:
    Tidying(lambda: 0, lambda: True)
    assert gc.get_threshold()[2] == OLDEST
