"""Supply: what is bought, what is cut, what is left."""
