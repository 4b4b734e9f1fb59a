"""The committed sample logs are what the stories write, in the log files' columns, with the promised happenings."""

from __future__ import annotations

import ast
import csv
import io
import json
from collections import defaultdict
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from tests.worlds import apartment, classroom, seller, seller_lots, stories
from tests.worlds.larder import LARDER
from tests.worlds.life import make_bin
from tests.worlds.logbook import SETTING_COLUMNS
from tests.worlds.stories import Happened
from tests.worlds.write import LOGS, SAMPLE_LOGS, bin_columns, log_columns, texts
from wormbin.farm.lots import Lots
from wormbin.farm.samples import copy_sample
from wormbin.farm.session import Session
from wormbin.materials.material import Pace, Role
from wormbin.materials.table import default_table
from wormbin.measures import parse_amount_of

KINDS = {
    "stocking", "bedding", "feeding", "watering", "draining", "check", "weighing", "survey", "move", "fluff", "note",
    "harvest", "comparison", "guess",
}  # fmt: skip
UNITS = {"g", "kg", "lb", "cups", "qt", "L", "gal", "worms"}


def rows_of(log: str, name: str = "log.csv") -> list[dict[str, str]]:
    with (SAMPLE_LOGS / log / name).open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file, strict=True))


def the(log: str, bin_key: str) -> Happened:
    return next(each for each in stories.happened(log) if each.bin == bin_key)


@pytest.mark.parametrize("log", LOGS)
def test_written_again_they_are_the_same_to_the_byte(log: str) -> None:
    for name, text in texts(log).items():
        assert (SAMPLE_LOGS / log / name).read_bytes() == text.encode("utf-8"), f"{log}/{name}: write the logs again"


def test_another_seed_makes_another_log_and_the_same_seed_the_same() -> None:
    first, again, other = (make_bin(seed, apartment.STORY) for seed in (1, 1, 2))
    assert first == again
    assert first.rows != other.rows


@pytest.mark.parametrize("log", LOGS)
@pytest.mark.parametrize("name", ["bins.csv", "log.csv", "settings.csv"])
def test_they_are_rfc_4180_with_the_exact_columns(log: str, name: str) -> None:
    columns = {"bins.csv": bin_columns(log), "log.csv": log_columns(log), "settings.csv": SETTING_COLUMNS}[name]
    raw = (SAMPLE_LOGS / log / name).read_bytes()
    assert raw.endswith(b"\r\n")
    assert raw.count(b"\n") == raw.count(b"\r\n")
    lines = list(csv.reader(io.StringIO(raw.decode("utf-8"), newline=""), strict=True))
    assert tuple(lines[0]) == columns
    assert {len(line) for line in lines} == {len(columns)}


@pytest.mark.parametrize("log", LOGS)
def test_every_row_has_what_its_kind_needs(log: str) -> None:
    bins = {row["bin"] for row in rows_of(log, "bins.csv")}
    readings = ("moisture_pct", "squeeze", "temp_c", "left_pct", "contents_cm", "smell", "seen", "ph")
    for row in rows_of(log):
        assert row["bin"] in bins
        assert row["kind"] in KINDS
        assert row["by"]
        if row["kind"] in ("bedding", "feeding"):
            assert row["material"]
        if row["kind"] in ("bedding", "feeding", "watering", "draining", "weighing", "survey", "move", "harvest"):
            assert float(row["amount"]) > 0
            assert row["unit"] in UNITS
        if row["kind"] == "move":
            assert row["material"] in bins - {row["bin"]}
        if row["kind"] == "check":
            assert any(row[reading] for reading in readings)
        if row["moisture_pct"]:
            assert row["moisture_by"] or row["kind"] in ("harvest", "guess")
            assert 0 < float(row["moisture_pct"]) < 100


@pytest.mark.parametrize("log", LOGS)
def test_rows_that_make_one_entry_belong_together(log: str) -> None:
    together: dict[tuple[str, str, str], list[dict[str, str]]] = defaultdict(list)
    for row in rows_of(log):
        together[row["when"], row["bin"], row["kind"]].append(row)
    for (when, _, kind), rows in together.items():
        assert len({row["by"] for row in rows}) == 1, (when, kind)
        if kind not in ("bedding", "feeding", "survey"):
            assert len(rows) == 1, (when, kind)


@pytest.mark.parametrize(("log", "first", "last"), [
    ("apartment", apartment.STORY.first, apartment.LAST),
    ("classroom", classroom.FIRST, classroom.LAST),
    ("seller", seller.FIRST, seller.LAST),
])  # fmt: skip
def test_they_run_in_order_to_their_last_day(log: str, first: date, last: date) -> None:
    whens = [row["when"] for row in rows_of(log)]
    assert whens == sorted(whens)
    assert datetime.fromisoformat(whens[0]).date() == first
    assert datetime.fromisoformat(whens[-1]).date() == last


@pytest.mark.parametrize("log", LOGS)
def test_every_material_is_in_the_material_table(log: str) -> None:
    table = default_table()
    for material in {row["material"] for row in rows_of(log) if row["kind"] in ("bedding", "feeding")}:
        found = table.find(material)
        assert found.role is not Role.KEEP_OUT
        assert (found.pace in (Pace.QUICK, Pace.STEADY, Pace.AGED)) == LARDER[material].waits


def test_they_are_small() -> None:
    """The logs as a person would read them, and what they come to: 33 courses of eleven bins."""
    told = sum(path.stat().st_size for path in SAMPLE_LOGS.rglob("*.csv"))
    assert told < 400_000
    assert sum(path.stat().st_size for path in SAMPLE_LOGS.rglob("*") if path.is_file()) - told < 1_000_000


def test_they_are_five_months_a_school_year_and_eight_bins_for_fourteen_months() -> None:
    assert [len(LOGS[log][1]) for log in ("apartment", "classroom", "seller")] == [1, 2, 8]
    assert the("apartment", "kitchen").months == pytest.approx(5.0, abs=0.1)
    assert the("classroom", "paper").months == pytest.approx(9.4, abs=0.2)
    assert the("seller", "barn-1").months == pytest.approx(14.0, abs=0.1)


def test_a_mistyped_moisture_was_struck_and_written_again() -> None:
    for log in LOGS:
        struck = [row for row in rows_of(log) if row["struck"]]
        assert len(struck) == 1
        wrong = struck[0]
        right = next(row for row in rows_of(log) if row["moisture_pct"] == f"{wrong['moisture_pct']}0")
        assert float(wrong["moisture_pct"]) < 10
        assert wrong["struck"] == f"typo for {right['moisture_pct']}"
        assert wrong["struck_by"] == wrong["by"]


def test_the_apartment_tells_its_story() -> None:
    kitchen = the("apartment", "kitchen")
    truth = kitchen.truth
    assert date(2026, 8, 8) in kitchen.overfed_on
    assert any(date(2026, 9, 12) <= wet.first <= date(2026, 9, 15) for wet in kitchen.wet)
    assert truth.on(date(2026, 6, 20)).temp_c < 19.0 < 22.0 < truth.on(date(2026, 7, 10)).temp_c
    assert 0.74 < truth.days[-1].castings_share < 0.80
    away = [row for row in rows_of("apartment") if "2026-07-18" <= row["when"] < "2026-07-26"]
    assert away == []
    kinds = [row["kind"] for row in rows_of("apartment")]
    assert kinds.count("weighing") == 1
    assert 1 <= sum(bool(row["contents_cm"]) for row in rows_of("apartment")) <= 3


def test_the_classroom_has_many_hands_on_one_day_and_none_in_the_holidays() -> None:
    rows = rows_of("classroom")
    hands: dict[tuple[str, str], set[str]] = defaultdict(set)
    for row in rows:
        day = datetime.fromisoformat(row["when"]).date()
        assert day.weekday() < 5
        assert not any(first <= day <= last for first, last in classroom.HOLIDAYS)
        if row["kind"] == "check":
            hands[row["when"][:10], row["bin"]].add(row["by"])
    assert sum(len(names) >= 2 for names in hands.values()) > 20
    assert date(2025, 11, 20) in the("classroom", "paper").overfed_on
    before, after = (
        next(each.moisture for each in the("classroom", "leaves").truth.days if each.on == date(2026, 3, day))
        for day in (2, 4)
    )
    assert after > before + 0.03, "watered twice by mistake"
    assert {"weighing", "survey", "harvest"} <= {row["kind"] for row in rows}


def test_the_sellers_last_day_has_one_bin_in_trouble_some_to_watch_and_some_steady() -> None:
    last = {each.bin: each.truth.days[-1] for each in stories.happened("seller")}
    worst = last["crate-2"]
    assert worst.piling_up
    assert worst.waiting_days > 2 * max(
        day.waiting_days for key, day in last.items() if key not in ("crate-2", "shade-1")
    )
    assert last["crate-1"].wet
    assert last["shade-1"].temp_c < 9.0
    assert last["barn-2"].due
    assert 7 <= the("seller", "barn-2").due[-1].days <= 41
    steady = {key for key, day in last.items() if day.calm and not day.due}
    assert {"barn-1", "shade-2", "tunnel", "nursery"} <= steady


def test_the_seller_had_a_hot_week_moves_and_harvests() -> None:
    tunnel = the("seller", "tunnel")
    assert any(hot.first <= date(2026, 7, 20) and hot.last >= date(2026, 7, 13) for hot in tunnel.hot)
    rows = rows_of("seller")
    assert sum(row["kind"] == "move" for row in rows) == 2
    assert sum(row["kind"] == "harvest" for row in rows) >= 8
    assert {"spent-grain", "rabbit-manure", "horse-manure"} <= {row["material"] for row in rows}


def test_worms_that_leave_one_bin_arrive_in_another() -> None:
    moved = [
        (deed.on, deed.material, deed.kg) for story in seller.STORIES for deed in story.deeds if deed.what == "move-out"
    ]
    arrived = [
        (deed.on, story.key, deed.kg) for story in seller.STORIES for deed in story.deeds if deed.what == "move-in"
    ]
    assert sorted(moved) == sorted(arrived)


def test_every_bin_has_its_calm_weeks() -> None:
    for each in stories.all_happened():
        assert sum(stretch.days for stretch in each.calm) > 0.25 * len(each.truth.days), each.bin


@pytest.mark.parametrize("path", sorted(Path(__file__).parent.glob("*.py")), ids=lambda path: path.name)
def test_the_worlds_do_not_know_the_model(path: Path) -> None:
    if path.name.startswith("test_"):
        return
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
        names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
        assert not [name for name in names if name.startswith("wormbin")]


@pytest.mark.parametrize("log", LOGS)
def test_their_settings_name_beddings_and_buckets_that_the_program_knows(log: str) -> None:
    held = {
        row["setting"]: json.loads(row["value"])
        for row in rows_of(log, "settings.csv")
        if row["value"].startswith(("{", "["))
    }
    table = default_table()
    assert held["on_hand"]
    for each in held["on_hand"]:
        assert table.get(each["material"]).role is Role.BEDDING
        assert 0 <= each.get("shredded_kg", 0.0) <= each["kg"]
    for bucket in held["buckets"]:
        for portion in bucket["portions"]:
            amount, words = parse_amount_of(portion)
            assert amount.value > 0
            assert table.find(words).role is not Role.KEEP_OUT


@pytest.mark.parametrize("log", LOGS)
def test_the_weekdays_in_the_settings_are_those_on_which_most_is_fed(log: str) -> None:
    held = {
        row["setting"]: json.loads(row["value"])
        for row in rows_of(log, "settings.csv")
        if row["value"].startswith(("{", "["))
    }
    days = [date.fromisoformat(row["when"][:10]).weekday() for row in rows_of(log) if row["kind"] == "feeding"]
    usual = [["MO", "TU", "WE", "TH", "FR", "SA", "SU"].index(day) for day in held["feed_days"]]
    assert sum(day in usual for day in days) > 0.7 * len(days)


def test_the_demo_opens_with_the_settings_of_its_log(tmp_path: Path) -> None:
    shown = copy_sample("seller", tmp_path).session().farm().settings
    assert shown.feed_days == ("TU", "SA")
    assert [each.material for each in shown.on_hand] == ["shredded-cardboard", "straw", "dry-leaves"]
    assert [each.name for each in shown.buckets] == ["market crate", "brew day", "rabbit shed"]


def test_the_sellers_lots_add_up_and_every_harvest_named_is_there(tmp_path: Path) -> None:
    copy_sample("seller", tmp_path)
    farm = Session(tmp_path, clock=lambda: datetime(2026, 10, 30, 18, tzinfo=UTC))
    lots = {view.name: view for view in Lots(farm).all()}
    assert {view.name for view in lots.values()} == set(seller_lots.LOT_OF.values())
    assert sum(len(Lots(farm).show(name).origins) for name in lots) == len(seller_lots.LOT_OF)
    assert [view.short for view in lots.values()] == ["", "", "", ""]
    assert {name: round(view.kg, 1) for name, view in lots.items()} == {
        "May sacks": 2.6, "July barn": 3.5, "August mix": 15.2, "Autumn": 84.9,
    }  # fmt: skip
    assert farm.store.check().flaws == ()
