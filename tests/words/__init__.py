"""What the program says, as one list with its reading grade."""
