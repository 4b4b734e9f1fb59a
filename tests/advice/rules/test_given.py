"""What the form held back and was saved all the same is still said by the bin."""

from __future__ import annotations

from dataclasses import replace

from tests.advice.cases import TODAY, a_case, a_day, ahead_of, band, fed
from wormbin.advice.case import Case
from wormbin.advice.rules.given import over_fed
from wormbin.figures import Level


def after(kg: float) -> Case:
    """A calm bin that was given ``kg`` today on top of the 200 g that wait."""
    case = a_case(feed_waiting_kg=band(0.2 + kg), feed_waiting_days=band((0.2 + kg) / 0.25))
    return replace(
        case, entries=(*case.entries, fed(kg, TODAY)), unfed=ahead_of(a_day(feed_waiting_kg=band(0.2 + kg)), eaten=True)
    )


def test_a_feeding_within_what_the_bin_can_take_is_no_finding() -> None:
    assert over_fed(after(0.3)) is None
    assert over_fed(a_case()) is None


def test_a_feeding_far_over_it_is_a_watch_and_twice_over_to_act_on_with_how_much_and_until_when() -> None:
    found = [over_fed(after(kg)) for kg in (3.5, 8.0)]
    levels = [each.level for each in found if each is not None]
    assert levels == [Level.WATCH, Level.ACT]
    worst = found[-1]
    assert worst is not None
    assert "over today's ration" in worst.what
    # Far over what the bin can take no share is told to the percent.
    huge = over_fed(after(40.0))
    assert huge is not None
    assert "over 3 times what it can take" in huge.why
    assert any("no feed" in action.text for action in worst.actions)
    assert any(action.until is not None and action.until > TODAY for action in worst.actions)
