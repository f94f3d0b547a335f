"""What a sentence says of a use: which it is, its figures, and amounts that say nothing of it."""
