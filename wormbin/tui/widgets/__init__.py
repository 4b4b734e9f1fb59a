"""One widget a module: nouns that are shown things and say what happened."""
