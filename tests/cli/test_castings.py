"""Castings on the command line: a lot from the harvest to the buyer, as text and as JSON."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from tests.cli.running import Ran, run


def said(store: Path, *words: str, code: int = 0) -> str:
    ran = run(store, *words)
    assert ran.code == code, ran.out + ran.err
    return " ".join((ran.out + ran.err if code else ran.out).split())


def asked(store: Path, *words: str) -> Any:
    ran: Ran = run(store, *words, "--json")
    assert ran.code == 0, ran.err
    return json.loads(ran.out)


def test_a_lot_from_harvest_to_buyer(store: Path) -> None:
    said(store, "harvest", "kitchen", "4.5 kg", "--moisture", "75", "--lot", "may", "--yes", "--when", "2026-05-20")
    assert "2.7 kg in it now" in said(
        store, "castings", "step", "may", "screened", "--mass", "2.7 kg", "--moisture", "60", "--when", "2026-05-28"
    )
    said(store, "castings", "step", "may", "stock", "--when", "2026-05-29")
    sold = run(store, "castings", "sell", "may", "--for", "market", "1 kg", "--price", "9", "--by", "Ana")
    assert "sold 1 kg for market, 9 paid - written down; 1.7 kg in it now" in " ".join(sold.out.split())
    assert "What to mind before a sale: wormbin castings show “may”" in sold.err
    assert len(sold.err.splitlines()) == 1
    assert "not in stock yet" not in sold.err
    said(store, "castings", "use", "may", "1 L", "--for", "tomato pots")
    text = said(store, "castings")
    assert "may in stock since Fri 29 May 2026 1 kg in it (about 1.4 L), moisture 60%" in text
    assert "harvested 4.5 kg from kitchen; sold 1 kg; used 0.7 kg; 1.8 kg less by the scale; leaves 1 kg" in text
    assert "in stock: 1 kg, about 1.4 L; on its way: 0 g" in said(store, "castings", "stock")
    page = said(store, "castings", "show", "may")
    for words in (
        "4.5 kg (100%) from Kitchen (kitchen), Wed 20 May 2026",
        "fed since Wed 22 Apr 2026:",
        "sold 1 kg for market, 9 paid; 1.7 kg in it then [Ana]",
        "Registration, labels and permits come first",
    ):
        assert words in page
    assert "4.5 kg into may (100% of it), now 1 kg, in stock since 2026-05-29" in said(
        store, "castings", "from", "kitchen"
    )
    assert "Kitchen 1 4.5 kg" in said(store, "castings", "yields")
    assert "up to 1 kg, which is what lot may held on 2026-06-01" in said(
        store, "castings", "sell", "may", "2 kg", code=2
    )
    (lot,) = asked(store, "castings")["lots"]
    assert (lot["lot"], lot["step"], lot["in_stock"], lot["litres_read"]) == ("may", "stock", True, False)
    assert abs(lot["kg"] - 1.0) < 1e-9
    opened = asked(store, "castings", "show", "may")
    assert opened["origins"][0]["feeds"][0]["material"]
    assert [line["kind"] for line in opened["lines"]] == ["intake", "step", "step", "sale", "use"]
    assert asked(store, "castings", "stock")["kg"] == lot["kg"]
    assert asked(store, "castings", "from", "kitchen")["lots"][0]["share"] == 1.0
    assert asked(store, "castings", "yields")["yields"][0]["castings_kg"] == 4.5
    assert asked(store, "castings", "plan", "--kg", "1", "--by", "2026-06-02")["likelihood"] == 1.0


def test_lines_of_a_lot_are_amended_struck_and_undone(store: Path) -> None:
    said(store, "harvest", "kitchen", "4 kg", "--moisture", "70", "--lot", "may")
    sale = asked(store, "castings", "sell", "may", "1 kg", "--for", "market", "--price", "9", "--yes")["entries"][0]
    assert "sold 2 kg for market, 9 paid - put right; 2 kg in it now" in said(store, "amend", sale, "2 kg")
    (origin,) = asked(store, "castings", "show", "may")["origins"]
    assert "harvested 4.4 kg into lot may, moisture 70% - put right" in said(store, "amend", origin["entry"], "4.4 kg")
    assert asked(store, "castings")["lots"][0]["kg"] == 2.4
    intake = asked(store, "castings", "show", "may")["lines"][0]["entry"]
    assert "the harvest itself" in said(store, "amend", intake, "6 kg", code=2)
    harvest = asked(store, "castings", "show", "may")["origins"][0]["entry"]
    assert "first strike that 2 kg were sold" in said(store, "amend", harvest, "1 kg", code=2)
    said(store, "undo")
    assert asked(store, "castings")["lots"][0]["kg"] == 2.0
    right = next(line for line in asked(store, "castings", "show", "may")["lines"] if line["kind"] == "sale")
    struck = said(store, "strike", right["entry"], "--why", "brought back", "--yes")
    assert "struck through: lot may: sold 2 kg" in struck
    struck = asked(store, "castings", "show", "may", "--struck")["lines"]
    assert sum(line["struck"] for line in struck) == 2, "the wrong line is amended again by none, so the first counts"
    assert "Nothing is the matter" in said(store, "store", "check")


def test_files_carry_lots_to_another_store(store: Path, tmp_path: Path) -> None:
    said(store, "harvest", "kitchen", "4 kg", "--lot", "may")
    said(store, "castings", "sell", "may", "1 kg", "--yes")
    said(store, "export", str(tmp_path / "files"))
    assert (tmp_path / "files/castings.csv").read_text().startswith("when,lot,kind,source,amount,unit")
    other = tmp_path / "other"
    said(other, "import", str(tmp_path / "files"))
    assert asked(other, "castings") == asked(store, "castings")


def test_us_measures_are_read_and_printed(store: Path) -> None:
    said(store, "harvest", "kitchen", "10 lb", "--lot", "may")
    assert "7 lb in it now" in said(store, "castings", "sell", "may", "3 lb", "--yes", "--units", "us")
    assert "up to 7 lb" in said(store, "castings", "sell", "may", "8 lb", "--yes", "--units", "us", code=2)


def test_the_list_does_not_load_the_model(store: Path) -> None:
    import subprocess
    import sys

    code = (
        "import sys\nfrom wormbin.cli.program import main\n"
        f"main(['--store', {str(store)!r}, 'castings'])\n"
        "heavy = ('wormbin.process.replay', 'wormbin.farm.bins.scene', 'wormbin.advice.rules', 'textual')\n"
        "print([name for name in sys.modules if name.startswith(heavy)])"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert ran.stdout.splitlines()[-1] == "[]"


def test_more_worms_than_are_there_are_held_back_until_yes_is_said(store: Path) -> None:
    run(store, "start", "attic", "--length", "60cm", "--width", "40cm", "--depth", "30cm", "--worms", "50 g", "--yes")
    assert "is more than there is" in said(store, "move", "attic", "kitchen", "1 kg", code=1)
    assert len(asked(store, "log", "attic")["entries"]) == 3
    assert "written down" in said(store, "move", "attic", "kitchen", "1 kg", "--yes")


def test_the_sum_of_a_lot_closes_as_it_is_printed() -> None:
    from wormbin.pages.lots import closing

    for units in ("metric", "us"):
        kg = (47.04, -25.36, -2.47, -16.57, -2.64)
        printed = [float(words.split()[0]) for words in closing(kg, units)]
        assert abs(printed[0] - sum(printed[1:])) < 1e-9
        assert len({words.split()[1] for words in closing(kg, units)}) == 1
    assert closing((4.5, -1.0, -0.7, -1.8, -1.0), "metric") == ["4.5 kg", "1 kg", "0.7 kg", "1.8 kg", "1 kg"]


def test_json_carries_no_dust_of_sums() -> None:
    from wormbin.pages.documents import document

    assert document([0.1 + 0.2, 2.5999999999999996, 1e-9]) == [0.3, 2.6, 1e-9]
