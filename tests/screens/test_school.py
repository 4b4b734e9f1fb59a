"""A class with one bin, journey by journey, by keys alone, on a store begun empty: its turns, its pupils' own check."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

import icalendar
import pytest

from tests.screens.driving import SIZES, Driver, added, at, comes, log_of, opened, shows, text_of, types, until
from wormbin.farm import rounds, turns
from wormbin.farm.heading import Heading
from wormbin.farm.recording.lines import record_feeding, write
from wormbin.farm.session import Session
from wormbin.farm.settings import change_setting
from wormbin.measures.units import WORM_KG
from wormbin.records.entries import Check, Feeding, Guess, Kind, Squeeze
from wormbin.tui.screens.bin import BinScreen
from wormbin.tui.screens.check import CheckForm
from wormbin.tui.screens.feed import FeedForm
from wormbin.tui.screens.pupil import PupilCheck, WallScreen
from wormbin.tui.screens.reading import ReadingScreen, SumsScreen
from wormbin.tui.screens.settings import ROWS, SettingsScreen
from wormbin.tui.screens.start import StartForm, WelcomeScreen
from wormbin.tui.screens.turns import TurnsScreen
from wormbin.tui.screens.write import WriteForm

sized = pytest.mark.parametrize("size", SIZES)
MONDAY = datetime(2026, 9, 7, 9, 0, tzinfo=UTC)
BIN = "room-5"


@pytest.fixture
def school(tmp_path: Path) -> Session:
    """A store that is not there yet, on a school day."""
    return Session(tmp_path / "school", clock=lambda: MONDAY)


async def begun(pilot: Driver) -> None:
    """A bin begun by keys."""
    await at(pilot, WelcomeScreen)
    await pilot.press("b")
    await at(pilot, StartForm)
    for words in ("Room 5", "60 cm", "40 cm", "30 cm"):
        await types(pilot, words)
        await pilot.press("enter")
    await pilot.press("ctrl+b")
    await comes(pilot, "y begins the bin")
    await pilot.press("y")
    await at(pilot, ReadingScreen)
    await pilot.press("escape")
    await at(pilot, BinScreen)


async def settles(pilot: Driver, **words: str) -> None:
    """Settings said by keys, each in its line."""
    await pilot.press("comma")
    await at(pilot, SettingsScreen)
    names = [row[0] for row in ROWS]
    for name, said in words.items():
        wanted = names.index(name.replace("_", "-").replace("keeper-plus", "keeper+"))
        await pilot.press("home", *["down"] * wanted, "enter", "ctrl+u")
        await types(pilot, said)
        await pilot.press("enter")
        await until(pilot, lambda: not pilot.app.screen.query_one("#value").display, said)
    await pilot.press("escape")
    await at(pilot, BinScreen)


async def with_turns(pilot: Driver) -> None:
    """The class of three with a rota."""
    await begun(pilot)
    await settles(
        pilot, keeper_plus="Ana, Ben, Cleo", school_days="monday to friday", term="2026-09-07 to 2026-12-18",
        jobs="check, feed, tidy friday",
    )  # fmt: skip


@sized
async def test_turns_are_set_up_and_the_first_row_asks_who(school: Session, size: tuple[int, int]) -> None:
    async with opened(school, size) as pilot:
        await with_turns(pilot)
        await comes(pilot, "check Ana · Ben looks, does not feed")
        await pilot.press("c")
        await at(pilot, CheckForm)
        await until(pilot, lambda: "Ana" in text_of(pilot), "today's child is offered")
        await pilot.press("3", "tab", "e", "enter")  # a figure is for the row below
        await at(pilot, BinScreen)
        # The one before is not taken silently: Ana has checked, nobody else has the turn.
        await pilot.press("c")
        await at(pilot, CheckForm)
        await comes(pilot, "first letters of a name")
        await pilot.press("4", "enter")
        await comes(pilot, "Who is it?")
        await pilot.press("shift+tab", "shift+tab")  # back to the first row
        await types(pilot, "cl")
        await pilot.press("enter")
        await at(pilot, BinScreen)
        await pilot.press("f")
        await at(pilot, FeedForm)
        await until(pilot, lambda: "Ben" in text_of(pilot), "today's child is offered")
        await pilot.press("enter")
        await types(pilot, "100 g apple")
        await pilot.press("enter", "enter")
        await at(pilot, BinScreen)
    signed = [(type(each.what), each.by) for each in log_of(school, BIN)][-3:]
    assert signed == [(Check, "Ana"), (Check, "Cleo"), (Feeding, "Ben")]


@pytest.mark.more
@sized
async def test_who_is_away_or_swaps_changes_the_day_and_the_page_on_the_wall(
    school: Session, size: tuple[int, int], tmp_path: Path
) -> None:
    holidays = tmp_path / "holidays.ics"
    calendar = icalendar.Calendar()
    event = icalendar.Event()
    event.add("summary", "Fair, with cakes")
    event.add("dtstart", date(2026, 9, 15))
    event.add("dtend", date(2026, 9, 17))
    calendar.add_component(event)
    holidays.write_bytes(calendar.to_ical())
    async with opened(school, size) as pilot:
        await with_turns(pilot)
        await settles(pilot, pupil_away="an: today", swap="2026-09-08: ben for an", holidays=str(holidays))
        await comes(pilot, "check Ben · Cleo looks, does not feed")
        await pilot.press("R")
        await at(pilot, TurnsScreen)
        await comes(pilot, "Turns, September 2026")
        lines = text_of(pilot).splitlines()
        day = {number: next((line for line in lines if f" {number} " in line and ("Mon" in line or "Tue" in line)), "")
               for number in (7, 8, 15)}  # fmt: skip
        assert "Ben" in day[7]
        assert "Cleo" in day[7]
        assert "away: Ana" in day[7]
        assert "Ben" in day[8]
        assert "Ana" not in day[8]
        assert "to Wed 16: Fair, with cakes" in day[15]
        await pilot.press("right")
        await comes(pilot, "Turns, October 2026")
        await pilot.press("s")
        await types(pilot, "2026-10-01: ana instead of nobody")
        await pilot.press("enter")
        await comes(pilot, "one of Ana, Ben, Cleo")
        await pilot.press("escape", "left")
        await comes(pilot, "Turns, September 2026")
        await pilot.press("a")
        await types(pilot, "cleo: 2026-09-09")
        await pilot.press("enter")
        await comes(pilot, "away: Cleo")
        await pilot.press("escape")
    later = Session(school.folder, clock=lambda: MONDAY)
    assert "turns: check Ben; Cleo looks, does not feed" in "\n".join(rounds.sheet(later, BIN))
    assert rounds.view(later).turns == "check Ben · Cleo looks, does not feed"
    file = icalendar.Calendar.from_ical(turns.calendar(later, "2026-09"))
    events = {each.decoded("DTSTART"): str(each["SUMMARY"]) for each in file.walk("VEVENT")}
    assert events[date(2026, 9, 7)] == "Worm bin: check Ben, feed Cleo"
    assert not {date(2026, 9, 15), date(2026, 9, 16), date(2026, 9, 12)} & set(events)
    assert len(events) == 16  # school days from the 7th to the 30th, less the two of the fair
    round_file = icalendar.Calendar.from_ical(rounds.calendar(later, days=10))
    assert any("Turns: check" in str(each.get("DESCRIPTION")) for each in round_file.walk("VEVENT"))


@pytest.mark.more
@sized
async def test_every_child_of_today_finds_its_name(school: Session, size: tuple[int, int]) -> None:
    names = "Ana, Ben, Cleo, Dora, Emil, Finn, Gita, Hugo, Ida, Jon, Kim, Lya"
    async with opened(school, size) as pilot:
        await with_turns(pilot)
        await settles(pilot, keeper_plus=names.removeprefix("Ana, Ben, Cleo, "), pupil_away="finn: today")
        await pilot.press("C")
        await at(pilot, PupilCheck)
        seen: set[str] = set()
        for last, more in (("Dora", "5"), ("Ida", "5"), ("Lya", "4")):
            await comes(pilot, last)
            await comes(pilot, "more")
            seen |= {name for name in names.split(", ") if shows(pilot, name)}
            await pilot.press(more)
        assert seen == {*names.split(", ")} - {"Finn"}
        await comes(pilot, "Dora")  # round to the first again
        await pilot.press("f")  # who is marked away and came all the same
        await comes(pilot, "Finn")
        await pilot.press("1", "3")
        await comes(pilot, "smell")  # nothing was fed yet: nobody is asked what is left of it
        await pilot.press("space", "space")
        await comes(pilot, "wash hands")
    assert log_of(school, BIN)[-1].by == "Finn"


@sized
async def test_a_pupil_checks_by_four_figures_and_the_next_one_may_come(school: Session, size: tuple[int, int]) -> None:
    async with opened(school, size) as pilot:
        await with_turns(pilot)
        record_feeding(school, BIN, ["450 g kale"], heading=Heading(by="Ben"), anyway=True)
        await pilot.press("C")
        await at(pilot, PupilCheck)
        await comes(pilot, "who are you?")
        assert text_of(pilot).index("Ana") < text_of(pilot).index("Ben")  # whose turn it is stands first
        await pilot.press("1")
        await comes(pilot, "Squeeze")
        for key, following in (("4", "How much food"), ("space", "smell"), ("2", "animals")):
            await pilot.press(key)
            await comes(pilot, following)
        await pilot.press("backspace")
        await comes(pilot, "smell")
        await pilot.press("1", "4")
        await comes(pilot, "wash hands")
        await pilot.press("1")
        await comes(pilot, "who are you?")
        await pilot.press("c")  # Cleo, by her first letter
        await until(pilot, lambda: "Ben" not in text_of(pilot), "only who begins so")
        await pilot.press("1")
        await comes(pilot, "Squeeze")
        await pilot.click("#tiles > Choice:last-child")
        await comes(pilot, "How much food")
        await pilot.press("space", "space", "space")
        await comes(pilot, "wash hands")
        await pilot.press("escape")
        await at(pilot, BinScreen)
    first, second = log_of(school, BIN)[-2:]
    assert first.by == "Ana"
    assert first.what == Check(squeeze=Squeeze.DRIPPING, smell="earthy", seen=("worms climbing",))
    assert second.by == "Cleo"
    assert second.what == Check(squeeze=Squeeze.DRIPPING)


@pytest.mark.more
async def test_what_can_hardly_be_is_asked_by_two_pictures(school: Session) -> None:
    async with opened(school) as pilot:
        await with_turns(pilot)
        record_feeding(school, BIN, ["450 g kale"], anyway=True)
        for who in ("Ana", "Ben", "Cleo"):
            write(school, BIN, Kind.CHECK, {"left": "0%"}, Heading(by=who))
        before = log_of(school, BIN)
        await pilot.press("C")
        await at(pilot, PupilCheck)
        await comes(pilot, "who are you?")
        await pilot.press("1", "2", "4")  # all of the feed is left, and three others saw none of it
        await comes(pilot, "smell")
        await pilot.press("1", "1")
        await comes(pilot, "100% stands far off the 3 others")
        assert log_of(school, BIN) == before
        await pilot.press("2")
        await comes(pilot, "Squeeze")
        await pilot.press("3", "space", "1", "1")
        await comes(pilot, "wash hands")
    (line,) = added(before, log_of(school, BIN))
    assert line.what == Check(squeeze=Squeeze.SPONGE, smell="earthy")


@sized
async def test_the_wall_shows_the_day_and_renews_itself(school: Session, size: tuple[int, int]) -> None:
    async with opened(school, size) as pilot:
        await with_turns(pilot)
        await pilot.press("P")
        await at(pilot, WallScreen)
        await comes(pilot, "check Ana")
        await until(pilot, lambda: "█" in text_of(pilot), "█")
        await comes(pilot, "next: feed")
        elsewhere = Session(school.folder, clock=lambda: MONDAY)
        change_setting(elsewhere, "pupil-away", "Ana: today")
        write(elsewhere, BIN, Kind.CHECK, {"squeeze": "dripping"}, Heading(by="Ben"))
        await comes(pilot, "check Ben")
        await comes(pilot, "checked today")
        await pilot.press("x", "c", "enter")  # it asks for nothing, and no key does anything
        assert type(pilot.app.screen) is WallScreen
        await pilot.press("escape")
        await at(pilot, BinScreen)


async def test_the_wall_hides_drawing_level_and_steps_until_the_guess_of_the_day(school: Session) -> None:
    async with opened(school) as pilot:
        await begun(pilot)
        await settles(pilot, guess_first="yes")
        await pilot.press("P")
        await at(pilot, WallScreen)
        await comes(pilot, "guess first, then look")
        cut = pilot.app.screen.query_one("#wall-cut")
        assert not cut.display
        assert not shows(pilot, "What to do")
        assert not shows(pilot, "steady")
        write(Session(school.folder, clock=lambda: MONDAY), BIN, Kind.GUESS, {"moisture": "70"}, Heading(by="Ana"))
        await until(pilot, lambda: cut.display, "the drawing")


@sized
async def test_a_guess_comes_before_the_number_and_stands_beside_what_came(
    school: Session, size: tuple[int, int]
) -> None:
    async with opened(school, size) as pilot:
        await begun(pilot)
        await settles(pilot, keeper_plus="Ana, Ben", guess_first="yes")
    async with opened(Session(school.folder, clock=lambda: MONDAY), size) as pilot:
        await at(pilot, WriteForm)
        behind = next(each for each in pilot.app.screen_stack if type(each) is BinScreen)
        assert behind.view is None  # no figure is known to the screen, let alone shown
        assert not shows(pilot, "77%")
        await types(pilot, "be")
        await pilot.press("enter")
        await types(pilot, "60")
        await pilot.press("enter")
        await types(pilot, "800 worms")
        await pilot.press("enter")
        await types(pilot, "in 90 days")
        await pilot.press("enter")
        await at(pilot, BinScreen)
        await until(pilot, lambda: behind.view is not None, "now the figures come")
        await pilot.press("c")
        await at(pilot, CheckForm)
        for _ in range(6):
            await pilot.press("tab")
        await types(pilot, "80")
        await pilot.press("enter")
        await at(pilot, BinScreen)
        await pilot.press("G")
        await at(pilot, ReadingScreen)
        await comes(pilot, "the guesses (discs)")
        await pilot.press("end")
        await comes(pilot, "20 points under")
        await comes(pilot, "not yet")
        await comes(pilot, "Ben")
    guess = next(each for each in log_of(school, BIN) if isinstance(each.what, Guess))
    assert guess.by == "Ben"
    assert isinstance(guess.what, Guess)
    assert (guess.what.moisture, guess.what.harvest) == (0.6, date(2026, 12, 6))
    assert guess.what.worms_kg == pytest.approx(800 * WORM_KG)


@sized
async def test_readings_of_many_are_put_together_and_the_odd_one_is_asked_about(
    school: Session, size: tuple[int, int]
) -> None:
    async with opened(school, size) as pilot:
        await begun(pilot)
        await settles(pilot, keeper_plus="Ana, Ben, Cleo, Dan")
        for name, percent in (("an", "76"), ("be", "80"), ("cl", "78"), ("da", "30")):
            await pilot.press("c")
            await at(pilot, CheckForm)
            await types(pilot, name)
            for _ in range(6):
                await pilot.press("tab")
            await types(pilot, percent)
            await pilot.press("enter")
            if name == "da":
                await comes(pilot, "30% stands far off the 3 others of that day, about 78%")
                await pilot.press("enter")
            await at(pilot, BinScreen)
        await comes(pilot, "mean 78% (76, 80, 78: Ana, Ben,")
        await pilot.press("M")
        await at(pilot, ReadingScreen)
        await comes(pilot, "78% ± 2 points")
        await until(pilot, lambda: "?" in text_of(pilot), "?")


@pytest.mark.more
@sized
async def test_two_weeks_before_the_summer_the_plan_stands_in_round_sheet_and_calendar(
    school: Session, size: tuple[int, int]
) -> None:
    async with opened(school, size) as pilot:
        await with_turns(pilot)
        await pilot.press("e", "k")
        await at(pilot, WriteForm)
        await types(pilot, "400 g")
        await pilot.press(*["enter"] * 4)
        await at(pilot, BinScreen)
        # Monday the 21st to the end of October: the last school day before it is Friday the 18th.
        await settles(pilot, away="2026-09-21 to 2026-10-31: long holidays")
        await comes(pilot, "away from 21 September")
        await pilot.press("d")
        await at(pilot, ReadingScreen)
        await comes(pilot, "away from 21 September to 31 October")
        await comes(pilot, "hand-over")
    later = Session(school.folder, clock=lambda: datetime(2026, 9, 18, 9, 0, tzinfo=UTC))
    (row,) = rounds.view(later).rows
    found = next(each for each in row.findings if each.code == "away-ahead")
    assert any("hand-over" in step for step in found.do)
    assert set(found.do) & set(row.do)  # it is the last school day: now it is what to do
    text = " ".join(line.strip() for line in rounds.sheet(later, BIN))
    assert "before you leave: " in text
    assert found.do[0].split()[0] in text
    file = icalendar.Calendar.from_ical(rounds.calendar(later, days=60))
    events = {str(each["SUMMARY"]): each.decoded("DTSTART") for each in file.walk("VEVENT")}
    assert events["Room 5: before you leave until 31 October"] == date(2026, 9, 18)
    assert events["Room 5: back, look first"] == date(2026, 11, 1)
    back = Session(school.folder, clock=lambda: datetime(2026, 11, 2, 9, 0, tzinfo=UTC))
    (row,) = rounds.view(back).rows
    assert "write a check" in row.do[0]


@pytest.mark.more
async def test_a_name_that_tells_more_is_asked_about_and_kept_when_said_again(school: Session) -> None:
    async with opened(school) as pilot:
        await begun(pilot)
        await pilot.press("comma")
        await at(pilot, SettingsScreen)
        await pilot.press(*["down"] * [row[0] for row in ROWS].index("keeper+"), "enter")
        for words, asked in (
            ("ana@school.example", "looks like an e-mail"),
            ("0170 1234567", "looks like a telephone number"),
            ("Ana and Ben", "looks like two names"),
        ):
            await pilot.press("ctrl+u")
            await types(pilot, words)
            await pilot.press("enter")
            await comes(pilot, asked)
        assert school.farm().keepers == ()
        await pilot.press("enter")
        await until(pilot, lambda: school.farm().keepers == ("Ana and Ben",), "kept")
        assert not shows(pilot, "looks like")


async def test_a_number_opens_down_to_the_line_and_the_table_in_three_voices(school: Session, tmp_path: Path) -> None:
    async with opened(school) as pilot:
        await begun(pilot)
        record_feeding(school, BIN, ["450 g kale"], heading=Heading(by="Ana"), anyway=True)
        await pilot.press("o")
        await comes(pilot, "Every number of this bin")
        await pilot.press(*["down"] * 7, "enter")
        await at(pilot, SumsScreen)
        await comes(pilot, "C:N of what is uneaten: about")
        for words in ("Carbon: about", "carbon of shredded", "the part of it that is dry"):
            await pilot.press("enter")
            await comes(pilot, words)
            for _ in range(4):
                if words == "carbon of shredded" and "▸ › carbon of kale" not in text_of(pilot):
                    await pilot.press("down")
        await pilot.press("v")
        await comes(pilot, "450 g × 15.96% × 4")
        await pilot.press("v")
        await comes(pilot, "a line of the log: “450 g”")
        await pilot.press("down", "right", "enter")
        await comes(pilot, "row Kale")
        await pilot.press("left", "left")
        await comes(pilot, "a line of the log: “450 g”")
        await pilot.press("p", "ctrl+u")
        await types(pilot, str(tmp_path / "kale.html"))
        await pilot.press("enter")
        await comes(pilot, "Written: ")
    page = (tmp_path / "kale.html").read_text(encoding="utf-8")
    assert page.index("450 g × ________ × 4") < page.index("Solution") < page.index("450 g × 15.96% × 4")
