"""The table of kinds: what a line of either book may say, described once for the door, files, commands and forms."""
