"""Log files of one bin as one zip file with a page about it; and such a file unpacked, none of its names trusted."""

from __future__ import annotations

import csv
from collections.abc import Callable
from io import BytesIO, StringIO
from pathlib import Path
from tempfile import TemporaryDirectory
from zipfile import ZIP_DEFLATED, BadZipFile, ZipFile

BINS, LOG, ABOUT = "bins.csv", "log.csv", "about.html"
TAKEN = (BINS, LOG, "castings.csv", "materials.csv")
"""What is taken in; how the other farm is run, and the page about the bin, are for reading."""
MOST_BYTES = 200_000_000


def packed(write: Callable[[Path], object], about: str) -> bytes:
    """What ``write`` puts into a folder, and the page, as one file."""
    data = BytesIO()
    with TemporaryDirectory() as folder:
        write(Path(folder))
        (Path(folder) / ABOUT).write_text(about, "utf-8")
        with ZipFile(data, "w", ZIP_DEFLATED) as file:
            for each in sorted(Path(folder).iterdir()):
                file.write(each, each.name)
    return data.getvalue()


def unpacked(path: Path, folder: Path) -> str:
    """Put what is taken in into ``folder``; the key of its bin. Raises ValueError for a file that is none of ours."""
    try:
        with ZipFile(path) as file:
            there = [each for each in file.infolist() if each.filename in TAKEN]
            if sum(each.file_size for each in there) > MOST_BYTES:
                raise ValueError(path)
            for each in there:
                (folder / each.filename).write_bytes(file.read(each))
        with (folder / BINS).open(encoding="utf-8-sig", newline="") as rows:
            keys = [row["bin"] for row in csv.DictReader(rows)]
    except (OSError, BadZipFile, KeyError, RuntimeError) as error:
        raise ValueError(path) from error
    if len(keys) != 1 or not (folder / LOG).is_file():
        raise ValueError(path)
    return keys[0]


def renamed(folder: Path, key: str) -> None:
    """Write another key of the bin into every row."""
    for path in (folder / BINS, folder / LOG):
        with path.open(encoding="utf-8-sig", newline="") as file:
            reader = csv.DictReader(file)
            rows, columns = list(reader), list(reader.fieldnames or ())
        text = StringIO(newline="")
        writer = csv.DictWriter(text, columns)
        writer.writeheader()
        writer.writerows({**row, "bin": key} for row in rows)
        path.write_text(text.getvalue(), "utf-8", newline="")
