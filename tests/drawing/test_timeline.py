"""A timeline has its width, puts days in order, and says when an end is out of sight."""

from __future__ import annotations

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from tests.drawing.shapes import DAY, check, days, words
from wormbin.drawing.timeline import Stretch, timeline
from wormbin.figures import Basis

stretches = st.lists(
    st.builds(
        Stretch,
        name=words,
        earliest=st.none() | days,
        likely=st.none() | days,
        latest=st.none() | days,
        basis=st.sampled_from(Basis),
    ),
    max_size=5,
)


@given(stretches, st.integers(0, 120), st.none() | days, st.none() | days, st.none() | days, st.booleans())
def test_any_timeline_is_drawn(
    many: list[Stretch], width: int, first: date | None, last: date | None, today: date | None, ascii: bool
) -> None:
    picture = timeline(many, width, first=first, last=last, today=today, ascii=ascii)
    check(picture, width, len(many) + 1, ascii=ascii)
    check(timeline(many, width, axis=False, ascii=ascii), width, len(many), ascii=ascii)


def test_a_window_runs_from_earliest_to_latest_with_the_likely_day_marked() -> None:
    window = Stretch("harvest", DAY + timedelta(days=20), DAY + timedelta(days=30), DAY + timedelta(days=50))
    line = timeline((window,), 90, today=DAY, last=DAY + timedelta(days=60)).lines[0]
    assert line.index("┊") < line.index("▒") < line.index("◇") < line.rindex("▒")
    assert "3 Apr – 3 May" in line


def test_a_step_done_differs_from_one_to_do() -> None:
    done = timeline((Stretch.day("sift", DAY, done=True),), 60, today=DAY + timedelta(days=9)).text
    planned = timeline((Stretch.day("sift", DAY),), 60, today=DAY - timedelta(days=9)).text
    assert "●" in done
    assert "◇" in planned


def test_an_end_out_of_sight_is_said_and_drawn_as_an_arrow() -> None:
    text = timeline(
        (Stretch("harvest", DAY, DAY + timedelta(days=9), None), Stretch("later", None)), 70, today=DAY
    ).text
    assert "►" in text
    assert "from 14 Mar" in text
    assert "not in sight" in text
