"""Works the sample logs out and packs what they come to: ``python -m tests.farm.work_out``, after any change."""

from __future__ import annotations

import tempfile
from pathlib import Path

from tests.worlds.write import LOGS, SAMPLE_LOGS
from wormbin.farm.samples import copy_sample
from wormbin.farm.shipped import pack, pack_of


def main() -> None:
    """Write the pack of every sample log."""
    for log in LOGS:
        source = SAMPLE_LOGS / log
        with tempfile.TemporaryDirectory() as folder:
            raw = pack(copy_sample(log, Path(folder) / "store", worked_out=False).farmstead(), source)
        pack_of(source).parent.mkdir(exist_ok=True)
        pack_of(source).write_bytes(raw)
        print(f"{pack_of(source)}: {len(raw) / 1000:.0f} kB")


if __name__ == "__main__":
    main()
