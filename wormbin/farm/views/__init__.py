"""What the farm shows and is told: frozen views, plain enough that a screen or a command only has to lay them out."""
