"""What cloth is for: relations of each use, its limits, and the cloth that keeps them."""
