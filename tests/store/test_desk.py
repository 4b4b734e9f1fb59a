"""Half-filled forms come back at the next start; what was worked out counts only for the log that it came from."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.store.lines import note
from wormbin.store import Store


def test_a_half_filled_form_is_there_at_the_next_start(tmp_path: Path) -> None:
    Store.open(tmp_path).desk.keep_form("feeding-kitchen", {"amount": "300 g me", "note": "größer"})
    desk = Store.open(tmp_path).desk
    assert desk.forms() == ("feeding-kitchen",)
    assert desk.form("feeding-kitchen") == {"amount": "300 g me", "note": "größer"}
    desk.keep_form("feeding-kitchen", {"amount": "300 g melon"})
    desk.drop_form("feeding-kitchen")
    assert desk.form("feeding-kitchen") is None
    desk.drop_form("feeding-kitchen")
    assert list((tmp_path / "drafts").iterdir()) == []


def test_a_form_that_cannot_be_read_is_as_good_as_none(tmp_path: Path) -> None:
    desk = Store.open(tmp_path).desk
    desk.keep_form("check", {"smell": "earthy"})
    (tmp_path / "drafts/check.json").write_text("torn")
    assert desk.form("check") is None
    with pytest.raises(ValueError, match="cannot be the name"):
        desk.keep_form("../../x", {})


def test_what_was_worked_out_counts_only_for_its_log(tmp_path: Path) -> None:
    store = Store.open(tmp_path / "s")
    assert not store.desk.keep_worked_out("kitchen", store.revision("kitchen"), {"rate": 1.2})
    assert not (tmp_path / "s").exists()
    store.record([note("a")])
    before = store.revision("kitchen")
    whole = store.revision()
    assert store.desk.keep_worked_out("kitchen", before, {"rate": 1.2})
    assert Store.open(tmp_path / "s").desk.worked_out("kitchen", before) == {"rate": 1.2}
    assert store.revision() == whole, "what is derived is no change of the log"
    store.record([note("b")])
    assert store.desk.worked_out("kitchen", store.revision("kitchen")) is None
    assert store.check().sound
