"""What a person sees first: what to do, uncut and unhidden, the bin with its layers named, charts day under day."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from threading import Event
from typing import Any

import pytest
from textual.app import App, ComposeResult
from textual.containers import Horizontal
from textual.widgets import Input

from tests.screens.driving import at, comes, opened, shows, text_of, types, until
from tests.screens.fake_farm import EIGHT, FakeFarm
from tests.screens.made_views import TODAY, row
from wormbin.drawing.marks import width_of
from wormbin.farm.session import Session
from wormbin.farm.views.bin import BinView
from wormbin.pages.page import is_rule
from wormbin.pages.round_table import columns, row_pieces
from wormbin.tui.desk import FarmChanged
from wormbin.tui.screens.bin import BinScreen
from wormbin.tui.screens.check import CheckForm
from wormbin.tui.screens.feed import FeedForm
from wormbin.tui.screens.reading import SumsScreen
from wormbin.tui.screens.start import StartForm
from wormbin.tui.screens.write import SurveyForm, WriteForm
from wormbin.tui.widgets.charts import ChartWall
from wormbin.tui.widgets.do_now import NowPlace
from wormbin.tui.widgets.fields import ChoiceRow, WordField
from wormbin.tui.widgets.page_lines import PageLines
from wormbin.tui.widgets.pictures import Gauges


async def test_what_was_said_lies_over_the_keys_and_hides_nothing_else() -> None:
    async with opened(FakeFarm()) as pilot:
        await at(pilot, BinScreen)
        await comes(pilot, "castings ~")
        before = text_of(pilot).splitlines()
        pilot.app.notify("check written down for the kitchen bin", markup=False)
        await comes(pilot, "written down for the kitchen bin")
        assert text_of(pilot).splitlines()[:-1] == before[:-1]


@pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=str)
async def test_the_layers_of_the_bin_are_named_beside_it(size: tuple[int, int]) -> None:
    async with opened(FakeFarm(), size) as pilot:
        await at(pilot, BinScreen)
        await until(pilot, lambda: "castings" in text_of(pilot), "the drawing")
        for layer in ("feed", "bedding", "castings", "water to"):
            assert shows(pilot, f"{layer} ~") or shows(pilot, f"{layer} about"), layer


async def test_today_stands_under_today_in_all_charts() -> None:
    async with opened(FakeFarm(), (80, 40)) as pilot:
        await at(pilot, BinScreen)
        await pilot.press("a")
        await comes(pilot, "what if")
        assert pilot.app.screen.query_one("#charts", ChartWall).shown > 1
        places = {line.index("today") for line in text_of(pilot).splitlines() if " today" in line}
        assert len(places) == 1


@pytest.mark.parametrize("width", [72, 80, 100, 120])
def test_a_narrow_round_says_what_to_do_before_what_is_the_matter(width: int) -> None:
    of = columns(width)
    assert of.first > of.headline == 0
    text = "".join(text for text, _ in row_pieces(row("k", "Kitchen", 0), width, TODAY))
    assert "do not feed" in text
    well = "".join(text for text, _ in row_pieces(row("k", "Kitchen", 1), width, TODAY))
    assert "all well" in well


def test_a_long_name_gets_the_room_that_short_ones_leave() -> None:
    assert columns(80, 8).name < columns(80, 17).name
    assert "Shade bed, hedge" in "".join(t for t, _ in row_pieces(row("k", "Shade bed, hedge", 0), 80, TODAY))


@pytest.mark.parametrize("keys", [("f",), ("c",), ("b",), ("e", "b"), ("e", "v"), ("w",), ("x",), ("y",)], ids="-".join)
async def test_an_example_says_that_it_is_one_and_is_never_cut(keys: tuple[str, ...]) -> None:
    async with opened(FakeFarm(EIGHT)) as pilot:
        await pilot.press(*keys)
        await pilot.pause()
        fields = pilot.app.screen.query(WordField)
        assert fields
        for field in fields:
            words = field.query_one(Input).placeholder
            assert words.startswith("e.g. ") or not words
            assert width_of(words) <= field.query_one(Input).content_size.width, words


FORMS = (
    (("f",), FeedForm, "portion", "300 g melon rind"), (("b",), StartForm, "length", "60 cm"),
    (("e", "b"), WriteForm, "portions", "1 kg straw"), (("e", "v"), SurveyForm, "area", "225 cm2"),
)  # fmt: skip


@pytest.mark.parametrize(("keys", "kind", "name", "words"), FORMS, ids=[kind.__name__ for _, kind, _, _ in FORMS])
async def test_every_form_outlives_a_resize_and_asks_before_it_is_dropped(
    keys: tuple[str, ...], kind: type[WriteForm], name: str, words: str
) -> None:
    farm = FakeFarm(EIGHT)
    async with opened(farm) as pilot:
        await pilot.press(*keys)
        form = await at(pilot, kind)
        await until(pilot, lambda: form.focused is not None, "the form listening")
        field = form.query_one(f"#{name}", WordField).input
        field.focus()
        await until(pilot, lambda: form.focused is field, "the line listening")
        await types(pilot, words)
        for size in ((40, 10), (200, 50), (80, 24)):
            await pilot.resize_terminal(*size)
        assert form.fields()[name] == words
        await pilot.press("escape")
        await comes(pilot, "Not saved. Esc again drops")
        await pilot.press("escape")
        await until(pilot, lambda: pilot.app.screen is not form, "left")
    assert farm.written == []


async def test_the_mouse_opens_a_number_and_answers_a_row() -> None:
    async with opened(FakeFarm()) as pilot:
        await at(pilot, BinScreen)
        await comes(pilot, "uneaten food")
        await pilot.click(Gauges, offset=(6, 1))
        await at(pilot, SumsScreen)
        await pilot.press("escape", "c")
        form = await at(pilot, CheckForm)
        squeeze = form.query_one("#squeeze", ChoiceRow)
        column = text_of(pilot).splitlines()[squeeze.region.y].index("4 dripping")
        await pilot.click(ChoiceRow, offset=(column - squeeze.region.x, 0))
        assert form.fields() == {"squeeze": "dripping"}


def test_a_stroke_across_a_page_is_cut_and_the_lines_of_a_list_hang_under_their_words() -> None:
    page = PageLines(
        [[("=" * 78, "")], [("1. Bedding: ", ""), ("three boxes of board", "")], [("[ ] a pail of water", "")]]
    )
    laid = ["".join(text for text, _ in line).rstrip() for line in page._laid(16)]
    assert laid[0] == "=" * 16
    assert laid[1:4] == ["1. Bedding:", "   three boxes", "   of board"]
    assert laid[4:] == ["[ ] a pail of", "    water"]
    assert not is_rule([("aaaa", "")])


async def test_every_gauge_is_in_sight_however_long_the_finding(take: Callable[[str], Session]) -> None:
    async with opened(take("apartment"), (80, 24)) as pilot:
        screen = await at(pilot, BinScreen)
        await comes(pilot, "castings:")
        panel = screen.query_one("#do")
        assert panel.size.height >= 6, "a long finding, or this test tells nothing"
        for gauge in screen.view.gauges:
            assert any(f" {gauge.name} " in line[37:] for line in text_of(pilot).splitlines()), gauge.title


STEPS = tuple(f"step number {number} of those that are to be done at this bin today" for number in range(1, 7))


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (120, 40)], ids=str)
async def test_no_step_is_hidden_while_pictures_or_empty_rows_stand_below(size: tuple[int, int]) -> None:
    farm = FakeFarm()
    farm.made = [replace(farm.made[0], do=STEPS)]
    async with opened(farm, size) as pilot:
        await at(pilot, BinScreen)
        await comes(pilot, "moisture")
        for step in STEPS:
            await comes(pilot, f"→ {step[:20]}")
        assert not shows(pilot, "more step")


async def test_a_round_of_one_or_two_bins_gives_its_empty_rows_to_the_steps() -> None:
    farm = FakeFarm(EIGHT)
    farm.made = [replace(each, do=STEPS) for each in farm.made[:2]]
    async with opened(farm, (60, 20)) as pilot:
        await comes(pilot, "step number 6")
        assert not shows(pilot, "more step")


async def test_what_is_long_in_coming_is_said_to_be_worked_out() -> None:
    ready, slow = Event(), Event()

    class Slow(FakeFarm):
        def look(self, *of: Any, **how: Any) -> BinView:
            if slow.is_set():
                ready.wait(20)
            return super().look(*of, **how)

    async with opened(Slow()) as pilot:
        await at(pilot, BinScreen)
        await comes(pilot, "moisture")
        slow.set()
        pilot.app.screen.post_message(FarmChanged())
        await comes(pilot, "working it out …")
        ready.set()
        await until(pilot, lambda: not shows(pilot, "working it out …"), "worked out")
        await comes(pilot, Slow().made[0].name)


@pytest.mark.parametrize(
    "keys",
    [("enter",), *(pytest.param(each, marks=pytest.mark.more) for each in ((), ("c",), ("e",), ("N",)))],
    ids=str,
)
async def test_a_terminal_shrunk_to_nothing_and_back_ends_nothing(
    take: Callable[[str], Session], keys: tuple[str, ...]
) -> None:
    farm = take("classroom")
    async with opened(farm) as pilot:
        await pilot.press(*keys)
        before = type(pilot.app.screen)
        for size in ((20, 6), (6, 3), (1, 1), (80, 24)):
            await pilot.resize_terminal(*size)
            await pilot.pause()
        assert type(pilot.app.screen) is before


async def test_a_resize_between_the_pictures_and_their_dates_is_no_fault() -> None:
    """A line about the files may come up below the head while the page is being furnished."""

    class Half(App[None]):
        def compose(self) -> ComposeResult:
            yield NowPlace(id="now")

    async with Half().run_test(size=(80, 24)) as pilot:
        place = pilot.app.query_one(NowPlace)
        await place.mount(Horizontal(id="pair"))
        await pilot.resize_terminal(80, 20)
        await pilot.pause()
        assert place.size.height == 20
