from __future__ import annotations

import pytest

from wormbin.advice.bedding import spoken
from wormbin.advice.wording import layer, times, warmer


@pytest.mark.parametrize(
    ("metres", "units", "words"),
    [
        (0.0048, "metric", "under 1 cm"), (0.012, "metric", "1 cm"), (0.0234, "metric", "2.5 cm"),
        (0.041, "metric", "4 cm"), (0.004, "us", "under half an inch"), (0.031, "us", "1 in"),
    ],
)  # fmt: skip
def test_a_layer_is_told_as_a_hand_can_tell_it(metres: float, units: str, words: str) -> None:
    assert layer(metres, units) == words


@pytest.mark.parametrize(
    ("rise", "words"),
    [
        (-0.4, "no warmer than the room"), (0.0, "no warmer than the room"), (0.49, "no warmer than the room"),
        (4.0, "4 °C over the room"), (-1.2, "1 °C under the room, as it dries"),
    ],
)  # fmt: skip
def test_warmth_is_told_against_the_room_and_never_as_minus_nought(rise: float, words: str) -> None:
    assert warmer(rise, "metric") == words


def test_far_too_much_is_told_in_times_and_not_to_the_percent() -> None:
    assert [times(share) for share in (3.2, 8.4, 122.92)] == ["over 3 times", "over 8 times", "over 10 times"]


def test_a_name_is_spoken_small_in_the_middle_of_a_sentence_but_for_short_names() -> None:
    assert spoken("Shredded cardboard") == "shredded cardboard"
    assert spoken("PAS 100 compost") == "PAS 100 compost"
