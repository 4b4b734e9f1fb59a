"""Log files: a folder of them brought into the farm, and the farm written out as one."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from wormbin.farm.views.bin import Recorded
from wormbin.measures import counted

if TYPE_CHECKING:
    from wormbin.farm.session import Session


def bring_in(
    session: Session, folder: Path, *, only_try: bool = False, heard: Callable[[int], None] | None = None
) -> Recorded:
    """Bring log files in, all or nothing; ``only_try`` says what would happen.

    ``heard`` is told how many lines were read so far, last right before they are saved; what it raises stops the
    import, and nothing is saved.
    """
    from wormbin.farm.log_files import incoming

    return incoming.bring_in(session, Path(folder), only_try, heard or (lambda _: None))


def write_out(session: Session, folder: Path, year: int | None = None, *, over: bool = False) -> Recorded:
    """Write the log files; with ``year`` only that year's lines; ``over`` any file that is there already."""
    from wormbin.exchange.folders import write_folder
    from wormbin.exchange.tables import ROW_LIMIT

    farm = session.farm()
    logs = {one.key: log for one, log in session.logs()}
    rows = write_folder(Path(folder), farm, lambda key: logs.get(key, ()), year, session.store.lot_lines(), over=over)
    bad = tuple(f"{key} cannot be read: these files are without its log" for key in session.unread)
    much = (f"one import takes up to {ROW_LIMIT:,} rows; write year by year with --year",) if rows > ROW_LIMIT else ()
    words = f"{counted(len(farm.bins), 'bin')} and {counted(rows, 'row')} written to {folder}"
    return Recorded((), words, (*much, *bad))
