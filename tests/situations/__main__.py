"""The table of all situations: ``python -m tests.situations [WORD]``, with what fails, or only those with WORD."""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

from tests.situations.judging import Verdict, judge
from tests.situations.playing import Stage
from tests.situations.situation import every


def line(verdict: Verdict) -> str:
    """One situation in the table."""
    mark = "pass" if not verdict.faults else "FAIL"
    head = f"{mark}  {verdict.situation.name[:58]:<58} {verdict.wanted:<13} {verdict.given:<7}"
    return head.rstrip() if not verdict.faults else "\n      ".join((head.rstrip(), *verdict.faults))


def main(words: Sequence[str]) -> int:
    """Print the table; how many failed."""
    failed = shown = 0
    with tempfile.TemporaryDirectory() as folder:
        stage = Stage(Path(folder))
        for number, situation in enumerate(every()):
            if all(word.lower() in f"{situation.group} {situation.name}".lower() for word in words):
                verdict = judge(situation, stage, str(number))
                failed, shown = failed + bool(verdict.faults), shown + 1
                print(line(verdict), flush=True)
    print(f"\n{shown - failed} of {shown} situations are as an expert says")
    return failed


if __name__ == "__main__":
    sys.exit(min(1, main(sys.argv[1:])))
