"""What was worked out already, in memory and on disk; it may be deleted at any time."""
