"""The page that compares alloys."""
