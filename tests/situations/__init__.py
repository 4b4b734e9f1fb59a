"""Bins in trouble and bins that do well, as small logs with what an expert says of them, asked through the commands."""
