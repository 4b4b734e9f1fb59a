"""The round of a seller: worst first, what each bin needs, how long it takes, a checklist that ticks itself."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from pathlib import Path

import pytest

from tests.screens.conftest import Take
from tests.screens.driving import SIZES, added, at, comes, log_of, opened, shows, text_of, types, until
from tests.screens.fake_farm import FORTY, FakeFarm
from tests.screens.made_views import row as made_row
from wormbin.farm import rounds
from wormbin.farm.heading import Heading
from wormbin.farm.recording.lines import write
from wormbin.farm.session import Session
from wormbin.farm.views.bin import TroubledBin
from wormbin.farm.views.round import RoundRow
from wormbin.figures import Level
from wormbin.records.bins import Bin
from wormbin.records.entries import Check, Kind, Squeeze
from wormbin.tui.app import LOOK_AGAIN_SECONDS, Wormbin
from wormbin.tui.screens.bin import BinScreen
from wormbin.tui.screens.check import CheckForm
from wormbin.tui.screens.reading import ReadingScreen
from wormbin.tui.screens.round import RoundScreen
from wormbin.tui.widgets.line_list import LineList


def _longer(farm: Session, key: str, than: int) -> bool:
    return len(log_of(farm, key)) > than


sized = pytest.mark.parametrize("size", SIZES)


@sized
async def test_the_worst_bin_stands_first_with_what_to_do_and_how_much(take: Take, size: tuple[int, int]) -> None:
    farm = take("seller")
    worst = rounds.view(farm).rows[0]
    async with opened(farm, size) as pilot:
        await at(pilot, RoundScreen)
        top = text_of(pilot).splitlines()[1]
        assert worst.level.value in top
        assert worst.name in top
        await comes(pilot, " ".join(worst.do[0].split()[:4]))
        await comes(pilot, "min")


@sized
async def test_a_bin_is_ticked_once_a_check_is_written(take: Take, size: tuple[int, int]) -> None:
    farm = take("seller")
    async with opened(farm, size) as pilot:
        await at(pilot, RoundScreen)
        await pilot.press("v")
        await comes(pilot, "not done")
        screen = await at(pilot, RoundScreen)
        left, hand = screen.query_one(LineList).count, screen.in_hand()
        before = log_of(farm, hand.key)
        await pilot.press("c")
        await at(pilot, CheckForm)
        await pilot.press("2", "1", "enter")
        await until(pilot, lambda: pilot.app.screen is screen or shows(pilot, "Enter again"), "saved or asked")
        if pilot.app.screen is not screen:
            await pilot.press("enter")
        await at(pilot, RoundScreen)
        await until(pilot, lambda: len(log_of(farm, hand.key)) > len(before), "the line on the disk")
        await until(pilot, lambda: screen.query_one(LineList).count == left - 1, "one bin fewer to do")
    (line,) = added(before, log_of(farm, hand.key))
    assert isinstance(line.what, Check)
    assert next(row for row in rounds.rows(farm) if row.bin == hand.key).done


@sized
async def test_bins_are_sorted_filtered_found_and_opened_by_key(size: tuple[int, int]) -> None:
    async with opened(FakeFarm(FORTY), size) as pilot:
        lines = pilot.app.screen.query_one(LineList)
        await until(pilot, lambda: lines.count == 40, "forty bins")
        await pilot.press("s", "s")
        await comes(pilot, "by name")
        await pilot.press("v", "v")
        await until(pilot, lambda: lines.count == 20, "act and watch only")
        await pilot.press("slash")
        await types(pilot, "H-")
        await until(pilot, lambda: lines.count < 5, "the rack's bins only")
        await pilot.press("enter", "escape")
        await until(pilot, lambda: lines.count == 40, "all bins again")
        await pilot.press("end", "enter")
        screen = await at(pilot, BinScreen)
        await comes(pilot, screen.in_hand().name)
        await pilot.press("escape")
        await at(pilot, RoundScreen)


@pytest.mark.more
async def test_the_round_can_be_printed_as_a_checklist(take: Take, tmp_path: Path) -> None:
    farm = take("seller")
    async with opened(farm) as pilot:
        await pilot.press("i")
        await at(pilot, ReadingScreen)
        await pilot.press("p", "ctrl+u")
        await types(pilot, str(tmp_path / "round.txt"))
        await pilot.press("enter")
        await until(pilot, (tmp_path / "round.txt").exists, "the page")
    page = (tmp_path / "round.txt").read_text("utf-8")
    for row in rounds.rows(farm):
        assert row.name in page
    assert "[x]" in page
    assert "[ ]" in page


@pytest.mark.more
async def test_somebody_elses_line_is_looked_for_within_two_seconds(take: Take) -> None:
    """The look every so often is bounded by its interval; what one look does is driven here, without waiting for it."""
    farm = take("apartment")
    assert LOOK_AGAIN_SECONDS <= 1.5, "half a second is left to read and paint"
    async with opened(farm) as pilot:
        screen = await at(pilot, BinScreen)
        app = pilot.app
        assert isinstance(app, Wormbin)
        looks = [timer for timer in app._timers if timer._callback == app._look_again]
        assert [timer._interval for timer in looks] == [LOOK_AGAIN_SECONDS]
        looks[0].pause()
        await pilot.press("l")
        await comes(pilot, "newest first")
        await app._look_again()
        write(
            Session(farm.folder, clock=farm.clock), "kitchen", Kind.NOTE, {"words": "said meanwhile"}, Heading(by="Zed")
        )
        await pilot.pause(0.05)
        assert not shows(pilot, "said meanwhile")
        await app._look_again()
        await comes(pilot, "said meanwhile")
        assert pilot.app.screen is screen


async def test_somebody_elses_line_is_noticed(take: Take) -> None:
    farm = take("apartment")
    async with opened(farm) as pilot:
        await at(pilot, BinScreen)
        await pilot.press("l")
        await comes(pilot, "newest first")
        await until(pilot, lambda: bool(farm._seen), "the first look at the store")
        write(
            Session(farm.folder, clock=farm.clock),
            "kitchen",
            Kind.NOTE,
            {"words": "said by another program"},
            Heading(by="Zed"),
        )
        await comes(pilot, "said by another program")


def test_every_level_can_be_told_without_colour() -> None:
    from wormbin.drawing.marks import level_mark

    assert len({level_mark(level, word=False) for level in Level}) == 3


@sized
async def test_the_round_is_walked_by_keys_and_every_line_lands_in_its_own_bin(
    take: Take, size: tuple[int, int]
) -> None:
    farm = take("seller")
    before = {row.bin: log_of(farm, row.bin) for row in rounds.rows(farm)}
    walked: list[str] = []
    async with opened(farm, size) as pilot:
        screen = await at(pilot, RoundScreen)
        await pilot.press("s")
        await comes(pilot, "Barn bed 1")
        for step in range(3):
            await pilot.press("home", *["down"] * step)
            hand = screen.in_hand()
            walked.append(hand.key)
            await pilot.press("c")
            await at(pilot, CheckForm)
            await pilot.press("3", str(step + 1), "e", "enter")
            await until(pilot, lambda: pilot.app.screen is screen or shows(pilot, "Enter again"), "saved or asked")
            if pilot.app.screen is not screen:
                await pilot.press("enter")
            await at(pilot, RoundScreen)
            await until(pilot, partial(_longer, farm, hand.key, len(before[hand.key])), "the line on the disk")
    assert len(set(walked)) == 3
    for key, lines in before.items():
        new = added(lines, log_of(farm, key))
        assert len(new) == (key in walked)
        for line in new:
            assert line.what == Check(squeeze=Squeeze.SPONGE, left=(walked.index(key) + 1) / 10, smell="earthy")


async def test_every_bin_is_listed_while_the_first_is_worked_out_and_can_be_written_to(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    from threading import Event

    from wormbin.farm.cache.rows import ComingRows
    from wormbin.farm.rounds.fill import Filling, Made
    from wormbin.farm.samples import copy_sample

    sample = copy_sample("classroom", tmp_path / "store")
    go_on, take = Event(), Filling.take

    def held_up(self: Filling, one: Bin, made: Made) -> RoundRow | ComingRows | TroubledBin:
        assert go_on.wait(60)
        return take(self, one, made)

    monkeypatch.setattr(Filling, "take", held_up)
    farm = sample.session()
    for cached in (farm.folder / "cache").glob("*"):
        cached.unlink()
    app = Wormbin(farm)
    async with app.run_test(size=(80, 24)) as pilot:
        for one in farm.bins():
            await until(
                pilot,
                partial(
                    lambda name: any(name in line and "working out" in line for line in text_of(pilot).splitlines()),
                    one.name,
                ),
                one.name,
            )
        screen = pilot.app.screen
        assert isinstance(screen, RoundScreen)
        await pilot.press("down")
        hand = screen.in_hand()
        assert hand is not None
        assert hand.name in {one.name for one in farm.bins()}
        go_on.set()
        await until(pilot, lambda: not shows(pilot, "working out"), "all rows")
        assert screen.in_hand() == hand, "the cursor stays with its bin"


def test_bins_hold_their_lines_while_they_are_walked_until_one_gets_worse() -> None:
    calm, watch, act = (
        replace(made_row(key, key, 0), level=level, findings=())
        for key, level in (("c", Level.STEADY), ("b", Level.WATCH), ("a", Level.ACT))
    )
    screen = RoundScreen()
    screen._filled = True

    def order(*rows: RoundRow) -> list[str]:
        screen._rows = list(rows)
        return [each.bin for each in screen._in_order()]

    assert order(calm, watch, act) == ["a", "b", "c"]
    seen_to = replace(act, level=Level.STEADY)
    assert order(seen_to, calm, watch) == ["a", "b", "c"], "the next bin is the next line"
    assert order(seen_to, replace(calm, level=Level.ACT), watch)[0] == "c", "what got worse comes to the top"
    assert order(replace(seen_to, bin="d"), calm, watch)[0] == "b", "another bin is another order"
