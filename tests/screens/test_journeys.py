"""One bin in an apartment, journey by journey, driven by keys alone, held to what stands in the store afterwards."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.events import Key

from tests.screens.conftest import Take
from tests.screens.driving import SIZES, added, at, comes, log_of, opened, shows, text_of, types, until
from wormbin.farm import bins, feedings
from wormbin.farm.heading import Heading
from wormbin.farm.recording.lines import write
from wormbin.farm.session import Session
from wormbin.farm.settings import change_setting
from wormbin.records.entries import Bedding, Check, Feeding, Harvest, Kind, Squeeze, Stocking, Watering
from wormbin.tui.screens.answers import OnceForm
from wormbin.tui.screens.asking import AwayForm
from wormbin.tui.screens.bin import BinScreen
from wormbin.tui.screens.check import CheckForm
from wormbin.tui.screens.feed import FeedForm
from wormbin.tui.screens.reading import ReadingScreen
from wormbin.tui.screens.start import StartForm, WelcomeScreen
from wormbin.tui.screens.write import KindMenu, WriteForm
from wormbin.tui.widgets.fields import WordField
from wormbin.tui.widgets.log_place import LogList

sized = pytest.mark.parametrize("size", SIZES)
BIN = "kitchen"


@sized
async def test_a_bin_is_started_with_its_first_bedding_and_a_list_to_print(
    empty: Session, size: tuple[int, int], tmp_path: Path
) -> None:
    async with opened(empty, size) as pilot:
        await at(pilot, WelcomeScreen)
        await pilot.press("b")
        await at(pilot, StartForm)
        for words in ("Kitchen bin", "60 cm", "40 cm", "30 cm"):
            await types(pilot, words)
            await pilot.press("enter")
        await types(pilot, "18 C")
        await pilot.press("enter", "enter", "enter", "enter", "enter", "n", "enter", "enter", "enter")
        await comes(pilot, "Not said, so taken:")
        await comes(pilot, "y begins the bin")
        await pilot.press("x")
        await comes(pilot, "begin it now?: x picks nothing here; keys: y n")
        assert shows(pilot, "Not said, so taken:")
        await comes(pilot, "1. Bedding:")
        await comes(pilot, "cardboard")
        await pilot.press("ctrl+l")
        await at(pilot, ReadingScreen)
        await comes(pilot, "A plan: nothing is written in the log yet.")
        assert empty.bins() == ()
        await pilot.press("escape")
        form = await at(pilot, StartForm)
        form.query_one("#worms", WordField).input.focus()
        await types(pilot, "400 g")
        await pilot.press("ctrl+b")
        await until(pilot, lambda: form.proposal is not None, "the proposal anew")
        await pilot.press("enter", "y")
        await at(pilot, ReadingScreen)
        await comes(pilot, "To get")
        await comes(pilot, "[ ]")
        await pilot.press("p")
        page = tmp_path / "list.txt"
        await until(pilot, lambda: pilot.app.focused is not None and pilot.app.focused.id != "page", "the file's line")
        await pilot.press("ctrl+u")
        await types(pilot, str(page))
        await pilot.press("enter")
        await until(pilot, page.exists, "the page on disk")
        await pilot.press("escape")
        await at(pilot, BinScreen)
        await comes(pilot, "Kitchen bin")
    whats = [entry.what for entry in log_of(empty, "kitchen-bin")]
    assert [type(what) for what in whats] == [Bedding, Watering, Stocking]
    assert isinstance(whats[2], Stocking)
    assert whats[2].worms_kg == pytest.approx(0.4)
    assert "cardboard" in page.read_text("utf-8")


@sized
async def test_the_check_is_opened_filled_and_saved_in_eight_keys(take: Take, size: tuple[int, int]) -> None:
    farm = take("apartment")
    before = log_of(farm, BIN)
    keys = ["c", "3", "2", "e", "m", "enter"]
    assert len(keys) <= 8
    async with opened(farm, size) as pilot:
        await at(pilot, BinScreen)
        await pilot.press(keys[0])
        await at(pilot, CheckForm)
        await pilot.press(*keys[1:])
        await at(pilot, BinScreen)
        await comes(pilot, "written down")
    (line,) = added(before, log_of(farm, BIN))
    assert line.what == Check(squeeze=Squeeze.SPONGE, left=0.2, smell="earthy", seen=("mites",))


@sized
async def test_every_place_of_a_bin_opens_on_a_farm_of_its_own(take: Take, size: tuple[int, int]) -> None:
    async with opened(take("apartment"), size) as pilot:
        await at(pilot, BinScreen)
        for key, words in (("a", "castings"), ("l", "Jo"), ("o", "Every number of this bin"), ("n", "feed")):
            await pilot.press(key)
            await comes(pilot, words)


@sized
async def test_keys_typed_faster_than_the_screen_draws_reach_their_own_rows(take: Take, size: tuple[int, int]) -> None:
    farm = take("apartment")
    before = log_of(farm, BIN)
    async with opened(farm, size) as pilot:
        await at(pilot, BinScreen)
        await pilot.press("c")
        await at(pilot, CheckForm)
        for key in ("3", "2", "e", "m", "enter"):  # all of them in one read of the terminal
            pilot.app.post_message(Key(key, None if len(key) > 1 else key))
        await comes(pilot, "written down")
    (line,) = added(before, log_of(farm, BIN))
    assert line.what == Check(squeeze=Squeeze.SPONGE, left=0.2, smell="earthy", seen=("mites",))


@sized
async def test_an_unlikely_value_is_asked_about_in_place_and_kept_by_a_second_enter(
    take: Take, size: tuple[int, int]
) -> None:
    farm = take("apartment")
    before = log_of(farm, BIN)
    async with opened(farm, size) as pilot:
        await pilot.press("c")
        form = await at(pilot, CheckForm)
        form.query_one("#moisture").input.focus()
        await types(pilot, "21")
        await pilot.press("enter")
        await comes(pilot, "dry as dust")
        assert added(before, log_of(farm, BIN)) == ()
        await pilot.press("enter")
        await at(pilot, BinScreen)
    (line,) = added(before, log_of(farm, BIN))
    assert isinstance(line.what, Check)
    assert line.what.moisture == pytest.approx(0.21)


@sized
async def test_a_feeding_shows_what_it_does_and_too_much_is_held_back(take: Take, size: tuple[int, int]) -> None:
    farm = take("apartment")
    before = log_of(farm, BIN)
    async with opened(farm, size) as pilot:
        await pilot.press("f")
        await at(pilot, FeedForm)
        await types(pilot, "9 kg melon rind")
        await comes(pilot, "they can eat")
        await pilot.press("enter")
        await comes(pilot, "1) 9 kg melon rind")
        await pilot.press("enter")
        await comes(pilot, "Enter again to write it down")
        assert added(before, log_of(farm, BIN)) == ()
        await pilot.press("ctrl+r")
        await pilot.press("ctrl+u")
        await types(pilot, "100 g melon rind")
        await pilot.press("enter")
        await comes(pilot, "1) 100 g melon rind")
        await pilot.press("enter")
        if not isinstance(pilot.app.screen, BinScreen):
            await pilot.press("enter")
        await at(pilot, BinScreen)
    (line,) = added(before, log_of(farm, BIN))
    assert isinstance(line.what, Feeding)
    assert [(each.material, round(each.kg, 3)) for each in line.what.portions] == [("melon-rind", 0.1)]


@pytest.mark.more
@sized
async def test_a_name_is_finished_and_the_same_as_last_time_is_one_key(take: Take, size: tuple[int, int]) -> None:
    farm = take("apartment")
    async with opened(farm, size) as pilot:
        await pilot.press("f")
        form = await at(pilot, FeedForm)
        await types(pilot, "300 g mel")
        await until(pilot, lambda: bool(form.query_one("#portion").input._suggestion), "a suggestion")
        await pilot.press("right")
        assert form.query_one("#portion").value == "300 g melon-rind"
        await pilot.press("ctrl+u", "ctrl+l")
        await until(pilot, lambda: bool(form.bucket), "the last bucket")
        assert tuple(form.bucket) == feedings.last_bucket(farm, BIN)


@sized
async def test_a_warning_stands_first_with_its_cause_in_numbers_and_what_to_do(
    take: Take, size: tuple[int, int]
) -> None:
    farm = take("apartment")
    worst = bins.look(farm, BIN).findings[0]
    async with opened(farm, size) as pilot:
        await at(pilot, BinScreen)
        await comes(pilot, "feed")
        lines = text_of(pilot).splitlines()
        assert worst.level.value in lines[2]
        await comes(pilot, " ".join(worst.what.split()[:5]))
        await comes(pilot, " ".join(worst.do[0].split()[:4]))
        await pilot.press("d")
        await at(pilot, ReadingScreen)
        await comes(pilot, "how sure:")
        await comes(pilot, "why:")


@sized
async def test_going_away_gives_a_plan_and_a_page_for_a_neighbour(
    take: Take, size: tuple[int, int], tmp_path: Path
) -> None:
    farm = take("apartment")
    plan = bins.absence(farm, BIN, "saturday", "2026-11-12")
    async with opened(farm, size) as pilot:
        await pilot.press("y")
        await at(pilot, AwayForm)
        await types(pilot, "saturday")
        await pilot.press("enter")
        await types(pilot, "2026-11-12")
        await pilot.press("enter")
        await comes(pilot, "Before you leave")
        await comes(pilot, " ".join(plan.before[0].split()[:5]))
        await pilot.press("ctrl+s")
        await until(pilot, lambda: bins.next_absence(farm, BIN)[1] == "2026-11-12", "the days in the settings")
        await pilot.press("ctrl+o")
        await at(pilot, ReadingScreen)
        await pilot.press("p")
        await pilot.press("ctrl+u")
        await types(pilot, str(tmp_path / "neighbour.txt"))
        await pilot.press("enter")
        await until(pilot, (tmp_path / "neighbour.txt").exists, "the page")
    assert plan.neighbour[-1].strip() in (tmp_path / "neighbour.txt").read_text("utf-8")


async def test_a_first_day_away_that_is_no_day_is_told_in_its_row(take: Take) -> None:
    async with opened(take("apartment"), SIZES[0]) as pilot:
        await pilot.press("y")
        form = await at(pilot, AwayForm)
        await types(pilot, "12 days")
        await pilot.press("enter")
        await comes(pilot, "first day away: “12 days” does not fit")
        assert form.query_one("#first", WordField).input.has_focus


@pytest.mark.more
async def test_the_next_holiday_of_the_settings_stands_in_the_form(take: Take) -> None:
    farm = take("apartment")
    change_setting(farm, "away", "2026-11-06 to 2026-11-15: hills")
    async with opened(farm, SIZES[0]) as pilot:
        await pilot.press("y")
        await at(pilot, AwayForm)
        await comes(pilot, "2026-11-06")
        await comes(pilot, "2026-11-15")
        await pilot.press("enter")
        await comes(pilot, "Before you leave")
        await comes(pilot, "away from Fri 6 Nov 2026 to Sun 15 Nov 2026")


@sized
async def test_a_harvest_is_written_with_litres_and_the_window_moves_on(take: Take, size: tuple[int, int]) -> None:
    farm = take("apartment")
    before = log_of(farm, BIN)
    async with opened(farm, size) as pilot:
        await pilot.press("h")
        await at(pilot, ReadingScreen)
        await comes(pilot, "castings:")
        await pilot.press("escape")
        await at(pilot, BinScreen)
        await pilot.press("e")
        await at(pilot, KindMenu)
        await pilot.press("h")
        await at(pilot, WriteForm)
        await types(pilot, "6 kg")
        await pilot.press("enter", "enter")
        await types(pilot, "30%")
        await pilot.press("enter")
        await types(pilot, "20 g")
        await pilot.press("enter")
        await pilot.press("enter")
        await at(pilot, BinScreen)
    (line,) = added(before, log_of(farm, BIN))
    assert isinstance(line.what, Harvest)
    assert line.what.castings_kg == pytest.approx(6.0)
    assert line.what.left_behind == pytest.approx(0.3)
    assert line.what.worms_out_kg == pytest.approx(0.02)


@sized
async def test_a_wrong_line_is_put_right_struck_and_undone(take: Take, size: tuple[int, int]) -> None:
    farm = take("apartment")
    before = log_of(farm, BIN)
    async with opened(farm, size) as pilot:
        await pilot.press("l")
        await comes(pilot, "newest first")
        await pilot.press("r")
        form = await at(pilot, CheckForm)
        assert form.query_one("#squeeze").value == "sponge"
        await pilot.press("2")
        await pilot.press("enter")
        await until(
            pilot, lambda: not isinstance(pilot.app.screen, CheckForm) or shows(pilot, "Keep"), "saved or asked"
        )
        if isinstance(pilot.app.screen, CheckForm):
            await pilot.press("enter")
        await at(pilot, BinScreen)
        right = added(before, log_of(farm, BIN))
        assert len(right) == 1
        assert right[0].replaces == before[-1].id
        assert isinstance(right[0].what, Check)
        assert right[0].what.squeeze is Squeeze.DAMP
        await pilot.press("u")
        await until(pilot, lambda: log_of(farm, BIN) == before, "the old line standing again")
        shown = pilot.app.screen.query_one(LogList)
        await until(
            pilot,
            lambda: any(line.entry == before[-1].id and line.stands for line in shown._lines),
            "the list as it is in the store",
        )
        if not (pilot.app.screen.query_one(LogList).current() or before).stands:  # type: ignore[union-attr]
            await pilot.press("down")
        await pilot.press("z")
        await comes(pilot, "Strike through")
        await types(pilot, "mistyped")
        await pilot.press("enter")
        await at(pilot, BinScreen)
    assert len(log_of(farm, BIN)) == len(before) - 1


ODD = {
    "moisture": "76.55%", "moisture_by": "oven", "squeeze": "damp", "temp": "20.3C", "left": "35%",
    "depth": "17.8 cm", "ph": "6.85", "smell": "like old socks", "seen": "mites, two slugs",
}  # fmt: skip


@pytest.mark.parametrize("kind", [Kind.CHECK, Kind.SURVEY, Kind.WEIGHING])
async def test_what_nobody_touched_of_a_line_put_right_is_not_rounded(take: Take, kind: Kind) -> None:
    farm = take("apartment")
    if kind is Kind.CHECK:
        (wrong,) = write(farm, BIN, Kind.CHECK, ODD).ids
    elif kind is Kind.SURVEY:
        (wrong,) = write(farm, BIN, Kind.SURVEY, {"samples": "0.675 g; 25 worms", "area": "22.5 cm2"}).ids
    else:
        (wrong,) = write(farm, BIN, Kind.WEIGHING, {"amount": "6.4375 kg", "box": "yes"}).ids
    old = farm.store.find(wrong)
    async with opened(farm, (80, 24)) as pilot:
        await pilot.press("l")
        await comes(pilot, "newest first")
        await pilot.press("r")
        await until(pilot, lambda: isinstance(pilot.app.screen, CheckForm | WriteForm), "the form")
        assert kind is not Kind.CHECK or shows(pilot, "[35%]")
        for _ in range(4):
            if not isinstance(pilot.app.screen, BinScreen):
                await pilot.press("enter")
                await pilot.pause()
        await at(pilot, BinScreen)
    right = next(each for each in log_of(farm, BIN) if each.replaces == wrong)
    assert right.what == old.what


async def test_striking_a_right_line_is_asked_first_on_the_screen(take: Take) -> None:
    farm = take("apartment")
    (wrong,) = write(farm, BIN, Kind.WATERING, {"amount": "1 L"}).ids
    (right,) = write(farm, BIN, Kind.WATERING, {"amount": "2 L"}, Heading(replaces=wrong)).ids
    async with opened(farm, (80, 24)) as pilot:
        await pilot.press("l")
        await comes(pilot, "newest first")
        shown = pilot.app.screen.query_one(LogList)
        while (line := shown.current()) is None or line.entry != right:
            await pilot.press("down")
        await pilot.press("z")
        await comes(pilot, "Strike through")
        await types(pilot, "mistyped")
        await pilot.press("enter")
        await comes(pilot, "Enter again strikes it")
        await comes(pilot, f"line {wrong} stands again")
        assert farm.store.find(right).struck is None
        await pilot.press("enter")
        await at(pilot, BinScreen)
    assert [line.id for line in log_of(farm, BIN) if line.id in (wrong, right)] == [wrong]


async def test_meat_that_did_go_in_is_asked_about_and_a_second_enter_writes_it(take: Take) -> None:
    farm = take("apartment")
    before = log_of(farm, BIN)
    async with opened(farm, (80, 24)) as pilot:
        await pilot.press("f")
        await at(pilot, FeedForm)
        await types(pilot, "20 g meat")
        await pilot.press("enter")
        await comes(pilot, "No meat")
        await pilot.press("enter")
        await comes(pilot, "Enter again to write it down")
        assert log_of(farm, BIN) == before
        await pilot.press("enter")
        await at(pilot, BinScreen)
    (line,) = added(before, log_of(farm, BIN))
    assert isinstance(line.what, Feeding)
    assert [each.material for each in line.what.portions] == ["meat"]


@pytest.mark.more
async def test_what_a_handful_is_is_asked_over_the_form_and_kept(take: Take) -> None:
    """Typing "2 handfuls of coffee grounds" asks once how much one is; the form under it keeps what was typed."""
    async with opened(take("apartment"), (80, 24)) as pilot:
        await pilot.press("f")
        form = await at(pilot, FeedForm)
        await types(pilot, "2 handfuls of coffee grounds")
        await pilot.press("enter")
        await at(pilot, OnceForm)
        await until(pilot, lambda: "How much is your handful?" in text_of(pilot), "How much is your handful?")
        await types(pilot, "a lot")
        await pilot.press("enter")
        await comes(pilot, "how much is that?")
        await pilot.press("ctrl+u")
        await types(pilot, "25 g")
        await pilot.press("enter")
        await at(pilot, FeedForm)
        await comes(pilot, "Kept:")
        await until(pilot, lambda: form.bucket == ["2 handfuls of coffee grounds"])
        await comes(pilot, "2 handfuls coffee grounds")
