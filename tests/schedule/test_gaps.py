from __future__ import annotations

from datetime import timedelta

from tests.schedule.lines import BIN, MONDAY, fed, stocked
from wormbin.records.farms import Settings
from wormbin.records.silences import Silence
from wormbin.schedule.gaps import likely_feedings

LOG = (stocked(MONDAY), fed(0.5, MONDAY), fed(0.6, MONDAY + timedelta(days=3)), fed(0.7, MONDAY + timedelta(days=7)))


def test_likely_feedings_are_the_usual_meal_on_the_feeding_days_of_the_gap() -> None:
    gap = Silence(tuple(MONDAY + timedelta(days=n) for n in range(8, 29)))
    likely = likely_feedings(BIN.key, LOG, Settings(), gap)
    assert [each.kg for each in likely] == [0.6] * 6
    assert {each.on.weekday() for each in likely} == {0, 3}
    assert {each.material for each in likely} == {"scraps"}
    assert likely_feedings(BIN.key, (), Settings(), gap) == ()
