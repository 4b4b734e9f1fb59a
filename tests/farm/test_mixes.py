"""A blend that is brought to its moisture is judged once."""

from __future__ import annotations

from wormbin.farm.mixes import mixed
from wormbin.materials.table import default_table
from wormbin.records.farms import Settings


def test_a_blend_that_leaves_made_slow_is_told_so_and_not_as_amiss_as_well() -> None:
    table, asked = default_table(), ("25-30", "60")
    dried = mixed(["10 kg grass-clippings"], ["dry-leaves"], *asked, table, Settings())
    assert any("slow, but no harm" in line for line in dried.lines)
    assert "mix-lean" not in {each.code for each in dried.findings}
    as_it_is = mixed(["10 kg grass-clippings", "6.8 kg dry-leaves"], [], *asked, table, Settings())
    assert "mix-lean" in {each.code for each in as_it_is.findings}
