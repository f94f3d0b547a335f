"""Strips slit from rolls."""
