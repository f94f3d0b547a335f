"""The page of a letter."""
