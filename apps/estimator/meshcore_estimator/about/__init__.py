"""The page that says what is loaded."""
