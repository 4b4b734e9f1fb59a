"""Floor 5: the one doorway to a farm's log and model, and the frozen views that screens and commands are fed with."""
