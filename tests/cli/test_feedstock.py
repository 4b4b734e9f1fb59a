"""Loads, piles and money by command: what a market seller writes in a season, and a load that is called back."""

from __future__ import annotations

import csv
import json
import shlex
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from tests.cli.running import Ran, run
from tests.farm.a_farm import NOW, kitchen, made_once

DAY = NOW.date()


def ago(days: int) -> str:
    return (DAY - timedelta(days=days)).isoformat()


def fine(store: Path, *words: str) -> Ran:
    ran = run(store, *words)
    assert ran.code == 0, ran.err
    return ran


def asked(store: Path, *words: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(fine(store, "--json", *words).out)
    return found


@made_once
def season(store: Path) -> None:
    """A load, of which 2 kg are fed before a harvest into a lot, which is screened, bagged and sold."""
    kitchen(store)
    fine(store, "loads", "add", "rinds-1", "6 kg mango skin", "--from", "Mill Lane", "--price", "3", "--when", ago(20))
    fine(store, "loads", "open", "rinds-1", "--when", ago(20))
    fine(store, "feed", "kitchen", "2 kg mango skin", "--yes", "--when", ago(15))
    fine(store, "harvest", "kitchen", "4 kg", "--lot", "may", "--yes", "--when", ago(10))
    fine(store, "castings", "step", "may", "stock", "--mass", "3 kg", "--when", ago(5), "--yes")
    fine(store, "settings", "measure", "bag 1 kg")
    fine(store, "settings", "price", "bag 9.50")
    fine(store, "castings", "sell", "may", "2 bags", "--buyer", "Ana", "--for", "market", "--when", ago(3))


def test_a_bag_reaches_back_to_the_load_and_a_bad_load_forward_to_the_buyer(store: Path) -> None:
    season(store)
    out = " ".join(fine(store, "loads").out.split())
    assert "4 kg on hand" in out
    assert "a week used: more than goes before it rots" in out
    assert "of loads: 2 kg rinds-1" in fine(store, "castings", "show", "may").out
    fine(store, "loads", "bad", "rinds", "--why", "wormer in it")
    out = fine(store, "loads", "recall", "rinds-1").out
    for words in (
        "turned out bad: wormer in it", "set the 4 kg aside", "tell the buyers: Ana", "2 kg into Kitchen (kitchen)",
        "may: from kitchen", "2 kg of may: Ana, market",
    ):  # fmt: skip
        assert words in out
    page = asked(store, "loads", "recall", "rinds-1")
    assert page["kg"] == 4.0
    assert [each["likely"] for each in page["lots"]] == [True]
    assert "0 g on hand" in fine(store, "loads").out, "a bad load is none to feed from"


def test_a_harvest_is_tried_before_it_is_written(store: Path) -> None:
    season(store)
    before = fine(store, "log", "kitchen").out
    tried = fine(store, "harvest", "kitchen", "1 kg", "--lot", "june", "--try").out
    for words in ("harvested 1 kg into lot june, against what is planned", "opens lot june", "as planned: harvest"):
        assert words in tried
    assert "Keep it?" in fine(store, "harvest", "kitchen", "90 kg", "--lot", "june", "--try").out
    refused = run(store, "harvest", "kitchen", "1 kg", "--lot", "may", "--try")
    assert refused.code != 0
    assert "a lot that is not in stock yet" in refused.err
    assert fine(store, "log", "kitchen").out == before


def test_a_later_harvest_of_a_bed_that_got_a_bad_load_is_named_as_perhaps(store: Path) -> None:
    fine(store, "loads", "add", "rinds-1", "6 kg mango skin", "--when", ago(39))
    fine(store, "feed", "kitchen", "1 kg mango skin", "--yes", "--when", ago(38))
    for lot, days in (("may", 37), ("june", 8), ("july", 1)):
        fine(store, "harvest", "kitchen", "1 kg", "--lot", lot, "--yes", "--when", ago(days))
    page = asked(store, "loads", "recall", "rinds-1")
    assert [(each["lot"], each["likely"]) for each in page["lots"]] == [("may", True), ("june", True), ("july", False)]
    assert "perhaps: a later harvest of the bed" in fine(store, "loads", "show", "rinds-1").out


def test_a_line_of_a_load_is_amended_struck_and_taken_back_like_any_other(store: Path) -> None:
    season(store)
    entry = asked(store, "loads", "show", "rinds-1")["lines"][0]["entry"]
    fine(store, "amend", entry, "8 kg mango skin")
    (load,) = asked(store, "loads")["loads"]
    assert (load["came_kg"], load["kg"], load["price"], load["from"]) == (8.0, 6.0, 3.0, "Mill Lane")
    ran = run(store, "loads", "add", "rinds-1", "1 kg mango skin")
    assert ran.code == 2
    assert "a name that no other load has" in ran.err
    fine(store, "undo")
    assert asked(store, "loads")["loads"][0]["kg"] == 4.0
    assert run(store, "loads", "open", "straw-9").code == 2


def test_what_a_kilogram_costs_and_all_of_it_in_a_spreadsheet(store: Path, tmp_path: Path) -> None:
    """2 of 6 kg at 3.00 are 1.00 of feed; bags for 2.40 and 2 h at 5.00 are 12.40: 13.40 for 3 kg are 4.47 a kg."""
    season(store)
    fine(store, "settings", "currency", "EUR")
    fine(store, "settings", "hour-rate", "5")
    fine(store, "costs", "add", "bags", "--price", "2.40")
    fine(store, "costs", "add", "sieving", "--hours", "2", "--lot", "may")
    out = fine(store, "costs").out
    assert "taken 19.00, spent 15.40, leaves 3.60 EUR" in out
    (lot,) = asked(store, "costs", "lots")["lots"]
    assert (lot["feed"], lot["own"], lot["general"], lot["cost"], lot["cost_per_kg"]) == (1.0, 10.0, 2.4, 13.4, 4.47)
    entry = next(each["entry"] for each in asked(store, "costs")["amounts"] if each["name"] == "bags")
    assert f"#{entry}" in fine(store, "costs", "entries").out
    fine(store, "amend", entry, "--price", "3.40")
    assert asked(store, "costs")["spent"] == 16.4
    fine(store, "undo")
    assert "2.00  feedstock in stock" in fine(store, "costs", "lots").out
    fine(store, "costs", "export", str(tmp_path / "money.csv"))
    with (tmp_path / "money.csv").open(newline="") as file:
        rows = list(csv.DictReader(file))
    assert [(each["what"], each["taken"], each["spent"]) for each in rows] == [
        ("feedstock", "", "3.00"), ("sale", "19.00", ""), ("cost", "", "2.40"), ("cost", "", "10.00"),
    ]  # fmt: skip


def test_a_hot_pile_is_released_when_the_readings_show_it_and_asked_about_before(store: Path) -> None:
    fine(store, "piles", "add", "heap", "20 kg rabbit manure", "--way", "vessel", "--when", ago(9))
    for days in (8, 7, 6):
        fine(store, "piles", "check", "heap", "--temp", "58C", "--when", ago(days))
    assert "not yet: 2 of 3 days" in fine(store, "piles").out
    early = run(store, "piles", "release", "heap", "12 kg half-made compost")
    assert early.code == 1
    assert "the readings show 2 days at 55 C, of 3 days" in early.err
    fine(store, "piles", "check", "heap", "--temp", "131F", "--when", ago(5))
    assert "the heat has done its work: 3 of 3 days" in fine(store, "piles", "show", "heap").out
    fine(store, "piles", "release", "heap", "12 kg half-made compost")
    (load,) = asked(store, "loads")["loads"]
    assert (load["load"], load["kg"], load["pile"]) == ("heap", 12.0, "heap")


def test_all_of_it_comes_back_out_of_an_export(store: Path, tmp_path: Path) -> None:
    season(store)
    fine(store, "piles", "add", "heap", "20 kg rabbit manure", "--when", ago(9))
    fine(store, "costs", "add", "bags", "--price", "2.40", "--bin", "kitchen")
    fine(store, "export", str(tmp_path / "out"))
    other = tmp_path / "other"
    fine(other, "import", str(tmp_path / "out"))
    for words in (("loads",), ("costs", "lots"), ("piles",), ("castings", "show", "may")):
        assert fine(other, *words).out == fine(store, *words).out
    assert "(0 were" not in fine(other, "import", str(tmp_path / "out")).out
    assert fine(other, "costs").out == fine(store, "costs").out


def test_an_inspector_is_shown_beds_loads_and_gaps_and_no_certificate(store: Path) -> None:
    season(store)
    bed = fine(store, "record", "kitchen").out
    assert "Guidance, not certification: ask your certifier." in bed
    assert "! 123 are asked for" in bed or "! 122 are asked for" in bed
    lot = fine(store, "castings", "record", "may").out
    for words in ("rinds-1: 2 kg", "from Mill Lane; treated: ! nobody said", "layers: fed on", "Guidance, not certif"):
        assert words in lot


def test_a_label_has_lot_day_mass_room_and_feedstocks_and_claims_nothing(store: Path) -> None:
    season(store)
    label = fine(store, "castings", "label", "may").out
    for words in ("Lot may", "Net 1 kg when packed", "Made by worms from:", "mango", "No nutrient claim", "local law"):
        assert words in label
    inside = label.split("- - ")[1:-1]
    assert not any(word in str(inside).casefold() for word in ("nitrogen", "npk", "fertiliz", "organic"))
    assert asked(store, "castings", "label", "may", "--size", "2 kg")["kg"] == 2.0
    fine(store, "loads", "bad", "rinds-1", "--why", "wormer")
    assert "! load rinds-1 behind this lot turned out bad" in fine(store, "castings", "label", "may").out


def test_worms_are_sold_from_where_there_are_enough_and_never_more_than_can_be_spared(store: Path) -> None:
    (row,) = asked(store, "worms")["bins"]
    assert row["spare_kg"] <= max(0.0, row["worms_kg"]["p10"] - row["needs_kg"]) + 1e-6 or not row["survey_due"]
    out = fine(store, "worms", "plan", "5 kg").out
    assert "are missing" in out
    fine(store, "settings", "price", "worms 80")
    fine(store, "stock", "kitchen", "50 g", "--out", "--who", "Ana", "--yes")
    assert "taken 4.00, spent 0.00" in fine(store, "costs").out


def test_tails_are_written_off_in_one_go_and_a_sale_before_its_day_is_asked_about(store: Path) -> None:
    season(store)
    early = run(store, "castings", "sell", "may", "100 g", "--when", ago(8))
    assert early.code == 1
    assert f"on {ago(8)} was harvested, not in stock yet" in early.err
    assert run(store, "castings", "write-off", "1 kg").code == 2
    assert "written off: 1 kg of may" in fine(store, "castings", "write-off", "1.1 kg").out
    assert asked(store, "castings", "list", "--only", "stock")["lots"] == []
    assert asked(store, "castings")["lots"][0]["used_kg"] == 1.0
    fine(store, "undo")
    assert asked(store, "castings")["lots"][0]["kg"] == 1.0


def test_an_import_that_sells_more_than_there_was_says_so(store: Path, tmp_path: Path) -> None:
    season(store)
    folder = tmp_path / "in"
    folder.mkdir()
    (folder / "castings.csv").write_text(f"when,lot,kind,amount,unit\n{ago(1)},may,sale,5,kg\n")
    ran = fine(store, "import", str(folder))
    assert "more went out of lot may than was in it, by 4 kg" in ran.out + ran.err


def test_a_lot_that_a_bad_load_reached_is_marked_and_is_not_sold_without_a_word(store: Path) -> None:
    season(store)
    fine(store, "castings", "sell", "may", "100 g", "--buyer", "Bea")
    assert "called back" not in fine(store, "castings").out
    fine(store, "loads", "bad", "rinds-1", "--why", "clopyralid found")
    for verb in ("sell", "use"):
        ran = run(store, "castings", verb, "may", "100 g")
        assert ran.code == 1
        assert "lot may is called back: load rinds-1 turned out bad: clopyralid found" in ran.err
    fine(store, "castings", "sell", "may", "100 g", "--yes")
    for words in (("castings",), ("castings", "on-hand"), ("castings", "show", "may")):
        assert "! called back" in fine(store, *words).out
    assert " of it called back; on its way" in fine(store, "castings", "on-hand").out


def test_orders_and_plans_leave_out_what_is_called_back(store: Path) -> None:
    season(store)
    by = (DAY + timedelta(days=3)).isoformat()
    (order,) = asked(store, "orders", "add", "stall", "400 g", "--due", by)["entries"]
    fine(store, "amend", order, "500 g")
    assert [each["kg"] for each in asked(store, "orders")["orders"]] == [0.5]
    plan = ("castings", "plan", "--kg", "0.2", "--by", by)
    assert "1 kg is in stock" in fine(store, *plan).out
    assert "turned out bad" not in fine(store, "loads", "recall", "rinds-1").out
    assert "called back" not in fine(store, "orders").out
    fine(store, "loads", "bad", "rinds-1", "--why", "clopyralid found")
    assert "0 g is in stock" in fine(store, *plan).out
    for words in (plan, ("orders",)):
        assert "1 kg called back not counted: may" in fine(store, *words).out


def test_a_plan_is_held_afterwards_against_what_came(store: Path) -> None:
    season(store)
    plan = ("castings", "plan", "--kg", "1", "--by", (DAY + timedelta(days=18)).isoformat())
    assert f"ask it again as of {DAY.isoformat()}" in fine(store, *plan).out
    then = " ".join(fine(store, *plan, "--on", ago(30)).out.split())
    assert "What came so far 2.4 kg finished off the bins in time;" in then  # six tenths of 4 kg
    assert "Kitchen: 2.4 kg, the last Fri 22 May" in then
    late = (*plan[:-1], (DAY + timedelta(days=17)).isoformat(), "--on", ago(30))  # 28 days to cure
    assert "What came so far 0 g finished" in " ".join(fine(store, *late).out.split())
    assert asked(store, *plan, "--on", ago(10))["came"] == []


def test_what_a_bad_load_may_have_given_is_not_fed_without_a_word(store: Path) -> None:
    season(store)
    fine(store, "loads", "bad", "rinds", "--why", "wormer in it")
    before = len(asked(store, "log", "kitchen")["entries"])
    ran = run(store, "feed", "kitchen", "50 g mango skin")
    assert ran.code == 1
    assert "load rinds-1 turned out bad: wormer in it" in ran.err
    assert len(asked(store, "log", "kitchen")["entries"]) == before
    fine(store, "feed", "kitchen", "50 g mango skin", "--yes")
    fine(store, "loads", "left", "rinds", "0 kg")
    assert "turned out bad" not in run(store, "feed", "kitchen", "50 g mango skin", "--yes").err


def test_a_bad_load_is_not_opened_without_a_word(store: Path) -> None:
    season(store)
    fine(store, "loads", "bad", "rinds-1", "--why", "clopyralid found")
    ran = run(store, "loads", "open", "rinds-1")
    assert ran.code == 1
    assert "load rinds-1 turned out bad: clopyralid found. Open it all the same?" in ran.err
    fine(store, "loads", "open", "rinds-1", "--yes")


def test_an_order_far_ahead_is_told_and_one_at_risk_is_named_by_the_recall(store: Path) -> None:
    season(store)
    far, soon = DAY + timedelta(days=200), (DAY + timedelta(days=3)).isoformat()
    fine(store, "orders", "add", "late", "2 kg", "--due", far.isoformat(), "--buyer", "Corner cafe")
    out = " ".join(fine(store, "orders").out.split())
    assert f"{far} late Corner cafe 2 kg - open What" in out
    assert f"wormbin castings plan --kg 0 --by {far}" in out
    assert [each["order"] for each in asked(store, "orders")["orders"]] == ["late"]
    fine(store, "orders", "add", "stall", "900 g", "--due", soon, "--buyer", "Ana", "--every", "14")
    out = " ".join(fine(store, "orders").out.split())
    assert f"{soon} stall Ana 900 g - open, all but certain" in out
    assert "stall goes on after these, every 14 days" in out
    fine(store, "loads", "bad", "rinds", "--why", "wormer in it")
    assert "order stall, 900 g to Ana by" in " ".join(fine(store, "loads", "recall", "rinds").out.split())


def test_what_is_sieved_and_cured_counts_for_an_order_and_is_asked_into_stock(store: Path) -> None:
    fine(store, "harvest", "kitchen", "4 kg", "--lot", "may", "--yes", "--when", ago(10))
    fine(store, "castings", "step", "may", "curing", "--when", ago(10))
    fine(store, "orders", "add", "stall", "2 kg", "--due", (DAY + timedelta(days=3)).isoformat())
    assert "hardly" in fine(store, "orders").out
    fine(store, "castings", "step", "may", "screened", "--mass", "3 kg")
    out = " ".join(fine(store, "orders").out.split())
    assert "open, all but certain" in out
    assert "3 kg sieved, not in stock yet. Is it cured? wormbin castings step may stock" in out


def test_more_castings_than_ever_went_in_are_asked_about_also_the_second_time(store: Path) -> None:
    said = run(store, "harvest", "kitchen", "45 kg").err
    assert "more than what your log put in, water included, and still has there: " in " ".join(said.split())
    put_in = float(" ".join(said.split()).split("still has there: ")[1].split(" kg")[0])
    over = run(store, "harvest", "kitchen", f"{put_in + 1:.2f} kg")
    assert "more than what your log put in" in over.err
    assert over.code == 1
    assert "more than what your log put in" not in run(store, "harvest", "kitchen", f"{put_in - 1:.2f} kg").err
    fine(store, "harvest", "kitchen", f"{put_in - 1:.2f} kg", "--yes")
    assert "more than what your log put in" in run(store, "harvest", "kitchen", "2 kg").err


def test_a_name_with_a_comma_reads_back_beside_other_things(store: Path) -> None:
    fine(store, "feed", "kitchen", "20 g horse manure with bedding, aged, 10 g coffee grounds", "--yes")
    line = asked(store, "log", "kitchen")["entries"][-1]
    assert "20 g" in line["words"]
    assert "10 g" in line["words"]


def test_castings_sieved_within_days_of_the_harvest_are_asked_about_and_their_label_says_wait(store: Path) -> None:
    fine(store, "harvest", "kitchen", "2 kg", "--lot", "may", "--yes", "--when", ago(6))
    assert "has not cured" in run(store, "castings", "step", "may", "stock").err
    assert run(store, "castings", "step", "may", "curing", "--when", ago(6)).code == 0
    out = " ".join(fine(store, "castings", "label", "may").out.split())
    assert "! the lot is curing: weigh and label its bags once it is in stock" in out
    assert "All of it is taken as one bag" in out
    assert "one bag" not in fine(store, "castings", "label", "may", "--size", "1 kg").out
    fine(store, "harvest", "kitchen", "1 kg", "--lot", "old", "--yes", "--when", ago(7))
    fine(store, "castings", "step", "old", "stock")


def test_a_sound_load_is_taken_from_before_one_that_turned_bad(store: Path) -> None:
    for name in ("first", "second"):
        fine(store, "loads", "add", name, "3 kg mango skin", "--when", ago(20))
    fine(store, "loads", "bad", "first", "--when", ago(19))
    fine(store, "feed", "kitchen", "1 kg mango skin", "--yes", "--when", ago(18))
    kg = {each["load"]: each["kg"] for each in asked(store, "loads")["loads"]}
    assert kg == {"first": 3.0, "second": 2.0}


def test_own_hours_stand_apart_and_a_kilogram_sold_tells_what_it_leaves(store: Path) -> None:
    season(store)
    fine(store, "settings", "hour-rate", "10")
    fine(store, "costs", "add", "sieving", "--hours", "0.2", "--lot", "may", "--when", ago(4))
    assert "of what is spent 2.00 are your own 0.2 h" in fine(store, "costs").out
    (made,) = asked(store, "costs", "lots")["lots"]
    # 19.00 for 2 kg are 9.50 a kg. Of a load of 3.00 for 6 kg 2 kg went in: 1.00; the hours are 2.00: 3 kg
    # cost 3.00, so that one costs 1.00.
    assert float(made["leaves_per_kg_sold"]) == 8.5


def test_what_came_off_a_pile_with_a_bad_load_is_marked(store: Path) -> None:
    fine(store, "loads", "add", "shed", "60 kg rabbit manure", "--when", ago(30))
    fine(store, "piles", "add", "heap", "50 kg rabbit manure", "--when", ago(29))
    fine(store, "piles", "release", "heap", "30 kg rabbit manure", "--yes", "--when", ago(9))
    fine(store, "loads", "bad", "shed")
    assert {each["load"]: each["of_bad"] for each in asked(store, "loads")["loads"]} == {"shed": "", "heap": "shed"}
    assert "! of shed" in fine(store, "loads").out


def test_fresh_feed_that_rots_before_it_is_fed_is_told_and_what_keeps_is_not(store: Path) -> None:
    fine(store, "loads", "add", "big", "250 kg vegetable scraps", "--when", ago(20))
    fine(store, "loads", "add", "boxes", "250 kg shredded cardboard", "--when", ago(20))
    fine(store, "feed", "kitchen", "1 kg vegetable scraps", "--bedding", "1 kg shredded cardboard", "--yes")
    scraps, boxes = asked(store, "loads")["on_hand"]
    assert (scraps["keeps_days"], boxes["keeps_days"]) == (7, None)
    assert " ".join(fine(store, "loads").out.split()).count("more than goes before it rots") == 1


def test_squeezes_are_told_as_looks_in_the_record(store: Path) -> None:
    out = " ".join(fine(store, "record", "kitchen").out.split())
    assert "which is a look and no measurement" in out
    assert "squeeze: sponge" in out


def test_several_things_are_piled_at_once_and_taken_back_at_once(store: Path) -> None:
    fine(store, "piles", "add", "heap", "150 kg rabbit manure", "60 kg horse manure with bedding, aged", "--by", "Ana")
    (heap,) = asked(store, "piles")["piles"]
    assert heap["kg"] == 210
    fine(store, "undo")
    assert asked(store, "piles")["piles"] == []


@pytest.mark.parametrize(
    ("treated", "minds"),
    [("wormed in June", "Some wormers kill worms"), ("clopyralid on the hay", "weedkillers pass through"),
     ("not wormed since May", ""), ("nothing", ""), ("straw", "")],
)  # fmt: skip
def test_a_load_that_was_treated_is_cautioned_about(store: Path, treated: str, minds: str) -> None:
    told = " ".join(fine(store, "loads", "add", "x", "6 kg rabbit manure", "--treated", treated).err.split())
    assert minds in told
    assert bool(minds) == bool(told)


def test_an_order_and_a_pile_come_in_by_file_with_what_is_usual_where_a_cell_is_empty(
    store: Path, tmp_path: Path
) -> None:
    head = "when,lot,kind,amount,unit,material,due,product,way\n"
    rows = "2026-05-20,cafe,order,4,kg,,2026-07-01,,\n2026-05-20,heap,piled,40,kg,rabbit-manure,,,\n"
    (tmp_path / "f").mkdir()
    (tmp_path / "f/castings.csv").write_text(head + rows)
    fine(store, "import", str(tmp_path / "f"))
    assert [each["product"] for each in asked(store, "orders")["orders"]] == ["screened"]
    assert [each["way"] for each in asked(store, "piles")["piles"]] == ["windrow"]


def test_a_bed_that_runs_already_is_begun_with_what_stands_in_it(store: Path) -> None:
    bed = ("start", "south", "--length", "2 m", "--width", "1 m", "--depth", "50 cm", "--running", "30 cm")
    assert "It runs already" in fine(store, *bed).out
    fine(store, *bed, "--worms", "3 kg", "--yes")
    said = " ".join(each["words"] for each in asked(store, "log", "south")["entries"])
    # Half of 0.6 m3 at 700 kg/m3 are castings.
    assert "210 kg vermicast" in said
    assert "30 cm" in said
    assert "3 kg" in said


def test_the_sums_of_the_sellers_pages_are_those_made_by_hand(tmp_path: Path) -> None:
    """A load of 60 kg for 12.00, of which 20 kg are fed before the first harvest: 4.00, and 8.00 lies in stock.

    Bags for 25.00 go to 10 kg of lot a and 2.5 kg of lot b: 20.00 and 5.00. Lot a costs 24.00, and of its 10 kg 6 are
    left after curing: 4.00 a kg. 3 kg of them bring 14.00 and 8.00, which is 7.33 a kg and leaves 3.33.
    """
    store = tmp_path / "hand"
    for words, day in (
        ('start shed --length 60cm --width 40cm --depth 30cm --worms 500g --yes', 60),
        ('loads add rinds "60 kg mango skin" --price 12', 59), ('feed shed "20 kg mango skin" --yes', 50),
        ('harvest shed "10 kg" --lot a --yes', 40), ("castings step a curing", 40),
        ('castings step a stock --mass "6 kg"', 10), ('orders add fair "5 kg" --buyer Ana --due ' + ago(-10), 8),
        ("costs add bags --price 25", 6), ('castings sell a "2 kg" --buyer Ana --price 14', 5),
        ('castings sell a "1 kg" --price 8', 4), ('harvest shed "2.5 kg" --lot b --yes', 2),
    ):  # fmt: skip
        fine(store, *shlex.split(words), "--started" if words.startswith("start") else "--when", ago(day))

    def page(*words: str) -> str:
        return " ".join(fine(store, *words).out.split())

    lots = page("castings")
    assert "harvested 10 kg from shed; sold 3 kg; 4 kg less by the scale; leaves 3 kg" in lots
    assert "3 kg in it" in lots
    on_hand = page("castings", "on-hand")
    assert "in stock: 3 kg" in on_hand
    assert "on its way: 2.5 kg" in on_hand
    assert "60 kg 40 kg" in page("loads")
    assert "taken 22.00, spent 37.00, leaves -15.00" in page("costs")
    made = page("costs", "lots")
    for row in (
        "a 6 kg 24.00 4.00 22.00 -2.00 3.33", "b 2.5 kg to cure 5.00 - 0.00 -5.00 -",
        "together 8.5 kg 29.00 22.00 -7.00", "8.00 feedstock in stock",
    ):  # fmt: skip
        assert row in made
    assert "shed 22.00 4.00 18.00" in page("costs", "bins")
    assert "12.5 kg 20 kg 0.63" in page("castings", "yields")
    assert "fair Ana 5 kg 2 kg open" in page("orders")


def test_a_load_that_was_tested_says_how_wet_what_is_fed_of_it_is(store: Path) -> None:
    kitchen(store)
    for words in ("rinds-1 1kg --moisture 61%", "rinds-2 6kg"):
        name, kg, *more = words.split()
        fine(store, "loads", "add", name, f"{kg} mango skin", *more, "--when", ago(9))
    said = fine(store, "feed", "kitchen", "1 kg mango skin", "--yes", "--when", ago(8)).out
    assert "1 kg mango flesh at 61% moisture" in said
    later = fine(store, "feed", "kitchen", "200 g mango skin, 50 g kale", "--yes", "--when", ago(7)).out
    assert "at 61%" not in later  # of the second load, which nobody tested
    early = fine(store, "feed", "kitchen", "100 g mango skin", "--yes", "--when", ago(10)).out
    assert "at 61%" not in early  # from before there was any load


def test_what_is_imported_of_a_tested_load_is_as_wet_as_that_and_comes_in_once(store: Path, tmp_path: Path) -> None:
    kitchen(store)
    load = f"when,lot,kind,amount,unit,moisture_pct,material\n{ago(9)},rinds,load,1,kg,61,mango-flesh\n"
    (tmp_path / "castings.csv").write_text(load)
    fed = f"{ago(8)},kitchen,feeding,mango-flesh,100,g,\n{ago(8)},kitchen,feeding,mango-flesh,50,g,72\n"
    fed += f"{ago(10)},kitchen,feeding,mango-flesh,30,g,\n"  # before there was any load
    (tmp_path / "log.csv").write_text(f"when,bin,kind,material,amount,unit,moisture_pct\n{fed}")
    fine(store, "import", str(tmp_path))
    log = fine(store, "log", "kitchen").out
    assert "fed 100 g mango flesh at 61% moisture, 50 g mango flesh at 72%" in log
    assert "fed 30 g mango flesh #" in log
    assert "0 entries" in fine(store, "import", str(tmp_path)).out
