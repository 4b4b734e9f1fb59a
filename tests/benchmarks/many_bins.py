"""A farm of many bins for the benchmarks: the seller's sample logs, each bin several times over."""

from __future__ import annotations

import csv
from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from pathlib import Path

from wormbin.exchange import columns
from wormbin.exchange.cells import moment
from wormbin.exchange.tables import read_rows
from wormbin.farm import log_files
from wormbin.farm.samples import EVENING, sample_logs
from wormbin.farm.session import Session

A_FARM = 8
"""Bins that the sample logs hold."""


SPAN = timedelta(days=425)
"""About as long as the sample logs run."""


def many_bins(folder: Path, bins: int, spans: int = 1) -> Session:
    """``bins`` of them (a multiple of eight) in a store, on the evening of the last day; nothing is worked out.

    With ``spans`` each bin was kept so before, too, as often in a row: three are three years and a half.
    """
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
                for back in range(spans if name == "log.csv" else 1):
                    writer.writerows(_copied(row, copy, back) for row in rows if not copy or "bin" in heads)
    last = max(moment(row.get("when")).date() for row in read_rows(source / "log.csv", columns.LOG, columns.LOG_NEEDED))
    evening = datetime.combine(last, time(EVENING.hour), tzinfo=UTC)
    farm = Session(folder, clock=lambda: evening)
    log_files.bring_in(farm, files)
    if spans > 1:
        begun = [replace(one, started=one.started - (spans - 1) * SPAN) for one in farm.bins()]
        farm.store.change_farm(lambda held: replace(held, bins=tuple(begun)))
    return farm


def _copied(row: dict[str, str], copy: int, back: int = 0) -> dict[str, str]:
    if back:
        row = row | {"when": (datetime.fromisoformat(row["when"]) - back * SPAN).isoformat(), "lot": ""}
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
