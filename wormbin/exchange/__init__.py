"""Floor 4: the log as files for others: CSV both ways, a calendar, a sheet to hang beside the bin."""
