"""Floor 6: the command line: words in, words out. Thin over the farm; never imports the screens."""
