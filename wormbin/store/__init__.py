"""Floor 2: TinyDB year-books on disk that cannot be torn."""
