"""Floor 2: pure cited formulas in SI."""
