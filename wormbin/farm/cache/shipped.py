"""What the sample logs come to, worked out when they were written, so that a demo opens at once.

It is a cache like any other: it holds only for these very log files and this very model, and is worked out anew where
it does not. A pack lies beside the logs and is written by ``python -m tests.farm.work_out``.
"""

from __future__ import annotations

import gzip
import json
import zlib
from pathlib import Path
from typing import TYPE_CHECKING

from wormbin.farm import rounds
from wormbin.farm.cache.beliefs import FORM, place_of
from wormbin.farm.cache.front import MARK
from wormbin.farm.cache.rows import row_token
from wormbin.farm.views.round import RoundRow
from wormbin.records.shapes import shape_of

if TYPE_CHECKING:
    from wormbin.farm.session import Session

FOLDER = "worked_out"


def pack_of(source: Path) -> Path:
    """Where the pack of the sample logs in ``source`` lies."""
    return source.parent / FOLDER / f"{source.name}.json.gz"


def mark_of(source: Path) -> str:
    """What a pack of the sample logs in ``source`` must bear to hold."""
    read = b"".join(path.name.encode() + path.read_bytes() for path in sorted(source.glob("*.csv")))
    return f"{MARK}/{FORM}/{zlib.crc32(read):08x}"


def lay_out(farm: Session, source: Path) -> bool:
    """Lay the pack into the farm's cache; False where there is none that fits."""
    try:
        page = json.loads(gzip.decompress(pack_of(source).read_bytes()))
        if page["mark"] != mark_of(source):
            return False
        rows = {key: shape_of(RoundRow).read(each["row"], "", {}) for key, each in page["bins"].items()}
        for one in rounds.living(farm, None):
            each = page["bins"][one.key]
            farm.store.desk.keep_worked_out(place_of(one.key), each["rests_on"], each["held"])
            farm.cache.rows.put(one.key, row_token(farm, one, None), rows[one.key])
    except Exception:  # whatever is wrong with it: it is a cache
        return False
    farm.cache.rows.flush()
    return True
