"""The page of cutting."""
