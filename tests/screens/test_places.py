"""Every place: help and palette name every action, it fits, it is left again, and the mouse works too."""

from __future__ import annotations

import pytest

from tests.screens.driving import at, comes, opened, shows, text_of, types, until
from tests.screens.fake_farm import EIGHT, FakeFarm
from tests.screens.test_hostile import WALKS, back_at_the_round
from wormbin.cli.program import parser
from wormbin.records.kinds.log import WRITTEN
from wormbin.tui.app import Wormbin
from wormbin.tui.keyboard import name_of, named_actions, places_of
from wormbin.tui.palette import ELSEWHERE, OTHER_WORDS, Elsewhere, PlaceCommands
from wormbin.tui.place import Form
from wormbin.tui.screens.asking import PlanForm
from wormbin.tui.screens.bin import BinScreen
from wormbin.tui.screens.catch_up import CatchUpForm
from wormbin.tui.screens.feed import FeedForm
from wormbin.tui.screens.reading import HelpScreen
from wormbin.tui.screens.round import RoundScreen
from wormbin.tui.screens.write import WriteForm
from wormbin.tui.themes import THEMES
from wormbin.tui.widgets.key_line import KeyLine, TabLine
from wormbin.tui.widgets.line_list import LineList


@pytest.mark.parametrize("keys", [(), ("enter",), ("enter", "l")], ids="-".join)
async def test_help_and_palette_name_every_action_of_the_place(keys: tuple[str, ...]) -> None:
    async with opened(FakeFarm(EIGHT), (120, 60)) as pilot:
        await pilot.press(*keys)
        await pilot.pause()
        here = pilot.app.screen
        every = [named for place in (*places_of(here), pilot.app) for named in named_actions(place)]
        assert len(every) > 20
        commands = PlaceCommands(here)
        found = [str(hit.text) async for hit in commands.discover()]
        helped = "\n".join("".join(text for text, _ in line) for line in HelpScreen(here)._lines)
        for named in every:
            assert any(named.words in words for words in found), named
            assert named.words in helped, named


async def test_the_palette_offers_the_frameworks_own_commands_and_a_theme_picked_there_is_kept() -> None:
    async with opened(farm := FakeFarm(EIGHT), (80, 24)) as pilot:
        app = pilot.app
        commands = {each.title: each.callback for each in app.get_system_commands(app.screen)}
        assert set(commands) == {"Keys", "Screenshot", "Theme"}
        assert set(app.available_themes) == {each.name for each in THEMES}
        commands["Theme"]()
        await pilot.pause()
        await types(pilot, "day")
        await comes(pilot, "wormbin-day")
        await pilot.press("down", "enter")
        await until(pilot, lambda: app.theme == "wormbin-day", "the theme")
        await until(pilot, lambda: farm.how_run.theme == "wormbin-day", "kept")


@pytest.mark.parametrize("walk", WALKS, ids=["walk 1", "walk 2", "walk 3", "walk 4"])
async def test_every_place_says_what_it_is_for_fits_with_its_keys_in_sight_and_is_left_by_esc(
    walk: tuple[tuple[str, ...], ...],
) -> None:
    async with opened(FakeFarm(EIGHT), (80, 24)) as pilot:
        for keys in walk:
            await pilot.press(*keys)
            await pilot.pause()
            screen = pilot.app.screen
            if keys != ("ctrl+p",):
                assert screen.HELP, keys
            if isinstance(screen, Form):
                keys_line = screen.query_one("#keys")
                assert keys_line.region.height > 0, keys
                assert screen.region.contains_region(keys_line.region), keys
                assert "Esc" in text_of(pilot) or "Enter" in text_of(pilot), keys
            await back_at_the_round(pilot)


@pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=str)
@pytest.mark.parametrize("keys", [(), ("enter",), ("enter", "l")], ids="-".join)
async def test_the_footer_holds_six_to_eight_keys_and_all_of_them_are_seen(
    keys: tuple[str, ...], size: tuple[int, int]
) -> None:
    async with opened(FakeFarm(EIGHT), size) as pilot:
        await pilot.press(*keys)
        await pilot.pause()
        line = pilot.app.screen.query_one(KeyLine)
        await until(pilot, lambda: len(line.shown) > 0, "the keys")
        assert 6 <= len(line.shown) <= 8
        assert line.shown == line.keys
        assert all(shows(pilot, f"{key.shown} {key.words}") for key in line.shown)


async def test_a_click_on_a_key_at_the_foot_of_a_form_presses_it() -> None:
    async with opened(FakeFarm(EIGHT)) as pilot:
        await pilot.press("f")
        line = (await at(pilot, FeedForm)).query_one(KeyLine)
        await until(pilot, lambda: len(line.laid(line.size.width)) == 2, "two lines of keys")
        words = "".join(f" {key.shown} {key.words} " for key in line.laid(line.size.width)[1])
        await pilot.click(line, offset=(words.index("Esc leave") + 1, 1))
        await at(pilot, RoundScreen)


async def test_lists_are_walked_with_j_and_k_beside_the_arrows() -> None:
    async with opened(FakeFarm(EIGHT)) as pilot:
        lines = pilot.app.screen.query_one(LineList)
        seen = []
        for key in ("j", "down", "k"):
            await pilot.press(key)
            seen.append(lines.cursor)
        assert seen == [1, 2, 1]


async def test_a_click_on_a_key_at_the_foot_presses_it() -> None:
    async with opened(FakeFarm(EIGHT)) as pilot:
        line = pilot.app.screen.query_one(KeyLine)
        await until(pilot, lambda: len(line.shown) > 0, "the keys")
        words = "".join(f" {key.shown} {key.words} " for key in line.shown)
        await pilot.click(KeyLine, offset=(words.index("? help") + 2, 0))
        await at(pilot, HelpScreen)


async def test_the_mouse_opens_a_bin_a_tab_and_a_number() -> None:
    async with opened(FakeFarm(EIGHT), (120, 40)) as pilot:
        await pilot.click(LineList, offset=(10, 1))
        await pilot.click(LineList, offset=(10, 1))
        await at(pilot, BinScreen)
        await comes(pilot, "feed: nothing more today") if shows(pilot, "act") else None
        await pilot.click(TabLine, offset=(24, 0))
        await comes(pilot, "newest first")


async def test_fifty_thousand_lines_are_scrolled_without_making_their_words() -> None:
    farm = FakeFarm(lines=50_000)
    async with opened(farm) as pilot:
        await pilot.press("l")
        await comes(pilot, "50000 lines, newest first")
        for key in ("end", "home", "pagedown", "end", "pageup"):
            await pilot.press(key)
        await pilot.press("end")
        assert pilot.app.screen.query("#lines").first(LineList).cursor == 49_999


@pytest.mark.parametrize("size", [(40, 10), (20, 5), (200, 50)], ids=str)
@pytest.mark.parametrize("bins", [0, 1, 8], ids=str)
async def test_no_size_crashes(size: tuple[int, int], bins: int) -> None:
    async with opened(FakeFarm(EIGHT[:bins]), size) as pilot:
        for key in ("enter", "a", "plus", "left", "m", "l", "o", "n", "c", "3", "escape", "escape", "f", "escape"):
            await pilot.press(key)
    assert pilot.app.return_code in (None, 0)


async def test_a_store_that_cannot_be_used_is_said_and_stays_until_it_is_answered() -> None:
    from wormbin.farm.errors import StoreError
    from wormbin.farm.views.bin import BinView
    from wormbin.tui.screens.answers import TroubleScreen

    class Torn(FakeFarm):
        def look(self, bin: str, on: object = None, *, days: int = 120) -> BinView:
            raise StoreError("it is not JSON", "Bring back a copy.", path=self.folder / "2026.json", line=3)

    async with opened(Torn(EIGHT)) as pilot:
        await pilot.press("enter")
        await at(pilot, TroubleScreen)
        await comes(pilot, "Bring back a copy.")
        await pilot.press("enter")
        await at(pilot, BinScreen)


@pytest.mark.parametrize("keys", [(), ("enter",), ("enter", "l"), ("H",), ("g",)], ids="-".join)
async def test_no_key_does_two_things_in_one_place(keys: tuple[str, ...]) -> None:
    async with opened(FakeFarm(EIGHT), (120, 60)) as pilot:
        await pilot.press(*keys)
        await pilot.pause()
        every = [named for place in places_of(pilot.app.screen) for named in named_actions(place)]
        taken: dict[str, set[str]] = {}
        for named in every:
            for key in named.keys.split(" or "):
                taken.setdefault(key, set()).add(named.words)
        # A named key such as Enter or Esc is taken by what listens before the screen gets it.
        twice = {key: words for key, words in taken.items() if len(words) > 1 and len(key) == 1}
        assert not twice


async def test_k_on_the_round_catches_up_as_its_help_says() -> None:
    async with opened(FakeFarm(EIGHT)) as pilot:
        await pilot.press("down", "K")
        await at(pilot, CatchUpForm)


@pytest.mark.parametrize(
    ("typed", "found"),
    [
        ("plan", "plan castings"), ("export", "export the log"), ("backup", "back up the store"),
        ("back up", "back up the store"), ("holiday", "going away"), ("smell", "check"), ("smell", "troubles"),
        ("tea", "write down drain"), ("tea", "castings"), ("water", "write down water"), ("sell", "castings"),
        ("count worms", "write down survey"), ("redo", "redo"), ("import", "import log files"), ("undo", "undo"),
        ("csv", "export the log"), ("restore", "bring a backup back"), ("new bin", "start a bin"),
        ("add worms", "write down stock worms"), ("weight", "write down weigh"), ("flies", "troubles"),
        ("calendar", "calendar"), ("units", "keepers and settings"), ("Holi", "going away"),
    ],
)  # fmt: skip
async def test_the_palette_finds_what_a_keeper_would_call_it(typed: str, found: str) -> None:
    async with opened(FakeFarm(EIGHT)) as pilot:
        hits = [hit async for hit in PlaceCommands(pilot.app.screen).search(typed)]
        hits.sort(key=lambda hit: -hit.score)
        best = [str(hit.text) for hit in hits if hit.score >= 100]
        assert any(words.startswith(found) for words in best[:6]), [str(hit.text) for hit in hits[:8]]


async def test_a_name_goes_before_other_words_and_these_before_scattered_letters() -> None:
    async with opened(FakeFarm(EIGHT)) as pilot:
        guess = [hit async for hit in PlaceCommands(pilot.app.screen).search("guess")]
        assert str(max(guess, key=lambda hit: hit.score).text).startswith("write down guess")
        rota = [str(hit.text) async for hit in PlaceCommands(pilot.app.screen).search("rota")]
        assert rota
        assert all("rota" in words for words in rota)


def test_every_other_word_belongs_to_something_that_can_be_done() -> None:
    actions = {
        name_of(binding.action)
        for kind in (*BinScreen.__mro__, *RoundScreen.__mro__, Wormbin)
        for binding in vars(kind).get("BINDINGS", ())
        if kind.__module__.startswith("wormbin")
    }
    assert set(OTHER_WORDS) <= actions
    assert all(each.page.also for each in WRITTEN)


async def test_the_palette_opens_a_paper_and_the_plan_and_says_what_is_done_on_the_command_line() -> None:
    async with opened(FakeFarm(EIGHT)) as pilot:
        hits = {str(hit.text): hit async for hit in PlaceCommands(pilot.app.screen).discover()}
        hits["write down water: sprinkled or poured in"].command()
        form = await at(pilot, WriteForm)
        assert form.kind.page.title == "water"
        await pilot.press("escape")
        hits["plan castings: so much by a day"].command()
        await at(pilot, PlanForm)
        await pilot.press("escape")
        hits["back up the store"].command()
        await comes(pilot, "wormbin store backup")


@pytest.mark.parametrize("each", ELSEWHERE, ids=[each.words for each in ELSEWHERE])
def test_a_command_that_the_palette_tells_of_is_one_that_there_is(each: Elsewhere) -> None:
    words = [word for word in each.command.split()[1:] if word != "--help"]
    if words == ["trial"]:
        words = ["trial", "--area", "1", "--depth", "1"]
    parser().parse_args(words)  # raises for a command or option that there is not
