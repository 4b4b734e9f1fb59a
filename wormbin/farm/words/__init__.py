"""From the keeper's words to entries, and from entries back to words."""
