"""What a feeding does, as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import isfinite

from wormbin.cli import working_text
from wormbin.cli.layout import wrapped
from wormbin.cli.paper import Paper
from wormbin.cli.round_text import finding
from wormbin.drawing.marks import LEVEL_SHAPES
from wormbin.farm.proposals import FeedingPreview


def document(view: FeedingPreview, ids: Sequence[str], *, explain: bool = False) -> dict[str, object]:
    """The JSON document of ``feed``; ``entries`` is empty when nothing was saved. ``explain`` opens what to add."""
    opened = {"add_opened": [working_text.document(each) for each in view.opened]} if explain else {}
    return opened | {
        "bin": view.bin,
        "entries": list(ids),
        "portions": [{"material": each.material, "kg": each.kg, "said": each.said} for each in view.portions],
        "bedding": [{"material": each.material, "kg": each.kg, "said": each.said} for each in view.bedding],
        "level": view.level,
        "verdict": view.verdict,
        "share": view.share if isfinite(view.share) else None,
        "feed_up_to_kg": view.up_to_kg,
        "hold_back_kg": view.hold_back_kg,
        "cn": view.cn,
        "moisture_before": view.moisture_before,
        "moisture_after": view.moisture_after,
        "free_air_space_after": view.free_air_space_after,
        "feed_waiting_days_after": view.waiting_days_after,
        "heat_c": view.heat_c,
        "layer_m": view.layer_m,
        "add": [{"material": each.material, "kg": each.kg} for each in view.add],
        "add_water_kg": view.add_water_kg,
        "gives_way": view.gives_way,
        "findings": [finding(each) for each in view.findings],
    }


def lines(view: FeedingPreview, paper: Paper, *, explain: bool = False) -> Iterator[str]:
    """The verdict first, then what the feeding does; with ``explain`` what to add is opened at the end."""
    head = paper.tint(f"{LEVEL_SHAPES[view.level]} {view.level.value}", view.level)
    yield from wrapped(view.verdict, paper.width - 8, f"{head}  ", "  ")
    for portion in (*view.portions, *view.bedding):
        yield from wrapped(portion.words, paper.width, "  ")
    for line in view.lines:
        yield from wrapped(line, paper.width, "  - ")
    for each in view.findings:
        yield from wrapped(f"{each.what}: {'; '.join(each.do)}", paper.width, f"  {LEVEL_SHAPES[each.level]} ")
        if each.caution:
            yield from wrapped(each.caution, paper.width, "    mind: ")
    for working in view.opened if explain else ():
        yield ""
        yield from working_text.lines(working, paper.width)
