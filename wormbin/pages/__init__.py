"""Each page once, as plain data: printed by the command line, painted by the screen, set in the report."""
