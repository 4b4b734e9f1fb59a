"""What is tried without a bin: a blend of materials, and a bin that does not exist."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from wormbin.farm.session import Session
    from wormbin.farm.trials.made_up_bin import TrialDraft
    from wormbin.farm.views.proposals import MixView


def mix(
    session: Session,
    portions: Sequence[str],
    *,
    add: Sequence[str] = (),
    cn: str = "",
    moisture: str = "",
    sets: Sequence[str] = (),
) -> MixView:
    """C:N, moisture and air of a blend; with ``add`` the least amounts that reach ``cn`` and ``moisture``."""
    from wormbin.farm.materials.sets import laid_over
    from wormbin.farm.trials import blend

    table = laid_over(session.table, session.farm().materials, sets)
    return blend.mix(portions, add, cn, moisture, table, session.settings())


def trial(session: Session, draft: TrialDraft) -> Mapping[str, object]:
    """A bin that does not exist, by the names of the command line's JSON."""
    from wormbin.farm.materials.sets import laid_over
    from wormbin.farm.trials.made_up_bin import read_setup, trial_document

    table = laid_over(session.table, session.farm().materials, draft.sets)
    return trial_document(read_setup(draft, table), table)
