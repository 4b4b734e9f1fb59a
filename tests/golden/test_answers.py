"""Every command that answers with a document answers as it was kept, field by field (``python -m tests.golden``)."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.golden.answers import LOGS, differences, kept, of_log, of_situations

KEEP = "if this is meant: python -m tests.golden keep, and name the change"


@pytest.mark.parametrize("name", [LOGS[0], *(pytest.param(name, marks=pytest.mark.more) for name in LOGS[1:])])
def test_a_sample_log_is_answered_as_before(name: str, tmp_path: Path) -> None:
    found = list(differences(kept(name), of_log(name, tmp_path)))
    assert not found, "\n".join((KEEP, *found[:30]))


def test_some_of_the_situations_is_answered_as_before(tmp_path: Path) -> None:
    found = list(differences(kept("situations"), of_situations(tmp_path)))
    assert not found, "\n".join((KEEP, *found[:30]))
