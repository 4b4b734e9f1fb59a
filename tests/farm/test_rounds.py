"""How long the round takes is one figure: on the screen, on the page to walk with, in print and as JSON."""

from __future__ import annotations

import json
import re
from pathlib import Path

from tests.cli.running import run
from tests.farm.a_farm import NOW, kitchen
from wormbin.farm import rounds, starts
from wormbin.farm.recording.lines import write
from wormbin.farm.rounds import minutes_left
from wormbin.farm.views.proposals import BinDraft
from wormbin.pages.page import lines
from wormbin.pages.round import checklist
from wormbin.pages.round_table import summary
from wormbin.records.entries import Kind


def test_print_screen_page_and_json_take_the_same_minutes(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    starts.start(farm, BinDraft(key="attic", name="Attic", length="60 cm", width="40 cm", depth="30 cm", worms="400 g"))
    for _visit in range(2):
        view = rounds.view(farm)
        pieces = summary(view.rows, today=view.on, filled=True, ordered="", only="", demo="", by="")
        screen = "".join(text for text, _ in pieces)
        page = "".join(text for text, _ in lines(checklist(view.rows, view.on, "metric"))[0])
        answer = run(tmp_path, "round", "--on", NOW.date().isoformat())
        told = json.loads(run(tmp_path, "round", "--json", "--on", NOW.date().isoformat()).out)["minutes"]
        assert view.minutes == minutes_left(view.rows) == told > 0
        for words in (screen, page, answer.out):
            assert re.search(rf"about {told} min", words), words
        write(farm, "kitchen", Kind.CHECK, {"squeeze": "sponge"})
    assert view.minutes < sum(row.minutes for row in view.rows)
