"""Whose turn it is, by the words of a command: set up, asked, said."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from tests.cli.running import run
from tests.farm.a_farm import open_farm
from wormbin.farm import turns
from wormbin.farm.errors import DoubtedError
from wormbin.farm.settings import add_keeper, change_setting, setting_words
from wormbin.farm.words.names import name_doubt
from wormbin.problems import RefusedError
from wormbin.records.farms import Job


@pytest.mark.parametrize("name", ["Ana", "B.", "Eva F.", "M-L", "J. R.", "Zoë", "Ana 2"])
def test_a_first_name_or_initials_are_taken_as_they_are(name: str) -> None:
    assert name_doubt(name) == ""


@pytest.mark.parametrize(
    ("name", "asked"),
    [
        ("a@b.org", "e-mail"),
        ("12345", "telephone"),
        ("Ana & Ben", "two names"),
        ("Ana Miller", "two names"),
        ("Oven", "an instrument, not who writes"),
    ],
)
def test_what_tells_more_is_asked_about(name: str, asked: str) -> None:
    assert asked in name_doubt(name)
    assert name_doubt("1234") == ""


def test_first_letters_are_a_name_when_only_one_begins_so(tmp_path: Path) -> None:
    farm = open_farm(tmp_path)
    add_keeper(farm, "Ana, Anton, Ben")
    assert turns.signer(farm, "b", ask=True) == "Ben"
    assert turns.signer(farm, "ANA", ask=True) == "Ana"
    assert turns.signer(farm, "", ask=True) == ""  # nobody takes turns here
    with pytest.raises(RefusedError, match="Ana or Anton"):
        turns.signer(farm, "an", ask=True)
    with pytest.raises(DoubtedError, match="on no list"):
        turns.signer(farm, "Zoe", ask=True)
    assert turns.signer(farm, "Zoe") == "Zoe"
    change_setting(farm, "school-days", "daily")
    with pytest.raises(DoubtedError, match="Who is it"):
        turns.signer(farm, "", ask=True)


def test_the_words_of_a_rota_are_read_back_as_they_are_said(tmp_path: Path) -> None:
    farm = open_farm(tmp_path)
    said = {
        "school-days": "monday, tuesday, wednesday, thursday, friday",
        "term": "2026-06-01 to 2026-07-24",
        "jobs": "feed, check monday thursday, tidy friday",
        "together": "2",
        "half-days": "wednesday, 2026-07-24",
        "pupil-away": "Ana: 2026-06-01; Ben: 2026-06-08 to 2026-06-10",
        "swap": "2026-06-03: Ana instead of Ben",
    }
    change_setting(farm, "school-days", "mon-fri")
    change_setting(farm, "pupil-away", "Ben: 2026-06-08 to 2026-06-10")
    change_setting(farm, "pupil-away", "Ana: today")
    for name in ("term", "jobs", "together", "half-days", "swap"):
        change_setting(farm, name, said[name])
    assert {name: setting_words(farm)[name] for name in said} == said
    assert farm.farm().settings.turns.jobs == (Job("feed"), Job("check", ("MO", "TH")), Job("tidy", ("FR",)))
    change_setting(farm, "jobs", "check monday, wednesday; feed")
    assert farm.farm().settings.turns.jobs == (Job("check", ("MO", "WE")), Job("feed"))
    for name, words in (
        ("jobs", "sing"),
        ("together", "5"),
        ("together", "0"),
        ("swap", "ana ben"),
        ("term", "x to y"),
    ):
        with pytest.raises(RefusedError):
            change_setting(farm, name, words)


def test_who_comes_later_joins_from_that_day(tmp_path: Path) -> None:
    farm = open_farm(tmp_path)
    add_keeper(farm, "Ana, Ben")
    change_setting(farm, "school-days", "daily")
    change_setting(farm, "term", "2026-05-04 to 2026-07-24")
    add_keeper(farm, "Cleo")
    assert farm.farm().settings.turns.joined == {"Cleo": date(2026, 6, 1)}
    found = turns.duties(farm, date(2026, 5, 4), date(2026, 6, 10))
    first = next(duty.on for duty in found if "Cleo" in duty.names)
    assert date(2026, 6, 1) <= first <= date(2026, 6, 3)


def test_the_command_prints_takes_holidays_and_holds_back_a_doubtful_name(tmp_path: Path) -> None:
    store = tmp_path / "store"
    assert run(store, "keepers", "--add", "Ana and Ben").code == 1
    assert run(store, "keepers", "--add", "Ana, Ben").code == 0
    assert "No rota yet" in run(store, "turns").out
    assert run(store, "settings", "school-days", "monday to friday").code == 0
    file = tmp_path / "h.ics"
    file.write_text(
        "BEGIN:VCALENDAR\nBEGIN:VEVENT\nDTSTART;VALUE=DATE:20260604\nSUMMARY:Feast\nEND:VEVENT\nEND:VCALENDAR\n"
    )
    assert (
        "would be added: 2026-06-04 Feast"
        in (tried := run(store, "turns", "--holidays", str(file), "--try")).out + tried.err
    )
    assert "Feast" not in run(store, "turns").out
    assert run(store, "turns", "--holidays", str(file)).code == 0
    assert "Feast" in run(store, "turns").out
    assert "0 holidays added" in (again := run(store, "turns", "--holidays", str(file))).out + again.err
    missing = run(store, "turns", "--holidays", str(tmp_path / "none.ics"))
    assert missing.code == 2
    assert "no such file" in missing.err
    refused = run(store, "turns", "--swap", "2026-06-04: Ana for Ben")
    assert refused.code == 2
    assert "nobody has one" in refused.err


def test_a_list_that_grew_tells_nothing_of_the_days_before_it(tmp_path: Path) -> None:
    store = tmp_path / "store"
    run(store, "keepers", "--add", "Ana")
    run(store, "settings", "school-days", "daily")
    run(store, "settings", "term", "2026-05-04 to 2026-07-24")
    run(store, "keepers", "--add", "Ben, Cleo")
    may, july = datetime(2026, 5, 20, tzinfo=UTC), datetime(2026, 7, 14, 9, 0, tzinfo=UTC)
    assert "Wed 20" in run(store, "turns", now=may).out
    told = run(store, "turns", now=july).out
    assert "Mon 13" not in told
    assert "Tue 14" in told
    assert "since" not in told
    assert "over" in run(store, "turns", "--month", "2026-05", now=july).out


def test_a_month_without_turns_says_why(tmp_path: Path) -> None:
    store = tmp_path / "store"
    run(store, "keepers", "--add", "Ana, Ben")
    away = run(store, "turns", "--away", "Ana: tomorrow")
    assert away.code == 2
    assert "school-days" in away.err
    run(store, "settings", "school-days", "daily")
    assert run(store, "turns", "--away", "Ana: tomorrow").code == 0
    run(store, "settings", "term", "2026-06-01 to 2026-12-18")
    assert "The term ends 2026-12-18" in run(store, "turns", "--month", "2027-01").out
    assert "Fri 18" in run(store, "turns", "--month", "2026-12").out
    for month, last in (((), "20261219"), (("--month", "2026-11"), "20261201")):
        run(store, "turns", *month, "--out", str(file := tmp_path / "turns.ics"))
        ends = [line for line in file.read_text("utf-8").splitlines() if line.startswith("DTEND")]
        assert ends[-1].endswith(last), "to the end of the term, or of the month asked for; the end is exclusive"
    run(store, "settings", "term", "2026-07-01 to 2026-12-18")
    assert "turns --month 2026-07" in run(store, "turns").out
    assert "December 2026" in run(store, "turns", "--month", "December").out
    refused = run(store, "turns", "--month", "Yule")
    assert refused.code == 2
    assert "“Yule” does not fit. Write the year and the month in figures, or the name of a month." in refused.err


def test_a_name_like_one_on_the_list_is_asked_about(tmp_path: Path) -> None:
    store = tmp_path / "store"
    run(store, "start", "attic", "--length", "60cm", "--width", "40cm", "--depth", "30cm", "--yes")
    check, feed = ("check", "attic", "--temp", "20C"), ("feed", "attic", "1 g kale")
    run(store, "keepers", "--add", "Lia")
    assert run(store, *check, "--by", "Lya").code == 0, "one name is no list to choose from"
    run(store, "keepers", "--add", "Ben")
    for words in (check, feed):
        held = run(store, *words, "--by", "Lya")
        assert held.code == 1
        assert "Lia is. Keep “Lya”?" in held.err
        assert run(store, *words, "--by", "Lya", "--yes").code == 0
        assert run(store, *words, "--by", "Lia").code == 0
        assert run(store, *words, "--by", "Dora").code == 0, "somebody else"
    held = run(store, "check", "attic", "--moisture", "78%", "--by", "oven")
    assert (held.code, "--moisture-by says what it was read with" in held.err) == (1, True)
