"""Ways of laying pieces that need no search."""
