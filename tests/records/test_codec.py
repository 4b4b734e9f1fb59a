"""Whatever a record holds comes back from its JSON the same, and what is not understood is kept or told exactly."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime
from typing import Any

import pytest
from hypothesis import given, strategies as st

from tests.records.strategies import ENTRIES, FARMS, SETTINGS
from wormbin.records.bins import Bin
from wormbin.records.codec import (
    UnknownKindError,
    UnreadableError,
    entry_from_json,
    farm_from_json,
    farm_to_json,
    line_to_json,
    settings_from_json,
    settings_to_json,
)
from wormbin.records.entries import Entry, Feeding, Note, Portion
from wormbin.records.farms import Farm, OwnMaterial, Settings
from wormbin.records.ids import content_id, is_id, is_key, key_from, new_id


def through_text(document: Any) -> Any:
    return json.loads(json.dumps(document, allow_nan=False, ensure_ascii=False))


@given(ENTRIES)
def test_a_line_comes_back_the_same(entry: Entry) -> None:
    again = entry_from_json(through_text(line_to_json(entry)))
    assert again == entry
    assert again.when.utcoffset() == entry.when.utcoffset()
    assert again.when.date() == entry.when.date()


@given(SETTINGS)
def test_settings_come_back_the_same(settings: Settings) -> None:
    assert settings_from_json(through_text(settings_to_json(settings))) == settings


@given(FARMS)
def test_a_farm_comes_back_the_same(farm: Farm) -> None:
    assert farm_from_json(through_text(farm_to_json(farm))) == farm


def document() -> dict[str, Any]:
    return line_to_json(
        Entry(
            "abc",
            "kitchen",
            datetime(2026, 3, 2, 18, 10, tzinfo=UTC),
            Feeding((Portion("coffee-grounds", 0.11, "1 cup"),)),
            by="Ana",
        )
    )


def test_a_line_reads_like_a_line_of_a_log() -> None:
    assert document() == {
        "id": "abc",
        "bin": "kitchen",
        "when": "2026-03-02T18:10:00+00:00",
        "kind": "feeding",
        "portions": [{"material": "coffee-grounds", "kg": 0.11, "said": "1 cup"}],
        "by": "Ana",
    }


def test_unknown_fields_survive_wherever_they_stand() -> None:
    odd: dict[str, Any] = document()
    odd["weather"] = {"rain": [1, None]}
    odd["a/b~c"] = 1
    odd["portions"][0]["brand/new"] = "yes"
    odd["struck"] = {"why": "w", "by": "", "at": odd["when"], "mood": "bad"}
    assert line_to_json(entry_from_json(odd)) == odd
    farm = farm_to_json(Farm((Bin("k", "K", 1.0, 1.0, 1.0, date(2026, 1, 1)),), (), (OwnMaterial("m"),)))
    farm["later"] = 1
    farm["bins"][0]["colour"] = "green"
    farm["materials"][0]["origin"] = "market"
    farm["settings"] = {"away": [{"first": "2026-01-01", "last": "2026-01-02", "who": "x"}], "new": {}}
    assert farm_to_json(farm_from_json(farm)) == farm


@pytest.mark.parametrize(
    ("path", "value", "sentence"),
    [
        (("portions", 0, "kg"), "much", "portions/0/kg: “much” does not fit. Write a number"),
        (("portions", 0, "kg"), True, "portions/0/kg: “True” does not fit. Write a number"),
        (("portions", 0, "kg"), 10**400, "Write a finite number"),
        (("portions", 0), [], "portions/0: “[]” does not fit. Write an object"),
        (("portions",), {}, "portions: “{}” does not fit. Write a list"),
        (("when",), "yesterday", "when: “yesterday” does not fit. Write a date and time"),
        (("when",), "2026-03-02T18:10:00", "with its offset from UTC"),
        (("when",), 7, "when: “7” does not fit"),
        (("by",), None, "by: “None” does not fit. Write text"),
        (("compartment",), 1.5, "compartment: “1.5” does not fit. Write a whole number"),
        (("struck",), {"why": "w", "by": "b"}, "struck/at: nothing yet. Write a value; it is missing"),
        (("kind",), 3, "kind: “3” does not fit"),
    ],
)
def test_a_wrong_type_is_told_with_its_place(path: tuple[Any, ...], value: Any, sentence: str) -> None:
    wrong = document()
    place: Any = wrong
    for name in path[:-1]:
        place = place[name]
    place[path[-1]] = value
    with pytest.raises(UnreadableError) as error:
        entry_from_json(wrong)
    assert sentence in str(error.value)


def test_the_place_within_a_farm_is_told() -> None:
    farm = farm_to_json(Farm((Bin("k", "K", 1.0, 1.0, 1.0, date(2026, 1, 1)),)))
    farm["bins"][0]["cover"] = "glass"
    with pytest.raises(UnreadableError, match=r"bins/0/cover: “glass” does not fit\. Write one of open, loose, closed"):
        farm_from_json(farm)


def test_a_kind_of_a_newer_program_is_known_as_such() -> None:
    with pytest.raises(UnknownKindError, match="kind: “curing” does not fit"):
        entry_from_json({**document(), "kind": "curing"})


def test_a_line_that_is_no_object_is_refused() -> None:
    wrongs: list[Any] = [None, [], "x", 3]
    for wrong in wrongs:
        with pytest.raises(UnreadableError):
            entry_from_json(wrong)


@given(st.binary(min_size=7, max_size=16))
def test_new_ids_are_short_and_typeable(random: bytes) -> None:
    made = new_id(random)
    assert is_id(made)
    assert len(made) == 10
    assert not set(made) & set("ilou")


def test_an_id_from_content_follows_from_it() -> None:
    row = {"when": "2026-03-02", "kind": "note"}
    assert content_id(row, 0) == content_id(dict(reversed(row.items())), 0)
    assert len({content_id(row, 0), content_id(row, 1), content_id({**row, "kind": "fluff"}, 0)}) == 3
    with pytest.raises(ValueError, match="7 random bytes"):
        new_id(b"short")


@given(st.text())
def test_a_key_made_from_any_name_is_a_key(name: str) -> None:
    assert is_key(key_from(name))


def test_keys_made_from_names_read_like_them() -> None:
    assert key_from("Küche No. 2") == "kuche-no-2"
    assert key_from("../../etc") == "etc"
    assert key_from("con") == "con-bin"
    assert not is_key("../x")
    assert Note() == Note()
