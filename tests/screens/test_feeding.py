"""The feeding form: what its keys do when there is nothing to cut down, or nothing may be fed."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from tests.farm.a_farm import kitchen
from tests.screens.conftest import Take
from tests.screens.driving import added, at, comes, log_of, opened, text_of, types, until
from tests.screens.fake_farm import EIGHT, FakeFarm
from wormbin.farm import bins, feedings, logbook, recording, rounds
from wormbin.farm.feedings import AdvisedBucket, FeedingPreview
from wormbin.farm.lots import Lots
from wormbin.farm.recording.lines import record_feeding
from wormbin.farm.session import Session
from wormbin.records.entries import Feeding
from wormbin.tui.screens.answers import OnceForm
from wormbin.tui.screens.asking import AwayForm
from wormbin.tui.screens.bin import BinScreen
from wormbin.tui.screens.feed import FeedForm
from wormbin.tui.screens.reading import ReadingScreen
from wormbin.tui.widgets.fields import WordField


class _FullBin(FakeFarm):
    """A farm whose bin takes nothing today."""

    def advised_bucket(self, preview: FeedingPreview) -> AdvisedBucket:
        return AdvisedBucket((), "319 g shredded-cardboard", "", "nothing today: do not feed and freeze it")


async def test_what_is_advised_leaves_the_bucket_alone_when_nothing_may_be_fed() -> None:
    async with opened(_FullBin()) as pilot:
        await pilot.press("f")
        form = await at(pilot, FeedForm)
        await types(pilot, "300 g melon rind")
        await pilot.press("enter")
        await pilot.press("ctrl+t")
        await comes(pilot, "What you filled in stays as it is.")
        assert form.fields() == {"bucket": "300 g melon rind"}
        await pilot.press("ctrl+t", "ctrl+r")
        assert form.fields() == {"portion": "300 g melon rind"}


@pytest.mark.parametrize("some", [True, False])
async def test_what_is_advised_for_an_empty_bucket_says_how_much_may_be_fed(some: bool) -> None:
    farm = FakeFarm(EIGHT)
    farm.made = [next(row for row in farm.made if (row.feed_up_to_kg > 0) is some)]
    async with opened(farm) as pilot:
        await pilot.press("f")
        form = await at(pilot, FeedForm)
        await pilot.press("ctrl+t")
        up_to = f"Up to {farm.made[0].feed_up_to_words} today." if some else "Feed nothing today."
        await comes(pilot, f"Nothing is in the bucket that could be cut down. {up_to}")
        assert form.fields() == {}


async def test_the_number_of_a_row_stands_apart_from_the_amount() -> None:
    async with opened(FakeFarm()) as pilot:
        await pilot.press("f")
        await at(pilot, FeedForm)
        await types(pilot, "300 g melon rind")
        await pilot.press("enter")
        await comes(pilot, "1) ")
        assert any(" 1)  " in line for line in text_of(pilot).splitlines())


async def test_the_form_tells_of_the_day_that_the_program_was_opened_for(take: Take) -> None:
    farm = take("apartment")
    today = farm.moment(None).date()

    def may_have(day: date) -> str:
        view = bins.look(farm, "kitchen", day)
        return f"Up to {view.feed_up_to_words} today" if view.feed_up_to_kg > 0 else "nothing"

    day = next(each for each in (today - timedelta(days=back) for back in range(2, 30)) if may_have(each) != "nothing")
    assert may_have(day) != may_have(today)
    async with opened(farm, on=day) as pilot:
        await at(pilot, BinScreen)
        await pilot.press("f")
        await at(pilot, FeedForm)
        await comes(pilot, may_have(day))


@pytest.mark.more
async def test_every_page_is_asked_as_of_the_day_that_the_program_was_opened_for(take: Take) -> None:
    """The farm itself knows the day, so that no page can forget to name it."""
    farm = take("apartment")
    today = farm.moment(None).date()
    day = today - timedelta(days=20)
    sheet, gaps = rounds.sheet(farm, "kitchen", day), logbook.lines(farm, "kitchen", until=day)
    assert sheet != rounds.sheet(farm, "kitchen")
    then = Session(farm.folder, clock=farm.clock, on=day)
    assert rounds.sheet(then, "kitchen") == sheet
    assert len(logbook.lines(then, "kitchen")) == len(gaps) < len(logbook.lines(farm, "kitchen"))
    assert rounds.harvests(then) == rounds.harvests(farm, day)
    assert rounds.view(then) == rounds.view(farm, day)
    assert bins.absence(then, "kitchen", "tomorrow", "10 days") == bins.absence(
        farm, "kitchen", "tomorrow", "10 days", day
    )
    assert rounds.calendar(then) == rounds.calendar(farm, day)
    assert bins.emergency(then, "kitchen") != ()
    assert all(gap.last < day for gap in recording.forgotten(then, "kitchen"))
    assert not feedings.preview(then, "kitchen", ["2 kg kale"]).done
    assert Lots(then).plan("40 kg", "2026-12-24") == Lots(farm).plan("40 kg", "2026-12-24", day)
    async with opened(farm, (120, 40), on=day) as pilot:
        await at(pilot, BinScreen)
        await pilot.press("p")
        await at(pilot, ReadingScreen)
        await comes(pilot, f"{day.isoformat()} to ")
        await pilot.press("escape")
        await at(pilot, BinScreen)
        await pilot.press("y")
        form = await at(pilot, AwayForm)
        form.query_one("#first", WordField).value = "tomorrow"
        form.query_one("#last", WordField).value = "10 days"
        await pilot.press("enter", "enter")
        await until(pilot, lambda: bool(form.plans), "the plan")
        assert form.plans[0].first == day + timedelta(days=1)


async def test_the_usual_bucket_is_asked_for_once_where_there_is_none(empty: Session) -> None:
    kitchen(empty.folder, days=5, now=empty.clock())
    farm = Session(empty.folder, clock=empty.clock)
    async with opened(farm) as pilot:
        await pilot.press("f")
        form = await at(pilot, FeedForm)
        await pilot.press("ctrl+b")
        await at(pilot, OnceForm)
        await types(pilot, "300 g kale, 2 tea bags")
        await pilot.press("enter")
        await at(pilot, FeedForm)
        await pilot.press("ctrl+b")
        await until(pilot, lambda: len(form.bucket) == 2, "the bucket")
        await comes(pilot, "2 pieces tea leaves")


@pytest.mark.more
async def test_what_is_typed_in_a_feeding_put_right_takes_the_place_of_what_was(take: Take) -> None:
    """Too much is asked about as in a new one; a correction that is left half filled is never a new feeding."""
    farm = take("apartment")
    wrong = record_feeding(farm, "kitchen", ["3 kg apple cores"], anyway=True).ids[0]
    before = log_of(farm, "kitchen")
    async with opened(farm) as pilot:
        await pilot.press("l")
        await comes(pilot, "fed 3 kg apple cores")
        await pilot.press("r")
        form = await at(pilot, FeedForm)
        assert form.fields()["portion"].startswith("3 kg apple")
        assert form.bucket == []
        await types(pilot, "9 kg apple cores")
        await pilot.press("enter", "enter")
        await comes(pilot, "Press Enter again to write it down")
        assert log_of(farm, "kitchen") == before
        await pilot.press("ctrl+r")
        await types(pilot, "300 g apple cores")
        await pilot.press("enter")
        await until(pilot, lambda: len(form.bucket) == 1, "the bucket")
        await pilot.app.action_quit()
    async with opened(Session(farm.folder, clock=farm.clock)) as pilot:
        await pilot.press("f")
        form = await at(pilot, FeedForm)
        await comes(pilot, "today")
        assert form.fields() == {}
        await pilot.press("escape", "l")
        await comes(pilot, "fed 3 kg apple cores")
        await pilot.press("r")
        form = await at(pilot, FeedForm)
        await comes(pilot, "Half filled before")
        await pilot.press("enter", "enter")
        await until(pilot, lambda: log_of(farm, "kitchen") != before, "the right line")
    (right,) = added(before, log_of(farm, "kitchen"))
    assert isinstance(right.what, Feeding)
    assert right.replaces == wrong
    assert sum(each.kg for each in right.what.portions) == pytest.approx(0.3)


async def test_several_things_taken_out_one_after_the_other_are_none_lost() -> None:
    async with opened(FakeFarm()) as pilot:
        await pilot.press("f")
        form = await at(pilot, FeedForm)
        for words in ("300 g melon rind", "200 g kale"):
            await types(pilot, words)
            await pilot.press("enter")
            await until(pilot, lambda: form.word("portion") == "", "the bucket")
        await pilot.press("ctrl+r")
        await until(pilot, lambda: form.word("portion") == "200 g kale", "the last")
        await pilot.press("ctrl+r")
        await until(pilot, lambda: form.word("portion") == "300 g melon rind", "the first")
        assert form.bucket == ["200 g kale"]
