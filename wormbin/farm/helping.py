"""What a keeper at the screen asks beyond the log: causes of signs, forgotten days, a line to be put right."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from wormbin.farm.heading import NOW, Heading
from wormbin.farm.session import Answering
from wormbin.farm.views.bin import Recorded
from wormbin.measures import counted
from wormbin.problems import Problem, RefusedError
from wormbin.records.entries import Entry, Feeding, Note

if TYPE_CHECKING:
    from wormbin.farm.bins.causes import Cause
    from wormbin.farm.recording.gaps import GapView
    from wormbin.farm.views.proposals import CheckDraft
    from wormbin.farm.words.typed import TypedLine


class Helping(Answering):
    """Small services of the screens, on the same store, clock and model."""

    def troubles(self, bin: str, draft: CheckDraft) -> tuple[Cause, ...]:
        """The likely causes of the signs in ``draft``, ranked by what the log shows; nothing is saved."""
        from wormbin.farm.bins.causes import causes
        from wormbin.farm.words.headings import read_heading

        ledger = self.ledger()
        one = ledger.bin(bin)
        check, _oven = ledger.spoken.check(draft)
        (entry,) = ledger.entries(one, read_heading(self.of_the_day(NOW), one, self.clock()), [check])
        return causes(self.scene(bin), entry)

    def forgotten(self, bin: str) -> tuple[GapView, ...]:
        """Days without a line that are no absence, newest gap first."""
        from wormbin.farm.recording.gaps import forgotten

        scene = self.scene(bin)
        return forgotten(scene.bin.key, scene.entries, scene.settings, scene.on, scene.table)

    def record_caught_up(self, bin: str, days: Sequence[date], bucket: str, by: str = "") -> Recorded:
        """Save the same bucket as a feeding on each of ``days``: all of them or none."""
        from wormbin.farm.words.headings import read_heading

        if not days:
            raise RefusedError(Problem("days", "", "at least one day"))
        ledger = self.ledger()
        one = ledger.bin(bin)
        usual = replace(ledger.spoken, kept_out=False)
        feeding = Feeding(usual.portions([bucket], "given each day"))
        entries: list[Entry] = []
        for day in days:
            heading = Heading(when=day.isoformat(), by=by, note="caught up later")
            entries += ledger.entries(one, read_heading(heading, one, self.clock()), [feeding])
        recorded = ledger.save(one, entries, "")
        count = counted(len(entries), "feeding")
        return replace(recorded, sentence=f"{one.name}: {count} caught up")

    def record_not_known(self, bin: str, gap: GapView, by: str = "") -> Recorded:
        """Save a note that nothing is known of these days; not asked about again, the width is kept."""
        from wormbin.farm.recording.gaps import not_known_words
        from wormbin.farm.words.headings import read_heading

        ledger = self.ledger()
        one = ledger.bin(bin)
        heading = Heading(when=gap.last.isoformat(), by=by, note=not_known_words(gap))
        note = Note(unknown_from=gap.first, unknown_until=gap.last)
        return ledger.save(one, ledger.entries(one, read_heading(heading, one, self.clock()), [note]), "")

    def typed_line(self, entry: str) -> TypedLine:
        """A line of the log as it would be typed again."""
        from wormbin.farm.words.typed import typed_line

        return typed_line(self.store.find(entry), self.ledger().spoken, self.units)
