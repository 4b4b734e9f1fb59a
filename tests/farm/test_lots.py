"""Castings after the harvest through the doorway: harvest into a lot, steps, sales, uses, origins, stock, plan."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest

from tests.farm.a_farm import NOW, open_farm
from wormbin.farm import log_files, recording, starts
from wormbin.farm.errors import DoubtedError
from wormbin.farm.heading import Heading
from wormbin.farm.lots import Lots
from wormbin.farm.recording.lines import record_feeding, write
from wormbin.farm.samples import copy_sample
from wormbin.farm.session import Session
from wormbin.farm.views.proposals import BinDraft
from wormbin.problems import RefusedError, UnclearError
from wormbin.records.entries import Harvest, Kind
from wormbin.records.kinds.castings import LotKind
from wormbin.records.lots import LotStep


def begun(folder: Path, now: datetime = NOW) -> Session:
    farm = open_farm(folder, now)
    for key in ("kitchen", "attic"):
        draft = BinDraft(key=key, name=key.title(), length="60 cm", width="40 cm", depth="30 cm", worms="500 g")
        starts.start(farm, draft)
    return farm


@pytest.fixture
def farm(tmp_path: Path) -> Session:
    return begun(tmp_path / "s")


def later(farm: Session, days: int) -> Session:
    return open_farm(farm.folder, NOW + timedelta(days=days))


def test_a_harvest_opens_a_lot_and_the_next_joins_it_by_its_name_in_any_capitals(farm: Session) -> None:
    first = write(farm, "kitchen", Kind.HARVEST, {"castings": "4.5 kg", "moisture": "70", "lot": "Spring 26"})
    assert "harvested 4.5 kg into lot Spring 26, moisture 70% - written down; opens lot Spring 26" in first.sentence
    assert len(first.ids) == 1
    second = write(farm, "attic", Kind.HARVEST, {"castings": "2 kg", "lot": " spring  26 "})
    assert "joins lot Spring 26: 6.5 kg from 2 harvests" in second.sentence
    (view,) = Lots(farm).all()
    assert (view.name, view.kg, view.step) == ("Spring 26", 6.5, LotStep.HARVESTED)
    assert sorted(view.bins) == ["attic", "kitchen"]
    assert not view.litres_read
    assert view.litres == pytest.approx(6.5 / 0.7)
    assert farm.store.check().flaws == ()


def test_a_harvest_without_a_lot_is_as_before(farm: Session) -> None:
    write(farm, "kitchen", Kind.HARVEST, {"castings": "4.5 kg"})
    assert Lots(farm).all() == ()
    assert not (farm.folder / "castings").exists()


def test_a_use_from_a_lot_that_has_not_cured_is_asked_about_and_a_sieved_one_is_not(farm: Session) -> None:
    write(farm, "kitchen", Kind.HARVEST, {"castings": "10 kg", "lot": "may"})
    lots = Lots(later(farm, 20))
    asking = Heading(ask=True)
    for step in ("", "curing"):
        if step:
            lots.write("may", LotKind.STEP, {"step": step})
        with pytest.raises(DoubtedError, match="not cured yet"):
            lots.write("may", LotKind.USE, {"amount": "1 kg", "purpose": "pots"}, asking)
        assert lots.lot("may").used_kg == 0
    lots.write("may", LotKind.USE, {"amount": "1 kg", "purpose": "pots"})
    lots.write("may", LotKind.STEP, {"step": "screened", "mass": "7 kg", "volume": "10 L", "moisture": "60"})
    lots.write("may", LotKind.USE, {"amount": "1 kg", "purpose": "pots"}, asking)
    assert lots.lot("may").used_kg == 2.0


def test_a_use_says_how_much_goes_on_a_planted_pot_and_what_to_mind_with_a_tea(farm: Session) -> None:
    write(farm, "kitchen", Kind.HARVEST, {"castings": "10 kg", "lot": "may"})
    lots = Lots(farm)
    dry = " ".join(lots.write("may", LotKind.USE, {"amount": "1 kg", "purpose": "pots"}).warnings)
    assert "about 1 cm on top" in dry
    assert "Bubble" not in dry
    assert "Keep it off anything that is eaten" in " ".join(
        lots.write("may", LotKind.USE, {"amount": "1 kg", "purpose": "Tea for the roses"}).warnings
    )


def test_a_lot_goes_its_way_to_the_buyer(farm: Session) -> None:
    write(farm, "kitchen", Kind.HARVEST, {"castings": "10 kg", "lot": "may"})
    lots = Lots(later(farm, 20))
    lots.write("may", LotKind.STEP, {"step": "cur"})
    screened = lots.write("may", LotKind.STEP, {"step": "screened", "mass": "7 kg", "volume": "10 L", "moisture": "60"})
    assert screened.sentence == ("lot may: screened, 7 kg, 10 L, moisture 60% - written down; 7 kg in it now")
    assert any("mask" in words for words in screened.warnings)
    early = lots.write("may", LotKind.SALE, {"amount": "1 kg"})
    assert "lot may is screened, not in stock yet" in early.warnings
    lots.write("may", LotKind.STEP, {"step": "stock"})
    sold = lots.write("ma", LotKind.SALE, {"amount": "2 kg", "purpose": "market", "price": "12.50"})
    assert sold.sentence == "lot may: sold 2 kg for market, 12.5 paid - written down; 4 kg in it now"
    assert any("What to mind before a sale" in words for words in sold.warnings)
    used = lots.write("may", LotKind.USE, {"amount": "1 L", "purpose": "tomato pots"})
    assert used.sentence.startswith("lot may: used 1 L for tomato pots")
    assert any("salty" in words for words in used.warnings)
    stock = lots.stock()
    assert stock.kg == pytest.approx(10 - 3 - 3 - 0.7)
    assert stock.litres == pytest.approx(stock.kg / 0.7)
    (view,) = stock.lots
    assert (view.sold_kg, view.changed_kg, view.taken) == (3.0, -3.0, 12.5)
    assert view.used_kg == pytest.approx(0.7)
    assert lots.write("may", LotKind.SALE, {"amount": "all"}).sentence.endswith("nothing is left in it")
    assert lots.stock().lots == ()


def test_never_more_out_than_in_and_what_is_wrong_is_told(farm: Session) -> None:
    write(farm, "kitchen", Kind.HARVEST, {"castings": "4 kg", "lot": "may"})
    lots = Lots(farm)
    wrong: tuple[tuple[Callable[[], object], str], ...] = (
        (lambda: lots.write("may", LotKind.SALE, {"amount": "5 kg"}), "amount: “5 kg” does not fit. Write up to 4 kg"),
        (lambda: lots.write("may", LotKind.SALE, {"amount": "a lot"}), "amount"),
        (lambda: lots.write("may", LotKind.SALE, {"amount": "1 kg", "price": "dear"}), "price"),
        (lambda: lots.write("may", LotKind.USE, {"amount": "1 kg"}, Heading(when="2026-05-01")), "up to 0 g"),
        (
            lambda: lots.write("may", LotKind.USE, {"amount": "1 kg"}, Heading(when="2027-05-01")),
            "a moment that has been",
        ),
        (lambda: lots.write("may", LotKind.STEP, {"step": "drying"}), "step: “drying” does not fit. Write one of"),
        (lambda: lots.write("may", LotKind.STEP, {"step": "harvested"}), "Write curing, screened, stock"),
        (lambda: lots.write("may", LotKind.STEP, {"step": "curing", "mass": "12 kg"}), "up to twice the 4 kg"),
        (lambda: lots.write("may", LotKind.MEASURED, {}), "a mass, a volume or a moisture"),
        (lambda: lots.write("may", LotKind.MEASURED, {"mass": "2 L"}), "mass"),
        (lambda: lots.write("june", LotKind.SALE, {"amount": "1 kg"}), "one of your lots: may"),
        (lambda: write(farm, "kitchen", Kind.HARVEST, {"castings": "4 kg", "lot": "-x"}), "lot: “-x” does not fit"),
        (lambda: write(farm, "kitchen", Kind.HARVEST, {"castings": "4 kg", "lot": "x" * 41}), "up to 40 letters"),
    )
    for act, words in wrong:
        with pytest.raises(RefusedError, match=words):
            act()
    assert [view.kg for view in lots.all()] == [4.0]
    whats = [entry.what for entry in farm.entries("kitchen")]
    assert [each for each in whats if isinstance(each, Harvest)] == [Harvest(4.0, said="4 kg", lot="may")]


def test_a_harvest_is_amended_with_its_lot_and_struck_with_it_unless_it_was_sold_from(farm: Session) -> None:
    (entry,) = write(farm, "kitchen", Kind.HARVEST, {"castings": "4 kg", "lot": "may"}).ids
    (right,) = write(farm, "kitchen", Kind.HARVEST, {"castings": "5 kg"}, Heading(replaces=entry)).ids
    assert [(view.name, view.kg) for view in Lots(farm).all()] == [("may", 5.0)]
    (sale,) = Lots(farm).write("may", LotKind.SALE, {"amount": "3 kg"}).ids
    with pytest.raises(RefusedError, match=f"first strike that 3 kg were sold on 2026-06-01 .line {sale}."):
        write(farm, "kitchen", Kind.HARVEST, {"castings": "5 kg", "lot": ""}, Heading(replaces=right))
    with pytest.raises(RefusedError, match="Else only 2 kg would have been in it"):
        write(farm, "kitchen", Kind.HARVEST, {"castings": "2 kg"}, Heading(replaces=right))
    struck = recording.strike(farm, sale, "brought back", "Ana")
    assert struck.sentence == "struck through: lot may: sold 3 kg (brought back)"
    recording.strike(farm, right[:6], "mistyped")
    assert Lots(farm).all()[0].kg == 4.0, "the line that was amended stands again"
    write(farm, "kitchen", Kind.HARVEST, {"castings": "4 kg", "lot": ""}, Heading(replaces=entry))
    assert Lots(farm).all() == ()
    assert farm.store.check().flaws == ()


def test_undo_takes_a_harvest_out_of_its_lot_and_says_so_once(farm: Session) -> None:
    write(farm, "kitchen", Kind.HARVEST, {"castings": "4 kg", "lot": "may"})
    assert recording.undo(farm).sentence == "taken back (recorded): harvested 4 kg into lot may"
    assert Lots(farm).all() == ()
    write(farm, "kitchen", Kind.HARVEST, {"castings": "4 kg", "lot": "may"})
    Lots(farm).write("may", LotKind.SALE, {"amount": "1 kg"})
    assert recording.undo(farm).sentence == "taken back (recorded): lot may: sold 1 kg"
    assert Lots(farm).all()[0].kg == 4.0


def test_a_sale_is_put_right(farm: Session) -> None:
    write(farm, "kitchen", Kind.HARVEST, {"castings": "4 kg", "lot": "may"})
    (sale,) = Lots(farm).write("may", LotKind.SALE, {"amount": "3 kg"}).ids
    done = Lots(farm).write("may", LotKind.SALE, {"amount": "all"}, Heading(replaces=sale))
    assert done.sentence == "lot may: sold 4 kg - put right; nothing is left in it"
    assert Lots(farm).all()[0].sold_kg == 4.0


def test_a_lot_shows_where_it_came_from_and_a_bin_where_its_castings_went(farm: Session) -> None:
    early = Heading(when=f"{NOW.date()}T08:00")
    record_feeding(farm, "kitchen", ["300 g melon rind", "100 g coffee grounds"], anyway=True, heading=early)
    write(farm, "kitchen", Kind.HARVEST, {"castings": "3 kg", "lot": "may"})
    write(farm, "attic", Kind.HARVEST, {"castings": "1 kg", "lot": "may"})
    page = Lots(farm).show("may")
    kitchen = next(each for each in page.origins if each.bin == "kitchen")
    assert (kitchen.name, kitchen.kg, kitchen.share, kitchen.since) == ("Kitchen", 3.0, 0.75, NOW.date())
    assert [(each.material, each.kg) for each in kitchen.feeds] == [("melon-rind", 0.3), ("coffee-grounds", 0.1)]
    assert len(page.lines) == 2
    assert any("local law" in words for words in page.cautions)
    (went,) = Lots(farm).went("attic")
    assert (went.lot.name, went.kg, went.share) == ("may", 1.0, 0.25)
    recording.strike(farm, kitchen.entry, "mistyped")
    assert [line.struck for line in Lots(farm).show("may", struck=True).lines].count(True) == 1


def test_yields_by_bin(farm: Session) -> None:
    early = Heading(when=f"{NOW.date()}T08:00")
    record_feeding(farm, "kitchen", ["2 kg melon rind"], anyway=True, heading=early)
    write(farm, "kitchen", Kind.HARVEST, {"castings": "1 kg"})
    kitchen = next(view for view in Lots(farm).yields() if view.bin == "kitchen")
    assert (kitchen.castings_kg, kitchen.feed_kg, kitchen.per_feed) == (1.0, 2.0, 0.5)
    assert kitchen.per_m2 == pytest.approx(1 / 0.24)


def test_a_day_in_the_past_shows_what_was_there_then(farm: Session) -> None:
    write(farm, "kitchen", Kind.HARVEST, {"castings": "4 kg", "lot": "may"})
    then = later(farm, 10)
    Lots(then).write("may", LotKind.SALE, {"amount": "1 kg"})
    assert [view.kg for view in Lots(then).all(NOW.date())] == [4.0]
    assert [view.kg for view in Lots(then).all()] == [3.0]
    assert Lots(then).all(date(2026, 1, 1)) == ()


def test_two_programs_cannot_sell_the_same_castings(farm: Session) -> None:
    write(farm, "kitchen", Kind.HARVEST, {"castings": "4 kg", "lot": "may"})
    other = open_farm(farm.folder)
    assert Lots(other).all()[0].kg == 4.0
    Lots(farm).write("may", LotKind.SALE, {"amount": "3 kg"})
    with pytest.raises(RefusedError, match="up to 1 kg"):
        Lots(other).write("may", LotKind.SALE, {"amount": "3 kg"})


def test_a_plan_counts_stock_lots_and_bins(farm: Session) -> None:
    write(farm, "kitchen", Kind.HARVEST, {"castings": "10 kg", "lot": "may"})
    view = Lots(farm).plan("5 kg", "2026-08-01")
    assert (view.kg, view.by, view.in_stock_kg, view.cure_days) == (5.0, date(2026, 8, 1), 0.0, 28)
    assert view.on_the_way_kg == pytest.approx(6.0)
    assert view.likelihood == 1.0
    more = Lots(farm).plan("200 kg", "2026-08-01")
    assert more.likelihood < 0.01
    assert {each.bin for each in more.bins} == {"kitchen", "attic"}
    assert more.bins[0].harvest_by == date(2026, 7, 4)
    with pytest.raises(RefusedError, match="by: “2026-05-01”"):
        Lots(farm).plan("5 kg", "2026-05-01")
    with pytest.raises(RefusedError, match="kg"):
        Lots(farm).plan("5 L", "2026-08-01")


def test_names_that_may_mean_two_lots_are_asked_about(farm: Session) -> None:
    write(farm, "kitchen", Kind.HARVEST, {"castings": "1 kg", "lot": "may 1"})
    write(farm, "kitchen", Kind.HARVEST, {"castings": "1 kg", "lot": "may 2"})
    with pytest.raises(UnclearError, match="the name of one lot: may 1, may 2"):
        Lots(farm).show("may")


def test_an_export_is_brought_in_as_the_same_store(farm: Session, tmp_path: Path) -> None:
    (entry,) = write(farm, "kitchen", Kind.HARVEST, {"castings": "4 kg", "lot": "may"}).ids
    write(farm, "kitchen", Kind.HARVEST, {"castings": "5 kg"}, Heading(replaces=entry))
    lots = Lots(farm)
    lots.write("may", LotKind.STEP, {"step": "curing", "mass": "4.5 kg"})
    (sale,) = lots.write("may", LotKind.SALE, {"amount": "1 kg", "purpose": "market", "price": "9"}).ids
    recording.strike(farm, sale, "brought back")
    lots.write("may", LotKind.USE, {"amount": "2 L", "purpose": "pots"})
    said = log_files.write_out(farm, tmp_path / "out")
    assert "rows written" in said.sentence
    other = open_farm(tmp_path / "other")
    assert "5 lines of lots" in log_files.bring_in(other, tmp_path / "out").sentence
    assert other.store.lot_lines() == farm.store.lot_lines()
    assert other.store.entries("kitchen") == farm.store.entries("kitchen")
    assert Lots(other).all() == Lots(farm).all()
    assert other.store.check().flaws == ()
    assert "brought in 0 entries" in log_files.bring_in(other, tmp_path / "out").sentence
    assert other.store.lot_lines() == farm.store.lot_lines()


def test_what_two_machines_sold_too_much_of_is_shown_and_still_comes_in_by_files(farm: Session, tmp_path: Path) -> None:
    write(farm, "kitchen", Kind.HARVEST, {"castings": "4 kg", "lot": "may"})
    log_files.write_out(farm, tmp_path / "first")
    laptop = open_farm(tmp_path / "laptop")
    log_files.bring_in(laptop, tmp_path / "first")
    Lots(laptop).write("may", LotKind.SALE, {"amount": "3 kg"})
    Lots(farm).write("may", LotKind.SALE, {"amount": "3 kg"})
    farm.store.merge(laptop.folder)
    (view,) = Lots(farm).all()
    assert view.kg == 0.0
    assert view.short.startswith("more went out of lot may than was in it, by 2 kg: strike or amend the line")
    log_files.write_out(farm, tmp_path / "second")
    third = open_farm(tmp_path / "third")
    log_files.bring_in(third, tmp_path / "second")
    assert third.store.lot_lines() == farm.store.lot_lines()


def test_a_plan_takes_the_harvests_from_the_round_and_works_nothing_out_again(
    farm: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    fresh = Lots(farm).plan("5 kg", "2026-08-01")
    again = open_farm(farm.folder)
    monkeypatch.setattr(Session, "scene", lambda *_a, **_k: pytest.fail("worked out again"))
    assert Lots(again).plan("5 kg", "2026-08-01") == fresh
    with pytest.raises(pytest.fail.Exception):
        Lots(again).plan("5 kg", "2027-05-01")


def test_a_plan_for_a_far_day_is_worked_out_once(farm: Session, monkeypatch: pytest.MonkeyPatch) -> None:
    far = Lots(farm).plan("5 kg", "2027-02-01")
    again = open_farm(farm.folder)
    monkeypatch.setattr(Session, "scene", lambda *_a, **_k: pytest.fail("worked out again"))
    assert Lots(again).plan("5 kg", "2027-02-01") == far
    with pytest.raises(pytest.fail.Exception):
        Lots(again).plan("5 kg", "2027-02-02")
    monkeypatch.undo()
    write(farm, "kitchen", Kind.WATERING, {"amount": "1 L"})
    other = Lots(open_farm(farm.folder)).plan("5 kg", "2027-02-01")
    assert [each for each in other.bins if each.bin == "attic"] == [each for each in far.bins if each.bin == "attic"]


def test_a_plan_beyond_the_round_s_look_ahead_says_of_the_near_days_what_the_round_says(tmp_path: Path) -> None:
    lots = Lots(copy_sample("apartment", tmp_path / "apartment").session())
    near, far = (lots.plan("5 kg", by).bins[0] for by in ("2027-01-15", "2027-06-15"))
    assert near.earliest is not None
    assert (near.bin, near.earliest) == (far.bin, far.earliest)


def test_a_bin_that_cannot_be_read_is_left_out_of_a_plan_and_named(farm: Session) -> None:
    (farm.folder / "bins/kitchen/2026.json").write_bytes(b"{")
    view = Lots(open_farm(farm.folder)).plan("5 kg", "2026-08-01")
    assert [each.bin for each in view.bins] == ["attic"]
    assert any(words.startswith("Kitchen cannot be read and is left out: ") for words in view.words)


def test_a_plan_offers_no_day_that_has_gone_by(farm: Session) -> None:
    view = Lots(farm).plan("5 kg", "2026-06-03")
    assert all(each.ready == 0.0 and each.harvest_by < NOW.date() for each in view.bins)
    assert any(words.startswith("that day has gone by") for words in view.words)
    days = [day for each in view.bins for day in (each.earliest, each.likely, each.latest, each.on) if day]
    assert all(day >= NOW.date() for day in days)
