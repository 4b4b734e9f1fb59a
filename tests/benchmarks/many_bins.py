"""A farm of many bins for the benchmarks: the seller's sample logs, each bin several times over."""

from __future__ import annotations

import csv
from datetime import UTC, datetime, time
from pathlib import Path

from wormbin.exchange import columns
from wormbin.exchange.cells import moment
from wormbin.exchange.tables import read_rows
from wormbin.farm import log_files
from wormbin.farm.samples import EVENING, sample_logs
from wormbin.farm.session import Session

A_FARM = 8
"""Bins that the sample logs hold."""


def many_bins(folder: Path, bins: int) -> Session:
    """``bins`` of them (a multiple of eight) in a store, on the evening of the last day; nothing is worked out."""
    source, files = sample_logs() / "seller", folder.parent / f"{folder.name}-files"
    files.mkdir(parents=True)
    for name in ("bins.csv", "log.csv", "castings.csv", "settings.csv"):
        with (source / name).open(encoding="utf-8", newline="") as read:
            reader = csv.DictReader(read)
            rows, heads = list(reader), reader.fieldnames or []
        with (files / name).open("w", encoding="utf-8", newline="") as write:
            writer = csv.DictWriter(write, heads)
            writer.writeheader()
            for copy in range(bins // A_FARM):
                writer.writerows(_copied(row, copy) for row in rows if not copy or "bin" in heads)
    last = max(moment(row.get("when")).date() for row in read_rows(source / "log.csv", columns.LOG, columns.LOG_NEEDED))
    evening = datetime.combine(last, time(EVENING.hour), tzinfo=UTC)
    farm = Session(folder, clock=lambda: evening)
    log_files.bring_in(farm, files)
    return farm


def _copied(row: dict[str, str], copy: int) -> dict[str, str]:
    if not copy:
        return row
    more = {"bin": f"{row['bin']}-{copy + 1}"}
    if row.get("name"):
        more["name"] = f"{row['name']} ({copy + 1})"
    if row.get("lot"):
        more["lot"] = ""
    if row.get("kind") == "move":
        more["material"] = f"{row['material']}-{copy + 1}"
    return row | more
