"""Floor 1: what a keeper writes down, as frozen dataclasses in SI, validated once at the door."""
