"""One screen a module; each is fed by frozen views and hands every wish to the desk."""
