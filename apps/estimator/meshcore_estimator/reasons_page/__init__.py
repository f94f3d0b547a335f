"""The page of range and reasons."""
