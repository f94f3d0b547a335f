"""Running texts: a whole line described in one cell."""
