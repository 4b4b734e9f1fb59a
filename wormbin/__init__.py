"""wormbin: a worm bin's log, replayed through a model of the bin into what it is, what it needs and when to harvest."""

__version__ = "0.1.0"
