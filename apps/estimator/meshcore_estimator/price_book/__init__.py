"""The page of the price book."""
