"""Each use as it is stated: its own figures, what they ask of a cloth, and what a cloth does."""
