"""Floor 3: one bin through time: entries in time order become its state day by day, with its uncertainty."""
