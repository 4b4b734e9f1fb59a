from __future__ import annotations

from datetime import date

import pytest

from tests.advice.cases import TODAY, a_case, fed, stocked
from wormbin.advice.bedding import spoken
from wormbin.advice.evidence import waiting_words, worms_words
from wormbin.advice.wording import layer, mass, mass_band, times, warmer, window_words
from wormbin.figures import Band
from wormbin.process.views import Window
from wormbin.records.farms import Settings


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
        (4.0, "4 °C warmer than the room"), (-1.2, "1 °C cooler than the room, as it dries"),
    ],
)  # fmt: skip
def test_warmth_is_told_against_the_room_and_never_as_minus_nought(rise: float, words: str) -> None:
    assert warmer(rise, "metric") == words


def test_far_too_much_is_told_in_times_and_not_to_the_percent() -> None:
    assert [times(share) for share in (3.2, 8.4, 122.92)] == ["over 3 times", "over 8 times", "over 10 times"]


def test_a_name_is_spoken_small_in_the_middle_of_a_sentence_but_for_short_names() -> None:
    assert spoken("Shredded cardboard") == "shredded cardboard"
    assert spoken("PAS 100 compost") == "PAS 100 compost"


@pytest.mark.parametrize(
    ("band", "words"),
    [
        (Band(1.1, 1.5, 1.9), "1.1 kg to 1.9 kg"), (Band(1.0, 1.001, 1.002), "1 kg"),
        (Band(0.099, 1.0, 9.0), "anything from 99 g to 9 kg"), (Band(0.0, 1.0, 9.0), "anything up to 9 kg"),
    ],
)  # fmt: skip
def test_a_band_that_says_next_to_nothing_is_told_as_such(band: Band, words: str) -> None:
    assert mass_band(band, Settings()) == words


def test_no_band_is_wider_than_there_can_be() -> None:
    assert mass_band(Band(1.0, 2.0, 99.0), Settings(), 4.0) == "1 kg to 4 kg"
    huge = a_case(entries=(stocked(), fed(1.6, TODAY)), feed_waiting_kg=Band(0.9, 1.4, 99.0), worms_kg=Band(3, 5, 99))
    assert waiting_words(huge) == "900 g to 1.6 kg of food uneaten"
    assert worms_words(huge) == f"3 kg to {mass(huge.today.total_kg.p90)} of worms"


SINCE = date(2026, 5, 20)
SPRING, SUMMER = date(2026, 6, 10), date(2026, 8, 1)


@pytest.mark.parametrize(
    ("window", "said"),
    [
        (Window(SPRING, date(2026, 6, 20), SUMMER), "about 20 June (10 June to 1 August)"),
        (Window(date(2026, 4, 2), SPRING, SUMMER), "about 10 June (now to 1 August)"),
        (Window(date(2026, 4, 2), SPRING, None), "about 10 June, but hard to say"),
        (Window(SPRING, SUMMER, None), "about 1 August (10 June or later, maybe after 17 September)"),
        (Window(None, None, None), "not in the next 120 days"),
        (Window(SPRING, None, None), "likely after 17 September, maybe from 10 June"),
        (Window(date(2026, 9, 10), None, None), "not before 10 September"),
        (Window(date(2026, 4, 2), None, None), "hard to say: maybe now, more likely after 17 September"),
        (Window(SPRING, SUMMER, None, due_since=date(2026, 5, 3)), "due since 3 May"),
    ],
)
def test_a_harvest_window_never_begins_in_the_past_nor_ends_at_a_day_that_nobody_worked_out(
    window: Window, said: str
) -> None:
    assert window_words(window, SINCE, 120) == said
