"""The clean run ends as its parts did: its own tidying neither fails nor saves it."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest

RUN = Path(__file__).parents[1] / ".ci" / "run"


@pytest.mark.skipif(not RUN.exists(), reason="no clean run goes with what was unpacked")
@pytest.mark.parametrize(("end", "code"), [("true", 0), ("exit 1", 1), ("false", 1)])
def test_tidying_up_changes_no_answer(end: str, code: int) -> None:
    trap = next(line for line in RUN.read_text("utf-8").splitlines() if line.startswith("trap "))
    script = f"set -euo pipefail\nwork=$(mktemp -d)\n{trap}\n(true) &\nwait $!\n{end}\n"
    assert subprocess.run(["bash", "-c", script], check=False).returncode == code
