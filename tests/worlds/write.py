"""Writes the sample logs from their stories: ``python -m tests.worlds.write`` puts the same bytes there every time."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from tests.worlds import apartment, classroom, seller, seller_feedstock, seller_lots
from tests.worlds.habits import Story
from tests.worlds.life import MadeBin, make_bin
from tests.worlds.logbook import BIN_COLUMNS, LOG_COLUMNS, SETTING_COLUMNS, Row, csv_text, setting_rows

SAMPLE_LOGS = Path(__file__).resolve().parents[2] / "sample_logs"
LOGS: dict[str, tuple[int, tuple[Story, ...]]] = {
    "apartment": (apartment.SEED, apartment.STORIES),
    "classroom": (classroom.SEED, classroom.STORIES),
    "seller": (seller.SEED, seller.STORIES),
}
SETTINGS: dict[str, Mapping[str, object]] = {
    "apartment": apartment.SETTINGS,
    "classroom": classroom.SETTINGS,
    "seller": seller.SETTINGS,
}


def bins_of(log: str) -> tuple[MadeBin, ...]:
    """The made-up bins of one sample log, with their truth."""
    seed, stories = LOGS[log]
    return tuple(make_bin(seed, story) for story in stories)


def log_columns(log: str) -> tuple[str, ...]:
    """The columns of a log file; only the seller has lots, only the class compares."""
    more = {"seller": ("lot",), "classroom": classroom.COMPARISON_COLUMNS}
    return (*LOG_COLUMNS, *more.get(log, ()))


def bin_columns(log: str) -> tuple[str, ...]:
    """The columns of a file of bins; only the class's keep to beddings of their own."""
    return (*BIN_COLUMNS, "beddings") if log == "classroom" else BIN_COLUMNS


def texts(log: str) -> dict[str, str]:
    """The text of each file of one sample log, by file name."""
    bins = bins_of(log)
    rows = sorted((row for each in bins for row in each.rows), key=lambda row: row["when"])
    lots = {}
    if log == "seller":
        rows = [_into_lot(row) for row in rows]
        lots = {
            "castings.csv": csv_text(
                (*seller_lots.COLUMNS, *seller_feedstock.COLUMNS), (*seller_feedstock.ROWS, *seller_lots.ROWS)
            )
        }
    records = [each.record for each in bins]
    if log == "classroom":
        rows = sorted((classroom.COMPARISON, *rows), key=lambda row: row["when"])
        records = [{**each, "beddings": classroom.KEEPS_TO[each["bin"]]} for each in records]
    return lots | {
        "bins.csv": csv_text(bin_columns(log), records),
        "log.csv": csv_text(log_columns(log), rows),
        "settings.csv": csv_text(SETTING_COLUMNS, setting_rows(SETTINGS[log])),
    }


def _into_lot(row: Row) -> Row:
    """A harvest with the lot that it went into."""
    lot = seller_lots.LOT_OF.get((row["bin"], row["when"][:10])) if row["kind"] == "harvest" else None
    return {**row, "lot": lot} if lot else row


def main() -> None:
    """Write all sample logs."""
    for log in LOGS:
        folder = SAMPLE_LOGS / log
        folder.mkdir(parents=True, exist_ok=True)
        for name, text in texts(log).items():
            (folder / name).write_bytes(text.encode("utf-8"))


if __name__ == "__main__":
    main()
