from __future__ import annotations

from pathlib import Path

import pytest

from wormbin.exchange import columns, tables
from wormbin.exchange.tables import CELL_LIMIT, ROW_LIMIT, read_rows, table_of
from wormbin.problems import RefusedError

COLUMNS = ("when", "bin", "note")


def rows(path: Path) -> list[dict[str, str]]:
    return [row.cells for row in read_rows(path, COLUMNS, ("when", "bin"))]


def refusal(path: Path) -> str:
    with pytest.raises(RefusedError) as caught:
        rows(path)
    return str(caught.value)


def given_file(tmp_path: Path, raw: bytes) -> Path:
    path = tmp_path / "log.csv"
    path.write_bytes(raw)
    return path


def test_any_column_order_and_a_byte_order_mark_are_read(tmp_path: Path) -> None:
    path = given_file(tmp_path, b"\xef\xbb\xbfbin,when\r\nkitchen,2026-03-02\r\n")
    assert rows(path) == [{"bin": "kitchen", "when": "2026-03-02"}]


ENCODINGS = {
    "UTF-8": "utf-8", "UTF-8 with a mark": "utf-8-sig", "UTF-16 LE": "utf-16-le", "UTF-16 BE": "utf-16-be"
}  # fmt: skip


@pytest.mark.parametrize("ends", ["\n", "\r\n", "\r"], ids=["LF", "CRLF", "CR"])
@pytest.mark.parametrize("parted", [",", ";", "\t"], ids=["commas", "semicolons", "tabs"])
@pytest.mark.parametrize("encoding", ENCODINGS.values(), ids=ENCODINGS)
def test_what_spreadsheets_write_is_read_alike(tmp_path: Path, encoding: str, parted: str, ends: str) -> None:
    table = [["when", "bin", "note"], ["2026-03-02", "küche 🪱", f'"a{parted}b"'], [], ["2026-03-03", "attic", ""]]
    mark = "\ufeff" if encoding.startswith("utf-16") else ""
    text = mark + "".join(parted.join(cells) + ends for cells in table)
    path = given_file(tmp_path, text.encode(encoding))
    read = list(read_rows(path, COLUMNS, ("when", "bin")))
    assert [row.cells for row in read] == [
        {"when": "2026-03-02", "bin": "küche 🪱", "note": f"a{parted}b"}, {"when": "2026-03-03", "bin": "attic"}
    ]  # fmt: skip
    assert [row.line for row in read] == [2, 4]
    assert tables.header_of(path) == COLUMNS


def test_the_line_of_a_row_after_a_cell_with_line_ends_is_right(tmp_path: Path) -> None:
    path = given_file(tmp_path, b'when,bin,note\n1,a,"x\ny"\n\n2,b,z\n')
    assert [row.line for row in read_rows(path, COLUMNS, ())] == [2, 5]


@pytest.mark.parametrize(
    ("raw", "said"),
    [
        (b"when|bin\n1|2\n", "columns parted by commas"),
        ("when,bin\n1,2\n".encode("utf-16")[:-1], "UTF-8"),
        ("when,bin\n1,2\n".encode("utf-32"), "encoding: "),
        ("when,bin\n1,2\n".encode("utf-16-le"), "a header with the column when"),
        (b"when,bin\n1,a\r\n2,Gr\xc3\xbcn\r3,Gr\xfcn\n", "line 4: encoding: “byte 0xfc” does not fit"),
        (b"when,note\n", "a header with the column bin"),
        (b"when,bin,colour\n", "“colour” does not fit"),
        (b"when,bin,bin\n", "every column once"),
        (b"", "a header with the column when"),
        (b"when,bin\n1,caf\xe9\n", "UTF-8"),
        (b'when,bin\n1,"open\n', "line 2"),
        (b"when,bin\n1,a\0b\n", "NUL"),
        (b"when,bin\n1," + b"x" * (CELL_LIMIT + 1) + b"\n", "cells of at most"),
        (b"when,bin\n1," + b"x" * 10_000_000 + b"\n", "cells of at most"),
    ],
    ids=[
        "bars",
        "half UTF-16",
        "UTF-32",
        "no mark",
        "mixed",
        "no bin",
        "unknown",
        "twice",
        "empty",
        "latin-1",
        "quote",
        "nul",
        "long",
        "10 MB",
    ],
)
def test_a_file_that_is_not_such_a_table_is_refused_in_a_sentence(tmp_path: Path, raw: bytes, said: str) -> None:
    assert said in refusal(given_file(tmp_path, raw))


def test_a_file_with_too_many_rows_is_refused_before_any_is_worked_through(tmp_path: Path) -> None:
    path = given_file(tmp_path, b"when,bin\n" + b"1,a\n" * 1_000_000)
    said = refusal(path)
    assert "1,000,000 rows" in said
    assert "up to 250,000 rows" in said
    assert "--year" in said
    with pytest.raises(RefusedError):
        next(iter(read_rows(path, COLUMNS, ())))
    # Line ends within cells and empty lines are no rows.
    inside = given_file(tmp_path, b'when,bin\n1,"' + b"\n" * 300 + b'"\n' + b"\n" * (ROW_LIMIT + 1))
    assert len(rows(inside)) == 1


def test_a_file_that_is_too_large_is_refused_unread(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tables, "SIZE_LIMIT", 20)
    assert "MB" in refusal(given_file(tmp_path, b"when,bin\n" + b"1,a\n" * 5))


def test_a_folder_in_the_place_of_a_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "log.csv").mkdir()
    assert "a CSV file" in refusal(tmp_path / "log.csv")


def test_too_many_cells_are_handed_on_to_be_reported(tmp_path: Path) -> None:
    assert rows(given_file(tmp_path, b"when,bin\n1,a,extra\n"))[0][""] == "extra"


def test_text_is_shielded_and_numbers_are_not() -> None:
    text, rows = table_of(("amount", "note"), [{"amount": "-5", "note": "-5"}], plain=("amount",))
    assert (text.splitlines()[1], rows) == ("-5,'-5", 1)


SHIPPED = (
    "when,bin,kind,material,amount,unit,moisture_pct,moisture_by,squeeze,temp_c,left_pct,contents_cm,smell,seen,"
    "ph,compartment,by,note,entry,replaces,struck,struck_by,said,struck_at,count,worms_out_kg,left_behind_pct,lot,"
    "unknown_from,unknown_until,offset,order,extra"
)
SHIPPED_LOTS = (
    "when,lot,kind,source,amount,unit,moisture_pct,litres,step,for,price,by,note,entry,replaces,struck,struck_by,"
    "said,struck_at,offset,order,extra"
)


@pytest.mark.parametrize(("now", "shipped"), [(columns.LOG, SHIPPED), (columns.CASTINGS, SHIPPED_LOTS)])
def test_the_columns_stay_as_they_were_shipped(now: tuple[str, ...], shipped: str) -> None:
    """Anyone may script against the files: a new kind may bring columns, and takes none away."""
    assert [column for column in now if column in shipped.split(",")] == shipped.split(",")


def test_only_words_of_a_keeper_are_shielded() -> None:
    text = {"bin", "material", "smell", "seen", "by", "note", "entry", "replaces", "struck", "struck_by", "said", "lot"}
    assert {*SHIPPED.split(",")} - {*columns.LOG_PLAIN} == text | {"extra"}
