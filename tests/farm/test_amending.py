"""A line put right is counted once: its preview stands on a bin without the wrong line."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from tests.cli.running import run
from tests.farm.a_farm import NOW, kitchen, open_farm
from wormbin.farm import bins, feedings, recording
from wormbin.farm.backups import care
from wormbin.farm.errors import DoubtedError
from wormbin.farm.heading import Heading
from wormbin.farm.lots import Lots
from wormbin.farm.recording.lines import record_feeding, write
from wormbin.problems import RefusedError
from wormbin.records.entries import Kind
from wormbin.records.kinds.castings import LotKind


def test_the_preview_of_an_amended_feeding_leaves_the_wrong_line_out(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    before = feedings.preview(farm, "kitchen", ["300 g melon rind"])
    wrong = record_feeding(farm, "kitchen", ["3 kg melon rind"], anyway=True).ids[0]
    twice = feedings.preview(farm, "kitchen", ["300 g melon rind"])
    right = feedings.preview(farm, "kitchen", ["300 g melon rind"], heading=replace(Heading(), replaces=wrong))
    assert twice.share > before.share + 0.2
    assert right.share == pytest.approx(before.share, rel=0.02)
    assert right.waiting_days_after.p50 == pytest.approx(before.waiting_days_after.p50, rel=0.05)
    record_feeding(farm, "kitchen", ["300 g melon rind"], heading=Heading(replaces=wrong))
    assert farm.scene("kitchen").past.today.feed_waiting_kg.p50 < 0.9


def test_an_old_feeding_is_put_right_on_its_own_day(tmp_path: Path) -> None:
    """The bin of that day is looked at, without the line; nothing is kept of the other past."""
    farm = kitchen(tmp_path)
    day = NOW.date().replace(month=5, day=20)
    when = f"{day.isoformat()}T07:00"
    wrong = record_feeding(farm, "kitchen", ["2 kg melon rind"], heading=Heading(when=when), anyway=True).ids[0]
    now = bins.look(farm, "kitchen").gauges
    view = feedings.preview(farm, "kitchen", ["200 g melon rind"], heading=Heading(when=when, replaces=wrong))
    assert view.waiting_days_after.p50 < 4
    assert bins.look(farm, "kitchen").gauges == now
    assert bins.look(open_farm(tmp_path), "kitchen").gauges == now


def test_an_amended_line_keeps_who_wrote_it_and_is_struck_by_its_right_one(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    wrong = write(farm, "kitchen", Kind.WATERING, {"amount": "1 L"}, Heading(by="Ines")).ids[0]
    right = write(farm, "kitchen", Kind.WATERING, {"amount": "2 L"}, Heading(replaces=wrong)).ids[0]
    assert farm.store.find(right).by == "Ines"
    with pytest.raises(RefusedError, match=f"That line was put right by {right}: strike {right}"):
        recording.strike(farm, wrong, "mistyped")
    recording.strike(farm, right, "mistyped")
    write(farm, "kitchen", Kind.HARVEST, {"castings": "2 kg", "lot": "may"})
    lots = Lots(farm)
    sold = lots.write("may", LotKind.SALE, {"amount": "1 kg"}, Heading(by="Ines")).ids[0]
    again = lots.write("may", LotKind.SALE, {"amount": "500 g"}, Heading(replaces=sold)).ids[0]
    assert farm.store.find_line(again).by == "Ines"
    with pytest.raises(RefusedError, match=f"strike {again}"):
        recording.strike(farm, sold, "mistyped")


def test_nothing_left_to_take_back_is_said_in_a_plain_sentence(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    care(farm).backup()
    (copy,) = care(farm).backups()[-1:]
    write(farm, "kitchen", Kind.WATERING, {"amount": "1 L"})
    lines = care(farm).restore(Path(copy)).lines
    assert "undo does not take that back" in lines[-1]
    with pytest.raises(RefusedError, match=r"A restore is not taken back by undo.*before-restore"):
        recording.undo(farm)
    with pytest.raises(RefusedError, match="There is nothing to do again"):
        recording.redo(farm)


def test_the_preview_of_a_line_put_right_twice_leaves_every_wrong_one_out(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    before = feedings.preview(farm, "kitchen", ["300 g kale"])
    (wrong,) = record_feeding(farm, "kitchen", ["4 kg kale"], anyway=True).ids
    (better,) = record_feeding(farm, "kitchen", ["2 kg kale"], heading=Heading(replaces=wrong), anyway=True).ids
    again = feedings.preview(farm, "kitchen", ["300 g kale"], heading=Heading(replaces=better))
    assert again.share == pytest.approx(before.share, rel=0.02)
    assert again.waiting_days_after.p50 == pytest.approx(before.waiting_days_after.p50, rel=0.05)


def test_striking_a_right_line_says_which_one_stands_again_and_asks_first(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    wrong = write(farm, "kitchen", Kind.WATERING, {"amount": "1 L"}).ids[0]
    right = write(farm, "kitchen", Kind.WATERING, {"amount": "2 L"}, Heading(replaces=wrong)).ids[0]
    with pytest.raises(
        DoubtedError, match=f"line {wrong} stands again: watered 1 L. If both are wrong, strike {wrong}"
    ):
        recording.strike(farm, right, "mistyped", ask=True)
    assert farm.store.find(right).struck is None
    assert f"line {wrong} stands again: watered 1 L" in recording.strike(farm, right, "mistyped").sentence
    assert "stands again" not in recording.strike(farm, wrong, "mistyped", ask=True).sentence
    lots = Lots(farm)
    write(farm, "kitchen", Kind.HARVEST, {"castings": "2 kg", "lot": "may"})
    sold = lots.write("may", LotKind.SALE, {"amount": "1 kg"}).ids[0]
    again = lots.write("may", LotKind.SALE, {"amount": "500 g"}, Heading(replaces=sold)).ids[0]
    with pytest.raises(DoubtedError, match=f"line {sold} stands again: lot may: sold 1 kg"):
        recording.strike(farm, again, "mistyped", ask=True)


def test_striking_a_right_line_is_held_back_at_the_command_line(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    wrong = write(farm, "kitchen", Kind.WATERING, {"amount": "1 L"}).ids[0]
    right = write(farm, "kitchen", Kind.WATERING, {"amount": "2 L"}, Heading(replaces=wrong)).ids[0]
    ran = run(tmp_path, "strike", right, "--why", "mistyped")
    assert (ran.code, ran.out) == (1, "")
    assert f"line {wrong} stands again" in ran.err
    assert "Nothing was saved. --yes strikes it." in ran.err
    ran = run(tmp_path, "strike", right, "--why", "mistyped", "--yes")
    assert ran.code == 0
    assert f"strike {wrong} as well" in ran.out
    assert run(tmp_path, "strike", wrong, "--why", "mistyped").code == 0


def test_a_feeding_put_right_to_less_is_never_held_back(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    (wrong,) = record_feeding(farm, "kitchen", ["9 kg apple cores"], anyway=True).ids
    ran = run(tmp_path, "amend", wrong, "10 kg apple cores")
    assert (ran.code, "Nothing was saved" in ran.err) == (1, True)
    assert run(tmp_path, "amend", wrong, "200 g meat").code == 1
    assert run(tmp_path, "amend", wrong, "8.9 kg apple cores").code == 0
