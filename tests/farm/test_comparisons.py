"""Bins held against each other through the command line: begun, looked at, struck, merged; what one keeps to."""

from __future__ import annotations

import json
from datetime import date, datetime, timedelta
from math import hypot
from pathlib import Path
from statistics import fmean

import pytest

from tests.cli.running import Ran, run
from tests.farm.a_farm import HERE, made_once
from tests.worlds.classroom import COMPARED, KEEPS_TO
from tests.worlds.write import bins_of
from wormbin.farm.comparisons import compare
from wormbin.farm.comparisons.told import can_be_told, difference_words, signed_words, span_words
from wormbin.farm.heading import Heading
from wormbin.farm.recording.lines import write
from wormbin.farm.samples import copy_sample
from wormbin.farm.session import Session
from wormbin.farm.views.comparison import Verdict
from wormbin.figures import Band
from wormbin.records.entries import Kind

BOX = ("--length", "60cm", "--width", "40cm", "--depth", "30cm", "--worms", "500 g", "--yes")
FIRST = date(2026, 3, 2)
END = FIRST + timedelta(weeks=10)


def at(day: date) -> datetime:
    return datetime(day.year, day.month, day.day, 18, 0, tzinfo=HERE)


def does(store: Path, *words: str, day: date = END) -> Ran:
    ran = run(store, *words, now=at(day))
    assert ran.code == 0, ran.err
    return ran


def words_of(store: Path, *words: str, day: date = date(2026, 8, 1)) -> str:
    return " ".join(does(store, *words, day=day).out.split())


@pytest.fixture
def school(tmp_path: Path) -> Path:
    _school(tmp_path)
    return tmp_path


@made_once
def _school(folder: Path) -> None:
    """Two bins begun alike but for their bedding, and a comparison of ten weeks."""
    does(folder, "start", "paper", *BOX, "--beddings", "newspaper", day=FIRST)
    does(folder, "start", "leaves", *BOX, "--beddings", "dry leaves", day=FIRST)
    does(
        folder, "comparison", "paper", "leaves", "--question", "does paper beat leaves?", "--about", "worked",
        "--until", END.isoformat(), "--same", "feed, water", day=FIRST,
    )  # fmt: skip


def read_for(store: Path, weeks: int, paper: tuple[int, ...], leaves: tuple[int, ...]) -> None:
    """A check of what is left in both bins every week."""
    farm = Session(store, clock=lambda: at(END))
    for week in range(weeks):
        day = FIRST + timedelta(days=7 * week + 3)
        fed = Heading(when=f"{day - timedelta(days=3)}")
        for key, left in (("paper", paper), ("leaves", leaves)):
            write(farm, key, Kind.FEEDING, {"bucket": "300 g melon rind"}, fed)
            write(farm, key, Kind.CHECK, {"left": f"{left[week % len(left)]}%"}, Heading(when=f"{day}"))


def view(store: Path, *words: str, day: date = END) -> dict[str, object]:
    said: dict[str, object] = json.loads(does(store, "compare", *words, "--json", day=day).out)
    return said


def test_each_bin_gets_its_own_bedding_first_and_in_advice(school: Path) -> None:
    log = does(school, "log", "leaves").out
    assert "dry autumn leaves" in log
    assert "cardboard" not in log
    assert "newspaper" in does(school, "log", "paper").out
    does(school, "check", "leaves", "--squeeze", "dripping", "--moisture", "92", "--yes", "--when", "2026-03-06")
    does(school, "check", "leaves", "--squeeze", "dripping", "--moisture", "92", "--yes", "--when", "2026-03-07")
    told = " ".join(does(school, "outlook", "leaves", "--on", "2026-03-07").out.split())
    assert "dry autumn leaves" in told
    assert "newspaper" not in told
    assert "cardboard" not in told


def test_what_a_bin_does_not_keep_to_is_asked_about(school: Path) -> None:
    held = run(school, "bedding", "leaves", "100 g newspaper", now=at(END))
    assert held.code == 1
    assert "leaves keeps to dry-leaves; this is newspaper" in held.err
    does(school, "bedding", "leaves", "100 g dry leaves")


def test_a_clear_difference_is_more_than_noise_and_told_which_way(school: Path) -> None:
    read_for(school, 10, (10, 20, 10), (60, 50, 70))
    said = view(school)
    assert said["verdict"] == "more than noise"
    assert str(said["answer"]).startswith("More than noise: paper had 4")
    assert "less of its last feeding left than leaves" in str(said["answer"])
    page = " ".join(does(school, "compare").out.split())
    assert "does paper beat leaves?" in page
    assert "One bin of each is one pair" in page
    assert "trust a difference 4.3 times as large as that chance gap" in page, (
        "t(0.975, 2) sqrt(2/2): two of each (any table of Student's t)"
    )
    assert "2.3 times as large" in page, "t(0.975, 4) sqrt(2/3)"


def test_alike_bins_are_not_called_different_and_few_weeks_say_not_yet(school: Path) -> None:
    early = view(school, day=FIRST + timedelta(weeks=2))
    assert early["verdict"] == "not yet"
    assert "6 more weeks" in str(early["answer"])
    read_for(school, 10, (20, 50, 30), (50, 20, 30))
    assert view(school)["verdict"] != "more than noise"


def test_the_answer_says_which_readings_count_how_many_do_and_when_the_end_is_too_near(school: Path) -> None:
    for key in ("paper", "leaves"):
        does(school, "check", key, "--moisture", "78", "--yes", "--when", "2026-03-05")
    said = str(view(school, day=FIRST + timedelta(days=4))["answer"])
    assert "about 6 more weeks are needed" in said
    assert said.endswith("What counts is what is left of a feeding (--left), read in both: 0 weeks so far.")
    read_for(school, 1, (20,), (50,))
    entry = str(view(school)["entry"])
    said = str(view(school, day=END - timedelta(days=18))["answer"])
    assert "about 5 more weeks are needed" in said
    assert "1 week so far. Its end is in 18 days: set a later one with wormbin amend" in said
    does(school, *said.rstrip(".").split("wormbin ")[1].split())
    assert view(school)["until"] == (END - timedelta(days=18) + timedelta(weeks=5)).isoformat(), entry
    assert "set a later one" not in str(view(school, day=END - timedelta(days=18))["answer"])


@pytest.mark.more
def test_an_estimate_wider_than_its_figure_is_no_number_and_no_chart(school: Path) -> None:
    """Ten weeks without a line: worms of many kilograms would be within the band."""
    page = does(school, "compare").out
    assert "worms not enough - cannot be said yet" in " ".join(page.split())
    assert not any(line.strip() == "worms" for line in page.splitlines()), "no chart of it"
    early = does(school, "compare", day=FIRST + timedelta(days=3)).out
    assert any(line.strip() == "depth" for line in early.splitlines()), "just filled: told, with its chart"
    does(school, "report", "paper", "leaves", "--out", str(school / "two.html"))


@pytest.mark.parametrize(
    ("half", "usual", "unit", "told"),
    [
        (0.9, 1.0, "kg", True), (1.1, 1.0, "kg", False), (0.49, 0.1, "fraction", True), (0.51, 0.9, "fraction", False),
        (12.0, 1.0, "degC", True),
    ],
)  # fmt: skip
def test_what_is_too_wide_to_be_told(half: float, usual: float, unit: str, told: bool) -> None:
    assert can_be_told(Band(-half, 0.0, half), usual, unit) is told


@pytest.mark.more
def test_it_is_a_line_of_the_log_that_can_be_struck_and_put_right(school: Path) -> None:
    log = " ".join(does(school, "log", "paper").out.split())
    assert "compared with leaves by worked until 2026-05-11, the same: feed, water: does paper beat leaves?" in log
    entry = str(view(school)["entry"])
    does(school, "amend", entry, "--until", "2026-06-30")
    assert "2026-06-30" in does(school, "log", "paper").out
    assert view(school)["until"] == "2026-06-30"
    does(school, "undo")
    assert view(school)["until"] == END.isoformat()
    does(school, "undo")
    assert view(school)["entry"] is None


@pytest.mark.parametrize(
    ("words", "problem"),
    [
        (("paper", "paper", "--question", "a?", "--about", "depth", "--until", "2026-06-01"), "other bins than paper"),
        (("paper", "leaves", "--question", "", "--about", "depth", "--until", "2026-06-01"), "question"),
        (("paper", "leaves", "--question", "a?", "--about", "weather", "--until", "2026-06-01"), "one of"),
        (("paper", "leaves", "--question", "a?", "--about", "depth", "--until", "2026-05-11"), "a day after its first"),
        (("paper", "attic", "--question", "a?", "--about", "depth", "--until", "2026-06-01"), "attic"),
    ],
)
def test_what_cannot_be_compared_is_refused(school: Path, words: tuple[str, ...], problem: str) -> None:
    ran = run(school, "comparison", *words, now=at(END))
    assert ran.code == 2
    assert problem in ran.err


@pytest.mark.more
def test_it_goes_out_and_in_and_over_to_another_copy(school: Path, tmp_path: Path) -> None:
    does(school, "export", str(tmp_path / "files"))
    other = tmp_path / "other"
    does(other, "import", str(tmp_path / "files"))
    assert view(other)["entry"] == view(school)["entry"]
    bins = (tmp_path / "files" / "bins.csv").read_text("utf-8")
    assert "dry-leaves" in bins
    third = tmp_path / "third"
    does(third, "store", "merge", str(school))
    assert view(third)["question"] == "does paper beat leaves?"


def test_two_beds_as_they_were_proposed_are_alike_and_the_report_of_one_says_what_is_asked(
    school: Path, tmp_path: Path
) -> None:
    page = words_of(school, "compare", "paper", "leaves", day=FIRST + timedelta(days=1))
    assert "at the start" not in page
    does(school, "report", "paper", "--out", str(tmp_path / "r.html"), day=FIRST + timedelta(days=1))
    assert "does paper beat leaves? (with leaves)" in (tmp_path / "r.html").read_text("utf-8")


@pytest.mark.parametrize(("weeks", "code"), [(5, 1), (6, 0)])
def test_a_comparison_too_short_to_tell_is_asked_about_before_it_is_written(
    school: Path, weeks: int, code: int
) -> None:
    until = (END + timedelta(weeks=weeks)).isoformat()
    words = ("comparison", "paper", "leaves", "--question", "again?", "--about", "depth", "--until", until)
    ran = run(school, *words, now=at(END))
    assert ran.code == code
    assert ("6 weeks of readings are the least" in " ".join(ran.err.split())) == bool(code)


def test_bins_of_today_are_side_by_side_from_tomorrow_on(tmp_path: Path) -> None:
    for name in ("one", "two"):
        does(tmp_path, "start", name, *BOX, day=FIRST)
    ran = run(tmp_path, "compare", now=at(FIRST))
    assert (ran.code, "on: come back the day after" in " ".join(ran.err.split())) == (2, True), ran.err
    does(tmp_path, "compare", day=FIRST + timedelta(days=1))


def test_unequal_starts_are_named_and_equal_ones_proposed(tmp_path: Path) -> None:
    does(tmp_path, "start", "one", *BOX, "--drainage", "yes", day=FIRST)
    does(tmp_path, "start", "two", *BOX[:-2], "250 g", "--yes", "--drainage", "no", day=FIRST)
    page = " ".join(does(tmp_path, "compare", "one", "two", day=FIRST + timedelta(days=20)).out.split())
    assert "worms put in at the start: 500 g in one, 250 g in two" in page
    assert "holes in the base: yes in one, no in two" in page
    assert "To begin a comparison, start alike" in page


@pytest.mark.parametrize(
    ("value", "unit", "units", "words"),
    [
        (0.083, "fraction", "metric", "8.3 points"), (-0.12, "fraction", "us", "12 points"),
        (1.5, "degC", "metric", "1.5 °C"), (1.5, "degC", "us", "2.7 °F"), (0.02, "m", "metric", "2.0 cm"),
        (0.3, "kg", "metric", "300 g"), (1.2, "kg", "metric", "1.2 kg"), (0.45359237, "kg", "us", "1.0 lb"),
    ],
)  # fmt: skip
def test_a_difference_is_told_in_its_own_measure(value: float, unit: str, units: str, words: str) -> None:
    """Of degrees only the step counts: 1.5 K are 2.7 degF, and no 34.7."""
    assert difference_words(value, unit, units) == words


def test_the_ends_of_an_interval_carry_their_signs() -> None:
    assert span_words(0.02, 0.14, "fraction", "metric") == "2 to 14 points"
    assert span_words(-0.14, -0.02, "fraction", "metric") == "2 to 14 points"
    assert span_words(-0.03, 0.09, "fraction", "metric") == "3.0 points less to 9.0 more"
    assert signed_words(-0.0001, -0.03, 0.03, "fraction", "metric") == "+0.0 points (-3.0 to +3.0)"


def test_a_harvest_while_bins_are_compared_says_so_in_both_and_after_it_in_none(tmp_path: Path) -> None:
    copy_sample("classroom", tmp_path)  # its only line of it stands in the log of paper
    said = "in a comparison until 19 June: wait, or harvest both on one day and weigh"
    for key in KEEPS_TO:
        during, after = (words_of(tmp_path, "outlook", key, "--on", f"2026-06-{day}") for day in (10, 20))
        assert f"mind: {said}" in during
        assert "harvest is" in after
        assert "in a comparison" not in after
    steps = words_of(tmp_path, "harvests", "--on", "2026-06-10")
    assert steps.count(said) == 4, "the first step and the harvest of each"


def test_what_the_sample_class_finds_is_borne_out_by_its_made_up_truth(tmp_path: Path) -> None:
    """Paper beats leaves: truly worked at a faster pace with less waiting, in boxes that differ by bedding alone."""
    paper, leaves = (next(made.truth for made in bins_of("classroom") if made.truth.bin == key) for key in KEEPS_TO)
    days = [(mine, theirs) for mine, theirs in zip(paper.days, leaves.days, strict=True)
            if COMPARED[0] <= mine.on <= COMPARED[1]]  # fmt: skip
    assert fmean(mine.rate for mine, _ in days) > 1.3 * fmean(theirs.rate for _, theirs in days)
    assert fmean(mine.feed_waiting_kg for mine, _ in days) < 0.85 * fmean(theirs.feed_waiting_kg for _, theirs in days)
    sample = copy_sample("classroom", tmp_path / "store")
    view = compare(sample.session())
    assert view.question == "does paper beat leaves?"
    assert view.verdict is Verdict.MORE
    assert "Paper bin had 18 points less of its last feeding left than Leaf bin" in view.answer
    assert not any("holes" in words for words in view.unequal)
    made = view.differences[0].made
    true_kg = sum(mine.worked_kg_day - theirs.worked_kg_day for mine, theirs in days)
    assert made.p10 < true_kg < made.p90, "and the worked-out difference holds the true one"


def test_what_the_model_has_wrong_for_both_bins_falls_out_of_the_worked_out_difference(school: Path) -> None:
    """Two bins alike: the gap lies nearer to nought than two bands that know nothing of each other would have it."""
    read_for(school, 4, (20,), (20,))
    seen = compare(Session(school, clock=lambda: at(END)), ("paper", "leaves"))
    worked = seen.differences[0]
    mine, theirs = (side.past[-1].band for side in worked.charts)
    wide = 1.95996 / 1.28155 * hypot(mine.p50 - mine.p10, theirs.p90 - theirs.p50)
    assert 0.3 * wide < worked.made.p50 - worked.made.p10 < 0.98 * wide
