"""Keeps what the program answers today: run it when answers are meant to change, and name the change.

``python -m tests.golden`` tells what differs; ``python -m tests.golden keep`` keeps it.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from tests.golden.answers import LOGS, differences, keep, kept, of_log, of_situations


def main() -> int:
    """Tell or keep."""
    keeps = "keep" in sys.argv[1:]
    found = 0
    with tempfile.TemporaryDirectory() as folder:
        for name in (*LOGS, "situations"):
            now = of_situations(Path(folder) / name) if name == "situations" else of_log(name, Path(folder))
            try:
                other = list(differences(kept(name), now))
            except FileNotFoundError:
                other = [f"{name}: nothing was kept"]
            found += len(other)
            print(f"{name}: {len(now)} answers, {len(other)} fields differ")
            print(*other[:40], sep="\n")
            if keeps:
                keep(name, now)
    return 0 if keeps or not found else 1


if __name__ == "__main__":
    raise SystemExit(main())
