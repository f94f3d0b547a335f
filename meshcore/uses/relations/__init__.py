"""Published relations between a cloth and what it does, columns in and columns out."""
