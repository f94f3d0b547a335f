"""Alloys that plugins bring: checked, named, and found by any of their names."""
