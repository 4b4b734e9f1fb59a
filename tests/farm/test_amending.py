"""A line put right is counted once: its preview stands on a bin without the wrong line."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from tests.cli.running import run
from tests.farm.a_farm import NOW, farmstead, kitchen
from wormbin.farm.errors import DoubtedError
from wormbin.farm.heading import Heading
from wormbin.problems import RefusedError


def test_the_preview_of_an_amended_feeding_leaves_the_wrong_line_out(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    before = farm.preview_feeding("kitchen", ["300 g melon rind"])
    wrong = farm.record_feeding("kitchen", ["3 kg melon rind"], anyway=True).ids[0]
    twice = farm.preview_feeding("kitchen", ["300 g melon rind"])
    right = farm.preview_feeding("kitchen", ["300 g melon rind"], heading=replace(Heading(), replaces=wrong))
    assert twice.share > before.share + 0.2
    assert right.share == pytest.approx(before.share, rel=0.02)
    assert right.waiting_days_after.p50 == pytest.approx(before.waiting_days_after.p50, rel=0.05)
    farm.record_feeding("kitchen", ["300 g melon rind"], heading=Heading(replaces=wrong))
    assert farm.scene("kitchen").past.today.feed_waiting_kg.p50 < 0.9


def test_an_old_feeding_is_put_right_on_its_own_day(tmp_path: Path) -> None:
    """The bin of that day is looked at, without the line; nothing is kept of the other past."""
    farm = kitchen(tmp_path)
    day = NOW.date().replace(month=5, day=20)
    when = f"{day.isoformat()}T07:00"
    wrong = farm.record_feeding("kitchen", ["2 kg melon rind"], heading=Heading(when=when), anyway=True).ids[0]
    now = farm.look("kitchen").gauges
    view = farm.preview_feeding("kitchen", ["200 g melon rind"], heading=Heading(when=when, replaces=wrong))
    assert view.waiting_days_after.p50 < 4
    assert farm.look("kitchen").gauges == now
    assert farmstead(tmp_path).look("kitchen").gauges == now


def test_an_amended_line_keeps_who_wrote_it_and_is_struck_by_its_right_one(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    wrong = farm.record_water("kitchen", "1 L", Heading(by="Ines")).ids[0]
    right = farm.record_water("kitchen", "2 L", Heading(replaces=wrong)).ids[0]
    assert farm.store.find(right).by == "Ines"
    with pytest.raises(RefusedError, match=f"That line was put right by {right}: strike {right}"):
        farm.strike(wrong, "mistyped")
    farm.strike(right, "mistyped")
    farm.record_harvest("kitchen", "2 kg", lot="may")
    lots = farm.castings()
    sold = lots.sell("may", "1 kg", heading=Heading(by="Ines")).ids[0]
    again = lots.sell("may", "500 g", heading=Heading(replaces=sold)).ids[0]
    assert farm.store.find_line(again).by == "Ines"
    with pytest.raises(RefusedError, match=f"strike {again}"):
        farm.strike(sold, "mistyped")


def test_nothing_left_to_take_back_is_said_in_a_plain_sentence(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    farm.care().backup()
    (copy,) = farm.care().backups()[-1:]
    farm.record_water("kitchen", "1 L")
    lines = farm.care().restore(Path(copy)).lines
    assert "undo does not take that back" in lines[-1]
    with pytest.raises(RefusedError, match=r"A restore is not taken back by undo.*before-restore"):
        farm.undo()
    with pytest.raises(RefusedError, match="There is nothing to do again"):
        farm.redo()


def test_the_preview_of_a_line_put_right_twice_leaves_every_wrong_one_out(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    before = farm.preview_feeding("kitchen", ["300 g kale"])
    (wrong,) = farm.record_feeding("kitchen", ["4 kg kale"], anyway=True).ids
    (better,) = farm.record_feeding("kitchen", ["2 kg kale"], heading=Heading(replaces=wrong), anyway=True).ids
    again = farm.preview_feeding("kitchen", ["300 g kale"], heading=Heading(replaces=better))
    assert again.share == pytest.approx(before.share, rel=0.02)
    assert again.waiting_days_after.p50 == pytest.approx(before.waiting_days_after.p50, rel=0.05)


def test_striking_a_right_line_says_which_one_stands_again_and_asks_first(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    wrong = farm.record_water("kitchen", "1 L").ids[0]
    right = farm.record_water("kitchen", "2 L", Heading(replaces=wrong)).ids[0]
    with pytest.raises(
        DoubtedError, match=f"line {wrong} stands again: watered 1 L. If both are wrong, strike {wrong}"
    ):
        farm.strike(right, "mistyped", ask=True)
    assert farm.store.find(right).struck is None
    assert f"line {wrong} stands again: watered 1 L" in farm.strike(right, "mistyped").sentence
    assert "stands again" not in farm.strike(wrong, "mistyped", ask=True).sentence
    lots = farm.castings()
    farm.record_harvest("kitchen", "2 kg", lot="may")
    sold = lots.sell("may", "1 kg").ids[0]
    again = lots.sell("may", "500 g", heading=Heading(replaces=sold)).ids[0]
    with pytest.raises(DoubtedError, match=f"line {sold} stands again: lot may: sold 1 kg"):
        farm.strike(again, "mistyped", ask=True)


def test_striking_a_right_line_is_held_back_at_the_command_line(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    wrong = farm.record_water("kitchen", "1 L").ids[0]
    right = farm.record_water("kitchen", "2 L", Heading(replaces=wrong)).ids[0]
    ran = run(tmp_path, "strike", right, "--why", "mistyped")
    assert (ran.code, ran.out) == (1, "")
    assert f"line {wrong} stands again" in ran.err
    assert "Nothing was saved. --yes strikes it." in ran.err
    ran = run(tmp_path, "strike", right, "--why", "mistyped", "--yes")
    assert ran.code == 0
    assert f"strike {wrong} as well" in ran.out
    assert run(tmp_path, "strike", wrong, "--why", "mistyped").code == 0
