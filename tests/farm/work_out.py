"""Works the sample logs out and packs what they come to: ``python -m tests.farm.work_out``, after any change."""

from __future__ import annotations

import gzip
import json
import tempfile
from pathlib import Path

from tests.worlds.write import LOGS, SAMPLE_LOGS
from wormbin.farm import rounds
from wormbin.farm.cache.beliefs import place_of
from wormbin.farm.cache.rows import finite
from wormbin.farm.samples import copy_sample, mark_of, pack_of
from wormbin.farm.session import Session
from wormbin.farm.views.round import RoundRow
from wormbin.records.shapes import shape_of


def pack(farm: Session, source: Path) -> bytes:
    """Today's rows and the newest belief of every bin of a farm that holds the logs in ``source``."""
    rounds.view(farm, None)
    bins = {}
    for one in rounds.living(farm, None):
        kept = json.loads((farm.folder / "cache" / f"{place_of(one.key)}.json").read_bytes())["held"]["1"]["value"]
        rests_on, held = kept["rests_on"], kept["value"]
        row = farm.cache.rows.get(RoundRow, one.key, farm.cache.token(one, None))
        bins[one.key] = {
            "rests_on": rests_on,
            "held": {**held, "beliefs": held["beliefs"][-1:]},
            "row": finite(shape_of(RoundRow).write(row)),
        }
    text = json.dumps({"mark": mark_of(source), "bins": bins}, ensure_ascii=False, separators=(",", ":"))
    return gzip.compress(text.encode(), compresslevel=9, mtime=0)


def main() -> None:
    """Write the pack of every sample log."""
    for log in LOGS:
        source = SAMPLE_LOGS / log
        with tempfile.TemporaryDirectory() as folder:
            raw = pack(copy_sample(log, Path(folder) / "store", worked_out=False).session(), source)
        pack_of(source).parent.mkdir(exist_ok=True)
        pack_of(source).write_bytes(raw)
        print(f"{pack_of(source)}: {len(raw) / 1000:.0f} kB")


if __name__ == "__main__":
    main()
