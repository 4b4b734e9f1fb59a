"""What one composting worm weighs, for logs that count worms instead of weighing them."""

from __future__ import annotations

from wormbin.measures.units import POUND_KG

WORM_KG = POUND_KG / 1000
"""Live mass of a worm in a mixed bin: about 1,000 to the pound (500 adults ... 2,000 young), as growers count them."""
