"""Raw readings past a limit, row by row of their table: one, two and three looks, at both sides of every edge."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from rich.cells import cell_len

from tests.advice.cases import BIN, CALM_LOG, SETTINGS, TODAY, a_case, band, entry, fed, looked, piled, stocked
from tests.cli.running import run
from tests.farm.a_farm import kitchen
from wormbin.advice.case import Case
from wormbin.advice.finding import Doing, Finding
from wormbin.advice.judgement import findings, judge
from wormbin.advice.looks import LOOK_BACK_DAYS
from wormbin.advice.rules.sightings import TABLE, sightings
from wormbin.farm import rounds
from wormbin.figures import Band, Level
from wormbin.records.bins import Species
from wormbin.records.entries import Bedding, Entry, MoistureBy, Portion, Squeeze
from wormbin.records.farms import Units

S, W, A = Level.STEADY, Level.WATCH, Level.ACT
HAIR = 1e-6
OLD_FEED = (stocked(), fed(0.8, TODAY - timedelta(days=44)))
"""One feeding so long ago that little of it should be left."""


@dataclass(frozen=True)
class Row:
    """What a row of the table must do: edges, levels of one, two and three looks, and its days."""

    code: str
    quantity: str
    near: float
    far: float
    normal: float
    at_near: tuple[Level, Level, Level]
    at_far: tuple[Level, Level, Level]
    within: int
    speaks: int
    stops_near: bool = False
    stops_far: bool = True
    above: bool = True

    def short_of(self, value: float) -> float:
        return value - HAIR if self.above else value + HAIR

    def past(self, value: float) -> float:
        return value + HAIR if self.above else value - HAIR


ROWS = (
    Row("too-wet", "moisture", 0.87, 0.90, 0.80, (S, W, A), (S, W, A), 10, 3, stops_far=False),
    Row("too-dry", "moisture", 0.67, 0.62, 0.80, (S, W, W), (S, W, A), 10, 3, stops_far=False, above=False),
    Row("too-hot", "temp_c", 28.0, 30.0, 21.0, (S, W, W), (W, A, A), 10, 3),
    Row("too-cold", "temp_c", 8.0, 4.0, 21.0, (S, W, W), (W, A, A), 10, 3, above=False),
    Row("too-sour", "ph", 5.8, 5.0, 7.0, (S, W, W), (W, A, A), 21, 45, above=False),
    Row("too-alkaline", "ph", 8.6, 9.0, 7.0, (S, W, W), (W, A, A), 21, 45),
    Row("left-over", "left", 0.50, 0.80, 0.20, (S, W, W), (W, W, A), 10, 2, stops_near=True),
    Row("full", "contents_m", 0.276, 0.30, 0.18, (S, W, W), (S, W, W), 30, 14, stops_far=False),
)
"""Limits as in ``advice.limits`` for a bin of 30 cm with the common worm, an aim of 75-85 %, and fed twice a week."""
EACH = pytest.mark.parametrize("row", ROWS, ids=lambda row: row.code)


def log(quantity: str, *looks: tuple[int, float], start: tuple[Entry, ...] = OLD_FEED) -> tuple[Entry, ...]:
    """Checks so many days ago with these values, in time order."""
    ordered = sorted(enumerate(looks), key=lambda each: (-each[1][0], each[0]))
    rows = [looked(TODAY - timedelta(days=ago), 7 + n % 12, "", **{quantity: value}) for n, (ago, value) in ordered]
    return (*start, *rows)


def seen(case: Case, code: str) -> Finding | None:
    found = [each for each in sightings(case) if each.code == code]
    assert len(found) <= 1
    return found[0] if found else None


def told(row: Row, *looks: tuple[int, float]) -> Finding | None:
    return seen(a_case(entries=log(row.quantity, *looks)), row.code)


def level(row: Row, *looks: tuple[int, float]) -> Level | None:
    found = told(row, *looks)
    return found.level if found else None


def test_every_row_of_the_table_is_held_here() -> None:
    assert [(row.code, row.quantity) for row in TABLE] == [(row.code, row.quantity) for row in ROWS]


@EACH
def test_one_two_and_three_looks_past_the_first_edge(row: Row) -> None:
    looks = [(0, row.near), (1, row.near), (2, row.near)]
    assert tuple(level(row, *looks[:n]) for n in (1, 2, 3)) == row.at_near
    assert level(row, *looks, (3, row.near)) is row.at_near[2], "a fourth says no more"


@EACH
def test_one_two_and_three_looks_past_the_second_edge(row: Row) -> None:
    looks = [(0, row.far), (1, row.far), (2, row.far)]
    assert tuple(level(row, *looks[:n]) for n in (1, 2, 3)) == row.at_far


@EACH
def test_just_short_of_the_first_edge_nothing_is_said_and_just_short_of_the_second_it_is_the_first(row: Row) -> None:
    short = row.short_of(row.near)
    assert level(row, (0, short), (1, short), (2, short)) is None
    almost = row.short_of(row.far)
    assert tuple(level(row, *[(n, almost) for n in range(count)]) for count in (1, 2, 3)) == row.at_near


@EACH
def test_a_look_that_is_right_breaks_the_row(row: Row) -> None:
    assert level(row, (2, row.far), (1, row.far), (0, row.normal)) is None
    assert level(row, (2, row.far), (1, row.normal), (0, row.far)) is row.at_far[0]


@EACH
def test_looks_too_far_apart_do_not_agree(row: Row) -> None:
    assert level(row, (row.within, row.far), (0, row.far)) is row.at_far[1]
    assert level(row, (row.within + 1, row.far), (0, row.far)) is row.at_far[0]


@EACH
def test_the_newest_look_speaks_for_some_days_and_then_no_more(row: Row) -> None:
    speaks = min(row.speaks, LOOK_BACK_DAYS - 1)
    assert level(row, (speaks, row.far), (speaks + 1, row.far)) is row.at_far[1]
    assert level(row, (row.speaks + 1, row.far), (row.speaks + 2, row.far)) is None


@EACH
def test_one_look_asks_for_another_and_two_say_what_to_do(row: Row) -> None:
    one, two = told(row, (0, row.near)), told(row, (0, row.near), (1, row.near))
    assert one is not None
    assert two is not None
    assert one.what.endswith("if a second look agrees")
    assert [each.kind for each in one.actions] == [Doing.LOOK, *([Doing.STOP] if row.stops_near else [])]
    assert "2 looks agree" in two.what
    assert two.actions[0].kind not in (Doing.LOOK, Doing.MEASURE)
    assert any("again" in each.text for each in two.actions)
    for found in (one, two):
        assert found.seen


@EACH
def test_feed_is_held_from_the_edge_that_the_row_names(row: Row) -> None:
    near, far = told(row, (0, row.near)), told(row, (0, row.far))
    assert near is not None
    assert far is not None
    assert (near.brake == 0.0) is row.stops_near
    assert (far.brake == 0.0) is (row.stops_far or row.stops_near)
    for count, levels in ((1, row.at_far), (2, row.at_far), (3, row.at_far)):
        found = told(row, *[(n, row.far) for n in range(count)])
        assert found is not None
        if levels[count - 1] is A and row.code not in ("too-dry",):
            assert found.brake == 0.0, "what is to be acted on is not fed"


@EACH
def test_one_look_more_never_makes_it_milder(row: Row) -> None:
    values = (row.near, row.short_of(row.far), row.far, row.past(row.far))
    for newest in values:
        for before in values:
            one, two = told(row, (0, newest)), told(row, (1, before), (0, newest))
            assert one is not None
            assert two is not None
            assert two.level.rank >= one.level.rank, (newest, before)
            assert two.feed <= one.feed, (newest, before)


@EACH
def test_every_sighting_fits_its_line_in_both_units(row: Row) -> None:
    for units in (Units.METRIC, Units.US):
        for count in (1, 2, 3):
            entries = log(row.quantity, *[(n, row.far) for n in range(count)])
            case = a_case(entries=entries, settings=replace(SETTINGS, units=units))
            found = [each for each in findings(case) if each.code == row.code]
            assert len(found) == 1
            assert cell_len(found[0].what) <= 76
            assert found[0].do


def test_the_mean_of_the_looks_or_the_newest_of_them_is_held_against_the_second_edge() -> None:
    hot = next(row for row in ROWS if row.code == "too-hot")
    assert level(hot, (1, 28.1), (0, 30.0)) is A, "the newest is past it"
    assert level(hot, (1, 32.0), (0, 28.0)) is A, "so is the mean, 30"
    assert level(hot, (1, 31.9), (0, 28.0)) is W


# What only one row does.


@pytest.mark.parametrize(
    ("species", "cold", "hot"),
    [(Species.EISENIA, 8.0, 28.0), (Species.EUDRILUS, 17.0, 30.0), (Species.DENDROBAENA, 7.0, 25.5)],
)
def test_another_worm_has_limits_of_its_own(species: Species, cold: float, hot: float) -> None:
    for code, value, beside in (("too-cold", cold, cold + 0.1), ("too-hot", hot, hot - 0.1)):
        for read, there in ((value, True), (beside, False)):
            case = a_case(entries=log("temp_c", (0, read), (1, read)), bin=replace(BIN, species=species))
            assert (seen(case, code) is not None) is there


def squeezed(*looks: tuple[int, Squeeze], **more: Any) -> tuple[Entry, ...]:
    return (*CALM_LOG[:-1], *(looked(TODAY - timedelta(days=ago), squeeze=hand, **more) for ago, hand in looks))


@pytest.mark.parametrize(
    ("hand", "codes"),
    [(Squeeze.DRY, {"too-dry"}), (Squeeze.DAMP, set()), (Squeeze.SPONGE, set()), (Squeeze.DRIPPING, {"too-wet"})],
)
def test_a_squeeze_is_read_like_a_meter(hand: Squeeze, codes: set[str]) -> None:
    assert {each.code for each in sightings(a_case(entries=squeezed((1, hand), (0, hand))))} == codes


def test_an_oven_test_counts_as_two_looks_and_a_meter_as_one() -> None:
    def found(by: MoistureBy, value: float) -> Level | None:
        case = a_case(entries=(*OLD_FEED, looked(TODAY, moisture=value, moisture_by=by)))
        return next((each.level for each in sightings(case)), None)

    assert found(MoistureBy.OVEN, 0.88) is W
    assert found(MoistureBy.METER, 0.88) is S
    assert found(MoistureBy.OVEN, 0.60) is W
    assert found(MoistureBy.OVEN, 0.80) is None


def test_a_squeeze_and_a_meter_in_one_check_are_two_looks() -> None:
    case = a_case(entries=(*OLD_FEED, looked(TODAY, squeeze=Squeeze.DRIPPING, moisture=0.90)))
    found = seen(case, "too-wet")
    assert found is not None
    assert found.level is W


def test_a_single_reading_is_believed_at_once_where_the_model_half_expects_it() -> None:
    """A chance of one in four that it is past the limit already."""

    def found(moisture: Band) -> Level | None:
        one = seen(a_case(entries=squeezed((0, Squeeze.DRIPPING)), moisture=moisture), "too-wet")
        return one.level if one else None

    assert found(Band(0.81, 0.83, 0.87)) is S
    assert found(Band(0.81, 0.85, 0.91)) is W


@pytest.mark.parametrize(("ago", "due"), [(1, False), (2, True)])
def test_much_left_counts_only_when_the_feeding_is_long_enough_ago(ago: int, due: bool) -> None:
    """Fed twice a week: three quarters of three and a half days, in whole days."""
    entries = (stocked(), fed(0.8, TODAY - timedelta(days=ago)), looked(TODAY, left=0.6))
    found = seen(a_case(entries=entries), "left-over")
    assert (found is not None) is due
    everyday = replace(SETTINGS, feed_days=("MO", "TU", "WE", "TH", "FR", "SA", "SU"))
    assert seen(a_case(entries=entries, settings=everyday), "left-over") is not None, (
        "a day is long for who feeds daily"
    )


def test_what_is_left_is_said_of_the_last_feeding_and_stops_the_feed_at_the_first_look() -> None:
    case = a_case(entries=log("left", (0, 0.6)))
    found = {each.code: each for each in findings(case)}
    assert "left-waits" not in found, "one finding for one look"
    assert found["left-over"].what == "60% of the last feeding left today: too much, if a second look agrees"
    can = judge(case).ration
    assert (can.kg, can.held) == (0.0, "60% of the last feeding left today")
    assert can.held_until is not None


def test_two_looks_halve_the_ration_where_their_step_says_so() -> None:
    free = judge(a_case()).ration.kg
    for quantity, value in (("temp_c", 28.5), ("temp_c", 7.0), ("moisture", 0.88)):
        one, two = (judge(a_case(entries=log(quantity, *looks, start=CALM_LOG[:-1]))).ration.kg
                    for looks in (((0, value),), ((0, value), (1, value))))  # fmt: skip
        assert one == pytest.approx(free, abs=0.011), quantity
        assert two == pytest.approx(free / 2, abs=0.011), quantity


def test_a_full_box_is_told_by_the_ruler_and_in_trays_by_the_whole_stack() -> None:
    entries = log("contents_m", (0, 0.28), (1, 0.28))
    found = seen(a_case(entries=entries), "full")
    assert found is not None
    # 8 kg in 28 cm down to three quarters of the 30 cm box: 8 * (1 - 0.225 / 0.28)
    assert found.do[0].startswith("take out about 1.5 kg from the oldest side")
    assert seen(a_case(entries=entries, bin=replace(BIN, compartments=2)), "full") is None


def test_dripping_holds_water_back_and_alkaline_holds_lime_back_whoever_asks_for_it() -> None:
    def kinds(entries: tuple[Entry, ...], code: str, **changes: Any) -> set[Doing]:
        (found,) = [each for each in findings(a_case(entries=entries, **changes)) if each.code == code]
        return {each.kind for each in found.actions}

    dry = Band.exactly(0.70)
    ants = (*CALM_LOG[:-1], looked(TODAY, seen=("ants",)))
    assert Doing.WATER in kinds(ants, "ants", moisture=dry)
    wet = (*CALM_LOG[:-1], looked(TODAY, seen=("ants",), squeeze=Squeeze.DRIPPING))
    assert Doing.WATER not in kinds(wet, "ants", moisture=dry)
    sour = (*CALM_LOG[:-1], looked(TODAY, smell="sour"))
    assert Doing.LIME in kinds(sour, "smell-sour")
    alkaline = (*CALM_LOG[:-1], looked(TODAY, smell="sour", ph=8.6))
    assert Doing.LIME not in kinds(alkaline, "smell-sour")


# What a reading that is right takes off what the model alone believes.


def wet(*looks: tuple[int, Squeeze], moisture: float = 0.91) -> dict[str, Finding]:
    before = looked(TODAY - timedelta(days=20), 6, squeeze=Squeeze.SPONGE)
    log = (*CALM_LOG[:-1], *squeezed(*looks)[len(CALM_LOG) - 1 :])
    case = a_case(entries=(before, *log), moisture=band(moisture, 0.005), dry_kg=band(8.0 * (1 - moisture)))
    return {each.code: each for each in findings(case)}


def test_one_look_that_is_right_takes_one_level_off_and_two_take_all() -> None:
    once = wet((0, Squeeze.SPONGE))["too-wet"]
    assert once.level is W
    assert once.what.endswith(" (estimate)")
    assert once.why.startswith("you read like a sponge. By the estimate ")
    assert [each.kind for each in once.actions] == [Doing.FLUFF, Doing.STOP, Doing.MEASURE], "no dose against a hand"
    assert "squeeze a handful again tomorrow" in once.do
    twice = wet((1, Squeeze.SPONGE), (0, Squeeze.SPONGE))["too-wet"]
    assert twice.level is S
    assert twice.do == ("squeeze a handful again tomorrow",)
    assert (twice.brake, twice.bars) == (1.0, ())
    watch = wet((0, Squeeze.SPONGE), moisture=0.88)["too-wet"]
    assert watch.level is S


@pytest.mark.parametrize(("ago", "level"), [(2, W), (3, A)])
def test_a_right_look_speaks_against_the_sums_while_it_is_fresh(ago: int, level: Level) -> None:
    assert wet((ago, Squeeze.SPONGE))["too-wet"].level is level


def test_a_look_that_is_past_the_limit_is_never_taken_for_right() -> None:
    """Dripping lies just on the edge of the limit: it takes nothing off, and is told beside it."""
    found = wet((0, Squeeze.DRIPPING))["too-wet"]
    assert found.level is A
    assert found.what == "too wet: dripping today, and the estimate agrees"
    assert found.brake == 0.0


def test_a_hint_of_the_sums_is_not_told_against_a_look() -> None:
    wetter: dict[str, Any] = {"moisture": band(0.865, 0.001)}
    assert "wet-side" in {each.code for each in findings(a_case(**wetter))}
    sponge = a_case(entries=squeezed((0, Squeeze.SPONGE)), **wetter)
    assert "wet-side" not in {each.code for each in findings(sponge)}


def model_says(code: str) -> Iterator[tuple[dict[str, Any], tuple[Entry, ...], str]]:
    """What makes the model say this, a look that is right, and one that is not."""
    rows: dict[str, tuple[dict[str, Any], str, float]] = {
        "too-dry": ({"moisture": band(0.66, 0.005)}, "moisture", 0.80),
        "too-hot": ({"temp_c": Band.exactly(29.0)}, "temp_c", 22.0),
        "too-cold": ({"temp_c": Band.exactly(6.0)}, "temp_c", 22.0),
        "overfed": (piled(9.0), "left", 0.2),
        "full": ({"fullness": band(0.95, 0.005), "contents_m": band(0.285, 0.005)}, "contents_m", 0.2),
    }
    changes, quantity, value = rows[code]
    yield changes, log(quantity, (0, value), start=CALM_LOG[:-1]), quantity


@pytest.mark.parametrize("code", ["too-dry", "too-hot", "too-cold", "overfed", "full"])
def test_each_finding_of_the_model_alone_gives_way_to_what_was_read(code: str) -> None:
    ((changes, right, _quantity),) = model_says(code)
    alone = {each.code: each.level for each in findings(a_case(**changes))}
    against = {each.code: each.level for each in findings(a_case(entries=right, **changes))}
    assert alone[code] is W
    assert against[code] is S


@pytest.mark.parametrize(("left", "level"), [(0.33, S), (0.34, W)])
def test_over_a_third_left_is_no_look_against_overfeeding(left: float, level: Level) -> None:
    case = a_case(entries=log("left", (0, left), start=CALM_LOG[:-1]), **piled(9.0))
    assert next(each.level for each in findings(case) if each.code == "overfed") is level


def test_a_look_before_the_last_feeding_says_nothing_against_overfeeding() -> None:
    empty = looked(TODAY, 7, left=0.0)
    before = a_case(entries=(*CALM_LOG[:-1], empty, fed(0.5, TODAY, hour=18)), **piled(9.0))
    after = a_case(entries=(*CALM_LOG[:-1], fed(0.5, TODAY, hour=6), empty), **piled(9.0))
    assert next(each.level for each in findings(before) if each.code == "overfed") is W
    assert next(each.level for each in findings(after) if each.code == "overfed") is S


def test_nothing_is_urgent_by_the_sums_alone_where_nobody_looked_for_ten_days() -> None:
    def found(ago: int) -> Level:
        entries = (*CALM_LOG[:-1], looked(TODAY - timedelta(days=ago)))
        return next(each.level for each in findings(a_case(entries=entries, **piled(16.0))) if each.code == "overfed")

    assert found(10) is A
    assert found(11) is W


# Two ways of reading that contradict one another.


def apart(hand: Squeeze | None, meter: float, *, later: int = 0, second: float | None = None) -> Finding | None:
    rows = [looked(TODAY - timedelta(days=later), 8, squeeze=hand, moisture=meter)]
    if second is not None:
        rows.append(looked(TODAY - timedelta(days=later), 9, moisture=second))
    return seen(a_case(entries=(*CALM_LOG[:-1], *rows)), "readings-apart")


@pytest.mark.parametrize(
    ("hand", "meter", "told"),
    [
        (Squeeze.DRY, 0.92, True),
        (Squeeze.DRY, 0.87, True),
        (Squeeze.DRY, 0.86, False),
        (Squeeze.SPONGE, 0.94, True),
        (Squeeze.SPONGE, 0.92, False),
        (Squeeze.DRIPPING, 0.72, True),
        (Squeeze.DRIPPING, 0.73, False),
    ],
)
def test_a_squeeze_and_a_meter_too_far_apart_are_told(hand: Squeeze, meter: float, told: bool) -> None:
    """Fifteen points apart, and one of them says too wet."""
    found = apart(hand, meter)
    assert (found is not None) is told
    if found is not None:
        assert found.level is S, "it asks for a third look, and is no alarm"
        assert "do not fit together" in found.what
        assert [each.kind for each in found.actions] == [Doing.LOOK, Doing.THEN]
        assert set(found.bars) == {Doing.WATER, Doing.DRAIN}


def test_contradicting_readings_are_told_for_two_days_and_take_the_place_of_wet_and_dry() -> None:
    assert apart(Squeeze.DRY, 0.92, later=2) is not None
    assert apart(Squeeze.DRY, 0.92, later=3) is None
    assert apart(None, 0.70, second=0.92) is not None, "a meter in two spots"
    entries = (*CALM_LOG[:-1], looked(TODAY, squeeze=Squeeze.DRY, moisture=0.92))
    found = {each.code for each in findings(a_case(entries=entries, moisture=band(0.91, 0.005)))}
    assert "readings-apart" in found
    assert not found & {"too-wet", "too-dry"}


# Through the command that a keeper uses.


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("sightings") / "store"
    rounds.view(kitchen(folder))
    return folder


def round_says(store: Path, tmp_path: Path, *checks: str) -> str:
    mine = tmp_path / "store"
    shutil.copytree(store, mine)
    for words in checks:
        ran = run(mine, "check", "kitchen", "--yes", *words.split())
        assert ran.code == 0, ran.err
    return " ".join(run(mine, "round").out.split())


def test_a_ph_of_4_2_three_times_in_a_week_is_told_by_the_round(store: Path, tmp_path: Path) -> None:
    """pH under 5 kills within a week (Kaplan et al. 1980)."""
    said = round_says(store, tmp_path, *(f"--ph 4.2 --when 2026-05-{day}T08:00" for day in (26, 29)), "--ph 4.2")
    assert "too sour: pH 4.2 today, and 3 looks agree" in said
    assert "eggshell" in said
    assert "all well" not in said


def test_thirty_four_degrees_twice_are_told_by_the_round_and_stop_the_feed(store: Path, tmp_path: Path) -> None:
    said = round_says(store, tmp_path, "--temp 34C --when 2026-06-01T08:00", "--temp 34C")
    assert "too hot: 34 °C today, and 2 looks agree" in said
    assert "do not feed" in said
    assert "feed up to" not in said


def test_a_single_dripping_squeeze_asks_for_another_and_is_no_alarm(store: Path, tmp_path: Path) -> None:
    said = round_says(store, tmp_path, "--squeeze dripping")
    assert "dripping today: too wet, if a second look agrees" in said
    assert "squeeze a handful again tomorrow" in said
    assert "0 act, 0 watch, 1 steady" in said


@pytest.mark.parametrize(("kg", "answered"), [(0.049, False), (0.05, True)])
def test_bedding_answers_a_wet_look_from_a_cover_on(kg: float, answered: bool) -> None:
    """A quarter of a kg a square metre on 0.2 m2; then the next look tells, and nothing more is put in."""
    wet = (looked(TODAY - timedelta(days=1), squeeze=Squeeze.DRIPPING), looked(TODAY, hour=7, squeeze=Squeeze.DRIPPING))
    strewn = entry(Bedding((Portion("shredded-cardboard", kg),)), TODAY, hour=9)
    (found,) = (each for each in sightings(a_case(entries=(*CALM_LOG[:-1], *wet, strewn))) if each.code == "too-wet")
    assert (found.level is Level.STEADY) is answered
    assert ("put right since" in found.what) is answered
