from __future__ import annotations

import csv
from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest
from hypothesis import given, settings

from tests.exchange.made_up import ATTIC, BINS, KITCHEN, LOGS, NOW
from wormbin.exchange.folders import Doors, Incoming, read_folder, write_folder
from wormbin.materials.table import default_table
from wormbin.problems import RefusedError
from wormbin.records.door import admit_bin, admit_entry
from wormbin.records.entries import Entry, Feeding, Move, Strike, Survey, Watering, in_time_order
from wormbin.records.farms import Away, Bucket, Farm, OnHand, OwnMaterial, Settings, Units
from wormbin.records.lots import both_halves

DOORS = Doors(lambda one: admit_bin(one, (), NOW), lambda entry, _one: admit_entry(entry, BINS, NOW))
HEAD = "when,bin,kind,material,amount,unit,moisture_pct,squeeze,note,by\n"


NO_FARM = Farm()


def read(folder: Path, farm: Farm = NO_FARM, held: Iterable[Entry] = ()) -> Incoming:
    return read_folder(folder, farm, lambda: held, default_table(), DOORS)


def given_log(folder: Path, text: str) -> Path:
    (folder / "log.csv").write_text(text, "utf-8")
    return folder


FARM = Farm(bins=BINS)


@settings(max_examples=3 * settings().max_examples, deadline=None)
@given(LOGS)
def test_what_is_written_is_read_back_the_same(tmp_path_factory: pytest.TempPathFactory, log: list[Entry]) -> None:
    folder = tmp_path_factory.mktemp("export")
    write_folder(folder, FARM, lambda key: log if key == "kitchen" else ())
    found = read(folder)
    assert found.bins == BINS
    assert in_time_order(found.entries) == in_time_order(log)
    assert {entry.id: entry.order for entry in found.entries} == {entry.id: entry.order for entry in log}
    again = read(folder, FARM, log)
    assert (again.entries, again.strikes, again.bins) == ((), (), ())


def test_amendments_strikes_and_both_halves_of_a_move_come_back(tmp_path: Path) -> None:
    wrong = Entry("aaaaaaaaaa", "kitchen", NOW, Watering(0.5), struck=Strike("amended by bbbbbbbbbb", "A", NOW))
    right = Entry("bbbbbbbbbb", "kitchen", NOW, Watering(0.4), replaces="aaaaaaaaaa")
    giving, taking = both_halves(Entry("cccccccccc", "kitchen", NOW, Move(0.2, "attic", said="200 g")))
    log = {"kitchen": [wrong, right, giving], "attic": [taking]}
    write_folder(tmp_path, FARM, lambda key: log[key])
    assert in_time_order(read(tmp_path).entries) == in_time_order([wrong, right, giving, taking])


def test_a_day_without_a_time_is_written_as_a_day_and_comes_back_with_its_place_on_earth(tmp_path: Path) -> None:
    noon = datetime(2026, 3, 2, 12, tzinfo=timezone(timedelta(hours=13)))
    line = Entry("aaaaaaaaaa", "kitchen", noon, Watering(0.5), day_only=True, order=7)
    write_folder(tmp_path, FARM, lambda key: (line,) if key == "kitchen" else ())
    (row,) = csv.DictReader((tmp_path / "log.csv").read_text("utf-8").splitlines())
    assert (row["when"], row["offset"], row["order"]) == ("2026-03-02", "+13:00", "7")
    (found,) = read(tmp_path).entries
    assert (found, found.when.utcoffset(), found.order) == (line, timedelta(hours=13), 7)


def test_rows_of_one_moment_are_given_in_the_order_of_the_file(tmp_path: Path) -> None:
    rows = [
        f"2026-03-02T18:10,kitchen,note,,,,,,{word},,{entry}" for word, entry in (("x", ""), ("m", "zz"), ("b", ""))
    ]
    given_log(tmp_path, HEAD.rstrip("\n") + ",entry\n" + "\n".join(rows) + "\n")
    assert [entry.note for entry in read(tmp_path, FARM).entries] == ["x", "m", "b"]


@pytest.mark.parametrize("held", [True, False])
def test_a_day_alone_is_the_same_row_as_the_noon_that_it_was_kept_as_before(tmp_path: Path, held: bool) -> None:
    given_log(tmp_path, HEAD + "2026-03-02,kitchen,watering,,500,mL,,,,\n")
    (entry,) = read(tmp_path, FARM).entries
    assert entry.day_only
    again = read(tmp_path, FARM, (replace(entry, id="other", day_only=held),))
    assert (again.entries, again.rows_known) == ((), 1)


@pytest.mark.parametrize(
    ("when", "offset", "order", "field"),
    [
        ("2026-03-02T18:10", "+01:00", "1", "offset"), ("2026-03-02", "here", "1", "offset"),
        ("2026-03-02", "+99:00", "1", "offset"), ("2026-03-02", "", "0", "order"), ("2026-03-02", "", "1.5", "order"),
        ("2026-03-02", "", "-3", "order"), ("2026-03-02", "", "٣", "order"), ("2026-03-02", "", "9" * 14, "order"),
    ],
)  # fmt: skip
def test_a_place_in_the_log_that_is_none_is_refused(
    tmp_path: Path, when: str, offset: str, order: str, field: str
) -> None:
    (tmp_path / "log.csv").write_text(
        f"when,bin,kind,amount,unit,offset,order\n{when},kitchen,watering,500,mL,{offset},{order}\n", "utf-8"
    )
    with pytest.raises(RefusedError) as refused:
        read(tmp_path, FARM)
    assert [problem.field for problem in refused.value.problems] == [field]


def test_settings_and_own_materials_come_back(tmp_path: Path) -> None:
    settings_said = Settings(
        units=Units.US,
        away=(Away(NOW.date(), NOW.date(), "=summer"),),
        on_hand=(OnHand("newspaper", 0.7),),
        buckets=(Bucket("tea", ("2 cups coffee-grounds",)),),
        tares={"tub": 0.24},
    )
    own = OwnMaterial(
        "my-leaves", "My leaves", {"nitrogen_pct": 0.9, "carbon_pct": 45.0, "moisture_pct": 35.0, "pace": "fibre"}, "A"
    )
    farm = Farm((KITCHEN, ATTIC), ("Ana", "+b"), (own,), settings_said)
    write_folder(tmp_path, farm, lambda _key: ())
    found = read(tmp_path)
    assert (found.settings, found.keepers, found.materials) == (settings_said, farm.keepers, (own,))


def test_the_same_file_twice_adds_nothing_and_two_equal_rows_stay_two(tmp_path: Path) -> None:
    line = "2026-03-02,kitchen,watering,,500,mL,,,,\n"
    given_log(tmp_path, HEAD + line + line)
    first = read(tmp_path, FARM)
    assert [entry.what for entry in first.entries] == [Watering(0.5, "500 mL")] * 2
    second = read(tmp_path, FARM, first.entries)
    assert (second.entries, second.rows_known) == ((), 2)


def test_ids_follow_from_the_content_alone(tmp_path: Path) -> None:
    given_log(tmp_path, HEAD + "2026-03-02,kitchen,watering,,500,mL,,,,\n")
    first = read(tmp_path, FARM).entries
    given_log(
        tmp_path, "kind,unit,bin,amount,when\nfluff,,kitchen,,2026-03-01\nwatering,mL,kitchen,500,2026-03-02T12:00\n"
    )
    again = read(tmp_path, FARM).entries
    assert first[0].id in [entry.id for entry in again], "a day alone is the noon that it was kept as before"


def test_rows_of_one_moment_are_one_feeding_and_a_row_added_later_is_the_only_new_one(tmp_path: Path) -> None:
    rows = "2026-03-02,kitchen,feeding,coffee,2,cups,,,warm,\n2026-03-02,kitchen,feeding,melon rind,300,g,,,,\n"
    given_log(tmp_path, HEAD + rows)
    first = read(tmp_path, FARM).entries
    assert [type(entry.what) for entry in first] == [Feeding]
    assert isinstance(first[0].what, Feeding)
    assert [(each.material, each.said) for each in first[0].what.portions] == [
        ("coffee-grounds", "2 cups"), ("melon-rind", "300 g"),
    ]  # fmt: skip
    given_log(tmp_path, HEAD + rows + "2026-03-02,kitchen,feeding,newspaper,50,g,,,,\n")
    second = read(tmp_path, FARM, first)
    assert second.rows_known == 2
    assert [each.material for entry in second.entries for each in entry.what.portions] == ["newspaper"]  # type: ignore[union-attr]


def test_a_line_struck_here_is_not_brought_back_by_its_file(tmp_path: Path) -> None:
    from dataclasses import replace

    given_log(tmp_path, HEAD + "2026-03-02,kitchen,watering,,500,mL,,,,\n")
    (entry,) = read(tmp_path, FARM).entries
    struck = replace(entry, struck=Strike("wrong bin", "A", NOW))
    assert read(tmp_path, FARM, [struck]).entries == ()


def test_samples_of_one_moment_are_one_survey(tmp_path: Path) -> None:
    row = "2026-03-02,kitchen,survey,sample 225 cm2,{},g,,,,\n"
    given_log(tmp_path, HEAD + row.format(12) + row.format(9))
    (entry,) = read(tmp_path, FARM).entries
    assert isinstance(entry.what, Survey)
    assert [(sample.area_m2, sample.worms_kg) for sample in entry.what.samples] == [(0.0225, 0.012), (0.0225, 0.009)]


def test_a_move_is_written_into_both_logs(tmp_path: Path) -> None:
    given_log(tmp_path, HEAD + "2026-03-02,kitchen,move,attic,200,g,,,,\n")
    giving, taking = read(tmp_path, FARM).entries
    assert (giving.bin, taking.bin, taking.id) == ("kitchen", "attic", giving.id + "~")
    assert read(tmp_path, FARM, [giving, taking]).entries == ()


BAD = HEAD + (
    "7/8/2026,kitchen,check,,,,82,,,\n"
    "2026-03-02,garage,check,,,,82,,,\n"
    "2026-03-02,kitchen,feeding,unobtainium dust,1,g,,,,\n"
    '2026-03-02,kitchen,feeding,coffee,"1,500",g,,,,\n'
    "2026-03-02,kitchen,feeding,coffee,1,furlong,,,,\n"
    "2026-03-02,kitchen,check,,,,182,,,\n"
    "2026-03-02,kitchen,check,,,,,wet,,\n"
    "2026-03-02,kitchen,watering,,1,L,80,,,\n"
    "2026-03-02,kitchen,note,,,,,,,\n"
    "2026-03-02,kitchen,dance,,,,,,,\n"
    "2026-03-02,kitchen,watering,,500,mL,,,,\n"
)


def test_every_bad_row_is_listed_with_its_place_and_nothing_is_taken(tmp_path: Path) -> None:
    given_log(tmp_path, BAD)
    with pytest.raises(RefusedError) as caught:
        read(tmp_path, FARM)
    places = [problem.where.removeprefix("log.csv ") for problem in caught.value.problems]
    assert places == [
        "line 2, column when", "line 3, column bin", "line 4, column material", "line 5, column amount",
        "line 6, column unit", "line 8, column squeeze", "line 9, column moisture_pct", "line 11, column kind",
        "line 7", "line 10",
    ]  # fmt: skip
    assert all(problem.read or problem.field == "note" for problem in caught.value.problems)
    assert "“1,500” does not fit" in str(caught.value)


def test_faults_of_both_files_are_told_together(tmp_path: Path) -> None:
    (tmp_path / "bins.csv").write_text("bin,depth_cm,started\nKitchen!,30,2026-01-01\ncellar,,yesterday\n")
    given_log(tmp_path, HEAD + "2026-03-02,kitchen,watering,,lots,mL,,,,\n")
    with pytest.raises(RefusedError) as caught:
        read(tmp_path, FARM)
    text = str(caught.value)
    for place in ("bins.csv line 2, column bin", "bins.csv line 3, column started", "log.csv line 2, column amount"):
        assert place in text


def test_an_id_that_says_something_else_here_is_a_bad_row(tmp_path: Path) -> None:
    held = Entry("aaaaaaaaaa", "kitchen", NOW, Watering(0.5))
    given_log(tmp_path, "when,bin,kind,amount,unit,entry\n2026-03-02,kitchen,watering,1,kg,aaaaaaaaaa\n")
    with pytest.raises(RefusedError, match="amend or strike"):
        read(tmp_path, FARM, [held])


def test_a_strike_in_the_file_strikes_the_line_that_is_here(tmp_path: Path) -> None:
    held = Entry("aaaaaaaaaa", "kitchen", NOW, Watering(0.5))
    struck = Strike("twice", "A", NOW)
    from dataclasses import replace

    write_folder(tmp_path, FARM, lambda key: [replace(held, struck=struck)] if key == "kitchen" else ())
    assert read(tmp_path, FARM, [held]).strikes == (replace(held, struck=struck),)


def test_an_older_file_of_a_line_that_was_lifted_since_is_no_bad_row(tmp_path: Path) -> None:
    from dataclasses import replace

    held = Entry("aaaaaaaaaa", "kitchen", NOW, Watering(0.5))
    history = [{"did": "struck", "why": "x", "by": "", "at": NOW.isoformat()}, {"did": "lifted", "at": NOW.isoformat()}]
    lifted = replace(held, extra={"history": history})
    write_folder(tmp_path / "old", FARM, lambda key: [held] if key == "kitchen" else ())
    write_folder(tmp_path / "new", FARM, lambda key: [lifted] if key == "kitchen" else ())
    old = read(tmp_path / "old", FARM, [lifted])
    assert (old.strikes, old.rows_known) == ((), 1)
    assert read(tmp_path / "new", FARM, [held]).strikes == (lifted,)
    assert read(tmp_path / "new", FARM, [lifted]).strikes == ()


def test_a_bin_that_is_here_already_is_left_as_it_is_and_said_so(tmp_path: Path) -> None:
    (tmp_path / "bins.csv").write_text("bin,length_cm,width_cm,depth_cm,started\nkitchen,99,40,30,2026-01-01\n")
    found = read(tmp_path, FARM)
    assert found.bins == ()
    assert "kitchen is here already" in found.notes[0]


def test_what_a_bin_keeps_to_is_named_as_the_table_names_it(tmp_path: Path) -> None:
    head = "bin,length_cm,width_cm,depth_cm,started,beddings\n"
    (tmp_path / "bins.csv").write_text(f"{head}hall,99,40,30,2026-01-01,egg carton; moon-dust\n")
    (one,) = read(tmp_path, FARM).bins
    assert one.beddings == ("egg-cartons", "moon-dust")


def test_a_folder_without_log_files_is_refused(tmp_path: Path) -> None:
    with pytest.raises(RefusedError, match=r"bins\.csv or log\.csv"):
        read(tmp_path)


def test_a_kind_may_be_called_by_its_command_and_worms_stand_in_a_stocking_row(tmp_path: Path) -> None:
    text = (
        "when,bin,kind,material,amount,unit\n2026-03-01,kitchen,stock,worms,500,g\n"
        "2026-03-02,kitchen,feed,melon rind,300,g\n2026-03-03,kitchen,weigh,,6,kg\n"
    )
    kinds = [entry.kind.value for entry in read(given_log(tmp_path, text), FARM).entries]
    assert kinds == ["stocking", "feeding", "weighing"]
    wrong = "when,bin,kind,material,amount,unit\n2026-03-01,kitchen,stocking,gravel,500,g\n"
    with pytest.raises(RefusedError, match="empty in a stocking row, or worms"):
        read(given_log(tmp_path, wrong), FARM)


def test_settings_keepers_and_materials_are_held_to_their_ranges_before_anything_is_written(tmp_path: Path) -> None:
    given_log(tmp_path, HEAD)
    (tmp_path / "settings.csv").write_text(
        f'setting,value\nmoisture_low,0.9\nmoisture_high,0.95\nfeed_days,"[""<O""]"\nkeepers,"[""{"x" * 101}""]"\n',
        "utf-8",
    )
    (tmp_path / "materials.csv").write_text(
        f"material,name,nitrogen_pct\nmy-leaves,{'n' * 201},2\nmine,Mine,90\n", "utf-8"
    )
    with pytest.raises(RefusedError) as refused:
        read(tmp_path)
    assert {(each.field, each.where) for each in refused.value.problems} == {
        ("feeding days", "settings.csv"), ("keeper", "settings.csv line 5"),
        ("name", "materials.csv line 2"), ("nitrogen_pct", "materials.csv line 3"),
    }  # fmt: skip


def test_a_word_without_end_is_cut_where_it_is_refused(tmp_path: Path) -> None:
    given_log(tmp_path, HEAD)
    rows = f"material,name,nitrogen_pct,role,pace\nhusks,Husks,2,feed,{'x' * 5000}\n"
    (tmp_path / "materials.csv").write_text(rows, "utf-8")
    with pytest.raises(RefusedError) as refused:
        read(tmp_path)
    (said,) = [each.sentence() for each in refused.value.problems if each.field == "pace"]
    assert "pace: “xxx" in said
    assert len(said) < 400
