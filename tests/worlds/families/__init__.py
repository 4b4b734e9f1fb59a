"""Three unlike families of truth, written from the literature and from nothing of the program; and their keepers."""
